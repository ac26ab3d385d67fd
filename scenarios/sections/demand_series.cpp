#include "scenarios/sections/demand_series.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <map>
#include <mutex>
#include <numeric>
#include <utility>
#include <vector>

#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"
#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::scenarios {
namespace {

namespace fs = std::filesystem;
constexpr int day_min = 1440, days_of_year = 365;

[[noreturn]] void refuse(DemandSeriesSource const& s, std::size_t line, std::string const& what) {
    throw ScenarioError(s.path, line, "", what);
}

std::string stamp_text(long long minute) {
    using namespace date;
    auto const day = floor<days>(sys_days{} + std::chrono::minutes{minute});
    year_month_day const ymd{day};
    auto const rest = minute - static_cast<long long>(day.time_since_epoch().count()) * day_min;
    return fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", static_cast<int>(ymd.year()),
                       static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()), rest / 60,
                       rest % 60);
}

// The whole numbers in a text such as "2024-03-01", separated by one of these marks.
std::vector<int> numbers_in(std::string_view text, std::string_view marks) {
    std::vector<int> numbers;
    std::size_t at = 0;
    while (at <= text.size()) {
        auto const end = std::min(text.find_first_of(marks, at), text.size());
        auto const digits = text.substr(at, end - at);
        if (digits.empty() || digits.size() > 4 ||
            digits.find_first_not_of("0123456789") != std::string_view::npos)
            return {};
        numbers.push_back(std::stoi(std::string(digits)));
        at = end + 1;
    }
    return numbers;
}

std::string_view date_example(DateOrder order) {
    return order == DateOrder::year_month_day   ? "2024-03-31"
           : order == DateOrder::month_day_year ? "03/31/2024"
                                                : "31.03.2024";
}

// Minutes since 1970 at midnight of a date.
long long date_minutes(DemandSeriesSource const& s, std::size_t line, std::string_view text) {
    auto const n = numbers_in(text, "-/.");
    if (n.size() == 3) {
        std::array<int, 3> const ymd = s.order == DateOrder::year_month_day   ? std::array{n[0], n[1], n[2]}
                                       : s.order == DateOrder::month_day_year ? std::array{n[2], n[0], n[1]}
                                                                              : std::array{n[2], n[1], n[0]};
        date::year_month_day const d{date::year{ymd[0]}, date::month{static_cast<unsigned>(ymd[1])},
                                     date::day{static_cast<unsigned>(ymd[2])}};
        // `date` keeps months and days in one byte each: 261 would be 5.
        if (ymd[0] >= 1900 && ymd[0] <= 2200 && ymd[1] <= 12 && ymd[2] <= 31 && d.ok())
            return static_cast<long long>(date::sys_days{d}.time_since_epoch().count()) * day_min;
    }
    refuse(s, line,
           fmt::format("\"{}\" is not a date such as {}; demand.series.date_order says how dates are written",
                       weather::to_utf8(text.substr(0, 40)), date_example(s.order)));
}

// Minutes of a time of day, "14:05", "14:05:00", "2:05 PM".
int clock_minutes(DemandSeriesSource const& s, std::size_t line, std::string_view text) {
    auto rest = weather::trim(text);
    bool const am = weather::lower(rest).ends_with("am"), pm = weather::lower(rest).ends_with("pm");
    if (am || pm) rest = weather::trim(rest.substr(0, rest.size() - 2));
    auto n = numbers_in(rest, ":");
    bool const twelve = am || pm;
    if ((n.size() == 2 || n.size() == 3) && n[1] < 60 && (n.size() == 2 || n[2] < 60) &&
        (twelve ? n[0] >= 1 && n[0] <= 12 : n[0] <= 24) && (n[0] < 24 || n[1] == 0)) {
        int const hour = twelve ? n[0] % 12 + (pm ? 12 : 0) : n[0];
        return 60 * hour + n[1];
    }
    refuse(s, line,
           fmt::format("\"{}\" is not a time of day such as 14:05 or 2:05 PM, local standard time without a "
                       "time zone",
                       weather::to_utf8(text.substr(0, 40))));
}

struct SeriesRow {
    long long start_min = 0, end_min = 0;
    double volume_m3 = 0;  // NaN: none
    std::size_t line = 0;
};

// The rows as in the file: the time in `start_min`, the value in `volume_m3`.
std::vector<SeriesRow> read_rows(DemandSeriesSource const& s, std::string const& text) {
    constexpr std::size_t most_lines = 1100000;  // two years of minutes
    if (auto const problem = weather::line_problem(text, most_lines))
        refuse(s, problem->line, problem->words);
    auto const lines = weather::split_lines(text);
    std::vector<std::string_view> names, fields;
    std::size_t head = 0;
    for (; head < std::min<std::size_t>(lines.size(), 100); ++head) {
        weather::split_fields(lines[head], s.separator, names);
        if (weather::find_column(names, s.volume) >= 0) break;
    }
    if (head == std::min<std::size_t>(lines.size(), 100))
        refuse(s, 0,
               fmt::format("no header row with a column \"{}\" in the first 100 lines (separator \"{}\")",
                           s.volume, s.separator));
    auto const column = [&](std::string const& name) {
        if (name.empty()) return -1;
        int const at = weather::find_column(names, name);
        if (at < 0) refuse(s, head + 1, fmt::format("no column \"{}\" in the header row", name));
        return at;
    };
    int const date = column(s.date), time = column(s.time), volume = column(s.volume);
    std::vector<SeriesRow> rows;
    rows.reserve(lines.size());
    for (std::size_t i = head + 1; i < lines.size(); ++i) {
        auto const line = weather::trim(lines[i]);
        if (line.empty() || line.front() == '#') continue;
        weather::split_fields(lines[i], s.separator, fields);
        if (fields.size() < names.size())
            refuse(s, i + 1,
                   fmt::format("{} fields where the header in line {} has {}", fields.size(), head + 1,
                               names.size()));
        auto const field = [&](int at) { return fields[static_cast<std::size_t>(at)]; };
        SeriesRow row;
        row.line = i + 1;
        std::string_view day_text = field(date >= 0 ? date : time), clock_text;
        if (date >= 0 && time >= 0) clock_text = field(time);
        if (date < 0) {
            auto const gap = day_text.find_first_of(" T");
            if (gap == std::string_view::npos)
                refuse(s, row.line,
                       fmt::format("\"{}\" is not a date and a time such as {} 14:05",
                                   weather::to_utf8(day_text.substr(0, 40)), date_example(s.order)));
            clock_text = day_text.substr(gap + 1);
            day_text = day_text.substr(0, gap);
        }
        row.start_min = date_minutes(s, row.line, day_text);
        if (!clock_text.empty()) row.start_min += clock_minutes(s, row.line, clock_text);
        row.volume_m3 = weather::number(field(volume), s.volume, {s.path, row.line}) * s.m3_per_unit;
        if (row.volume_m3 < 0)
            refuse(s, row.line, fmt::format("a volume below 0 (\"{}\")", std::string(field(volume))));
        if (!rows.empty() && row.start_min <= rows.back().start_min)
            refuse(s, row.line,
                   fmt::format("{} does not come after the row before it; rows must be in order of time, in "
                               "local standard time (a clock set back in autumn repeats an hour)",
                               stamp_text(row.start_min)));
        rows.push_back(row);
    }
    return rows;
}

// Gives each row its interval and its volume; for a meter that counts up, the differences of the readings.
void set_intervals(DemandSeriesSource const& s, std::vector<SeriesRow>& rows,
                   std::vector<std::string>& notes) {
    if (rows.size() < 3) refuse(s, 0, "fewer than three rows; give at least a whole day of readings");
    std::map<long long, int> steps;
    for (std::size_t i = 1; i < rows.size(); ++i) ++steps[rows[i].start_min - rows[i - 1].start_min];
    long long const step_min = std::max_element(steps.begin(), steps.end(), [](auto const& a, auto const& b) {
                                   return a.second < b.second;
                               })->first;
    if (step_min > day_min)
        refuse(s, rows[1].line,
               fmt::format("the rows are {:.1f} days apart; a reading at least once a day is needed",
                           static_cast<double>(step_min) / day_min));
    if (s.counter) {
        std::vector<SeriesRow> between;
        std::size_t longer = 0;
        SeriesRow const* last = nullptr;
        for (auto const& row : rows) {
            if (std::isnan(row.volume_m3)) continue;
            if (last != nullptr) {
                if (row.volume_m3 < last->volume_m3)
                    refuse(
                        s, row.line,
                        "the meter reads less than in the row before; a meter that was changed or set back "
                        "needs a file of its own");
                longer += row.start_min - last->start_min > step_min ? 1 : 0;
                between.push_back(
                    {last->start_min, row.start_min, row.volume_m3 - last->volume_m3, row.line});
            }
            last = &row;
        }
        if (longer > 0)
            notes.push_back(
                fmt::format("demand.series: the meter's reading is missing {}; what it shows later is spread "
                            "evenly over the time between",
                            longer == 1 ? std::string("once") : fmt::format("{} times", longer)));
        if (between.empty()) refuse(s, 0, "fewer than two readings of the meter");
        rows = std::move(between);
        return;
    }
    for (auto& row : rows) {
        if (s.stamp_is_end) row.start_min -= step_min;
        row.end_min = row.start_min + step_min;
    }
    for (std::size_t i = 1; i < rows.size(); ++i)
        if (rows[i].start_min < rows[i - 1].end_min)
            refuse(s, rows[i].line,
                   fmt::format("{} comes less than {} minutes after the row before it, the interval of this "
                               "file",
                               stamp_text(rows[i].start_min), step_min));
}

struct MeasuredDays {
    long long first_day = 0;  // since 1970
    std::vector<double> hour_m3, covered_min;
    [[nodiscard]] std::size_t days() const { return hour_m3.size() / 24; }
};

MeasuredDays by_the_hour(DemandSeriesSource const& s, std::vector<SeriesRow> const& rows) {
    auto const floor_day = [](long long minute) {
        return minute >= 0 ? minute / day_min : -((day_min - 1 - minute) / day_min);
    };
    // Only whole days; the first and the last day count if the rows cover all of it.
    long long first = floor_day(rows.front().start_min), last = floor_day(rows.back().end_min);
    if (first * day_min < rows.front().start_min) ++first;
    if (!s.from.empty()) {
        DemandSeriesSource iso = s;
        iso.order = DateOrder::year_month_day;
        first = std::max(first, date_minutes(iso, 0, s.from) / day_min);
    }
    if (last <= first) refuse(s, 0, "holds no whole day, from 00:00 to 24:00");
    MeasuredDays m;
    m.first_day = first;
    m.hour_m3.assign(static_cast<std::size_t>(24 * (last - first)), 0);
    m.covered_min.assign(m.hour_m3.size(), 0);
    auto const shares = models::hourly_volumes_m3(s.day, 1);
    for (auto const& row : rows) {
        if (std::isnan(row.volume_m3)) continue;
        long long const length = row.end_min - row.start_min;
        bool const day_reading = length == day_min && row.start_min % day_min == 0;
        long long const begin = row.start_min - first * day_min;
        for (long long at = begin; at < begin + length;) {
            long long const hour = at >= 0 ? at / 60 : -((59 - at) / 60);
            long long const until = std::min(begin + length, 60 * (hour + 1));
            if (hour >= 0 && hour < static_cast<long long>(m.hour_m3.size())) {
                auto const h = static_cast<std::size_t>(hour);
                double const share = day_reading
                                         ? shares[h % 24]
                                         : static_cast<double>(until - at) / static_cast<double>(length);
                m.hour_m3[h] += row.volume_m3 * share;
                m.covered_min[h] += static_cast<double>(until - at);
            }
            at = until;
        }
    }
    return m;
}

void fill_missing(DemandSeriesSource const& s, MeasuredDays& m, std::vector<std::string>& notes) {
    std::array<double, 8 * 24> sum{}, count{};  // by weekday and hour; the eighth row is for all days
    auto const place = [&](std::size_t h) {
        return (h / 24 + static_cast<std::size_t>(m.first_day)) % 7 * 24 + h % 24;
    };
    std::vector<std::size_t> gaps;
    for (std::size_t h = 0; h < m.hour_m3.size(); ++h) {
        if (m.covered_min[h] < 60 - 1e-6) {
            gaps.push_back(h);
            continue;
        }
        for (std::size_t const at : {place(h), std::size_t{7 * 24} + h % 24}) {
            sum[at] += m.hour_m3[h];
            count[at] += 1;
        }
    }
    if (gaps.empty()) return;
    std::string const first = stamp_text(m.first_day * day_min + 60 * static_cast<long long>(gaps.front()));
    double const share = 100 * static_cast<double>(gaps.size()) / static_cast<double>(m.hour_m3.size());
    std::string const what = fmt::format("{} of {} hours ({:.1f} %) have no whole reading, the first at {}",
                                         gaps.size(), m.hour_m3.size(), share, first);
    if (!s.fill_gaps)
        refuse(s, 0,
               what +
                   "; demand.series.gaps = \"fill\" fills them with the mean of the same hour of the "
                   "same weekday");
    for (std::size_t const h : gaps) {
        std::size_t const own = place(h), all = std::size_t{7 * 24} + h % 24, at = count[own] > 0 ? own : all;
        if (count[at] == 0) refuse(s, 0, what + "; no day has a reading for that hour");
        m.hour_m3[h] = sum[at] / count[at];
    }
    notes.push_back(
        fmt::format("demand.series: {}; filled with the mean of the same hour of the same weekday", what));
}

std::vector<double> year_of(DemandSeriesSource const& s, MeasuredDays const& m,
                            std::vector<std::string>& notes) {
    std::vector<std::size_t> days;  // of the file, without 29 February
    std::vector<int> slots;         // day of the year of each
    for (std::size_t d = 0; d < m.days(); ++d) {
        date::year_month_day const ymd{date::sys_days{date::days{m.first_day + static_cast<long long>(d)}}};
        if (ymd.month() == date::February && ymd.day() == date::day{29}) continue;
        auto const in_plain_year = date::sys_days{date::year{2023} / ymd.month() / ymd.day()};
        slots.push_back(static_cast<int>((in_plain_year - date::sys_days{date::year{2023} / 1 / 1}).count()));
        days.push_back(d);
    }
    if (days.empty()) refuse(s, 0, "holds no whole day but 29 February");
    auto const text_of_day = [&](std::size_t d) {
        return stamp_text((m.first_day + static_cast<long long>(d)) * day_min).substr(0, 10);
    };
    std::size_t const kept = std::min<std::size_t>(days.size(), days_of_year);
    if (days.size() > kept)
        notes.push_back(fmt::format(
            "demand.series: holds {} days; the 365 from {} are used (demand.series.from takes others)",
            days.size(), text_of_day(days.front())));
    // Up to the last day that is used, the file has one day more for each 29 February.
    if (std::size_t const leap_days = days[kept - 1] + 1 - kept; leap_days > 0)
        notes.push_back(fmt::format("demand.series: {} left out, since the year that is run has 365 days",
                                    leap_days == 1 ? std::string("29 February is")
                                                   : fmt::format("{} days of 29 February are", leap_days)));
    std::size_t const period = s.repeat == SeriesRepeat::weeks ? kept / 7 * 7 : kept;
    if (kept < days_of_year) {
        std::string const what = fmt::format("holds {} whole days, from {} to {}, of the year's 365", kept,
                                             text_of_day(days.front()), text_of_day(days[kept - 1]));
        if (s.repeat == SeriesRepeat::refuse)
            refuse(s, 0,
                   what +
                       "; demand.series.repeat = \"weeks\" repeats its whole weeks over the rest, "
                       "\"days\" its days");
        if (period == 0) refuse(s, 0, what + "; no whole week to repeat: take repeat = \"days\"");
        notes.push_back(fmt::format("demand.series: {}; the others repeat {} on from its first day", what,
                                    s.repeat == SeriesRepeat::days ? std::string("these days")
                                    : period == 7                  ? std::string("its one whole week")
                                                  : fmt::format("its {} whole weeks", period / 7)));
    }
    std::vector<double> year(static_cast<std::size_t>(days_of_year) * 24, 0);
    for (std::size_t k = 0; k < static_cast<std::size_t>(days_of_year); ++k) {
        // Days from the first day of the file on, across the end of the year.
        auto const slot = (static_cast<std::size_t>(slots.front()) + k) % days_of_year;
        std::size_t const from = days[k < kept ? k : k % period];
        std::copy_n(m.hour_m3.begin() + static_cast<std::ptrdiff_t>(24 * from), 24,
                    year.begin() + static_cast<std::ptrdiff_t>(24 * slot));
    }
    return year;
}

std::shared_ptr<DemandSeries const> read_anew(DemandSeriesSource const& s) {
    auto series = std::make_shared<DemandSeries>();
    auto const text = text_of_file(s.path, "demand series (CSV)", largest_series);
    auto rows = read_rows(s, text);
    set_intervals(s, rows, series->notes);
    auto days = by_the_hour(s, rows);
    fill_missing(s, days, series->notes);
    series->hourly_m3 = year_of(s, days, series->notes);
    return series;
}

}  // namespace

DemandSeriesSource read_series_source(Section s, std::string const& scenario_path) {
    DemandSeriesSource source;
    fs::path const given = s.text("file");
    source.path = (given.is_absolute() ? given : fs::path(scenario_path).parent_path() / given)
                      .lexically_normal()
                      .string();
    source.date = s.text("date", "");
    source.time = s.text("time", "");
    if (source.date.empty() && source.time.empty())
        s.fail("time", "is missing; name the column of the time, or those of date and time");
    source.volume = s.text("volume");
    (void)s.text("volume_unit");
    source.m3_per_unit = s.unit("volume_unit", "m3");
    using namespace std::string_view_literals;
    source.order = s.choice("date_order",
                            std::array{std::pair{"year-month-day"sv, DateOrder::year_month_day},
                                       std::pair{"month-day-year"sv, DateOrder::month_day_year},
                                       std::pair{"day-month-year"sv, DateOrder::day_month_year}},
                            DateOrder::year_month_day);
    source.stamp_is_end =
        s.choice("stamp", std::array{std::pair{"start"sv, false}, std::pair{"end"sv, true}}, false);
    source.counter =
        s.choice("reading", std::array{std::pair{"interval"sv, false}, std::pair{"counter"sv, true}}, false);
    if (source.counter && s.has("stamp"))
        s.fail("stamp", "a counter's reading holds at its time; leave the stamp out");
    source.fill_gaps =
        s.choice("gaps", std::array{std::pair{"refuse"sv, false}, std::pair{"fill"sv, true}}, false);
    source.repeat = s.choice(
        "repeat",
        std::array{std::pair{"refuse"sv, SeriesRepeat::refuse}, std::pair{"weeks"sv, SeriesRepeat::weeks},
                   std::pair{"days"sv, SeriesRepeat::days}},
        SeriesRepeat::refuse);
    source.from = s.text("from", "");
    std::string const separator = s.text("separator", ",");
    if (separator.size() != 1) s.fail("separator", "must be one character");
    source.separator = separator[0];
    s.finish();
    return source;
}

std::shared_ptr<DemandSeries const> read_demand_series(DemandSeriesSource const& s) {
    static std::mutex mutex;
    static std::vector<std::pair<std::string, std::shared_ptr<DemandSeries const>>> shelf;
    constexpr std::size_t most_kept = 8;
    std::error_code failure;
    auto const changed = fs::last_write_time(s.path, failure);
    std::string key =
        fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}", s.path, s.date, s.time, s.volume, s.m3_per_unit,
                    static_cast<int>(s.order), s.stamp_is_end, s.counter, s.separator, s.fill_gaps,
                    static_cast<int>(s.repeat), s.from, failure ? 0 : changed.time_since_epoch().count());
    for (double const weight : s.day) key += fmt::format("|{}", weight);
    std::lock_guard const lock(mutex);
    for (auto const& [known, series] : shelf)
        if (known == key) return series;
    auto series = read_anew(s);
    if (shelf.size() == most_kept) shelf.erase(shelf.begin());
    shelf.emplace_back(std::move(key), series);
    return series;
}

}  // namespace holdwater::scenarios
