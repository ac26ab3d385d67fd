#include "sim/replay/replay.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/files/stored_run.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

using Kind = DayFigureKind;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

std::size_t index_of(Kind kind) { return static_cast<std::size_t>(kind); }

// Rows of a day of the log, from the row at its midnight to that at the next; nothing if one of them is
// missing.
struct CalendarDay {
    std::size_t first = 0, last = 0;
};
std::vector<std::pair<int, CalendarDay>> calendar_days(SiteLog const& log) {
    std::vector<std::pair<int, CalendarDay>> days;
    auto const near = [&](double time_h) -> std::size_t {
        auto const at =
            std::lower_bound(log.time_h.begin(), log.time_h.end(), time_h - 0.51 * log.usual_step_h);
        auto const i = static_cast<std::size_t>(at - log.time_h.begin());
        return i < log.rows() && std::abs(log.time_h[i] - time_h) <= 0.51 * log.usual_step_h ? i : log.rows();
    };
    int const last_day = static_cast<int>(log.time_h.back() / 24);
    for (int d = 0; d <= last_day; ++d) {
        auto const first = near(24.0 * d), last = near(24.0 * (d + 1));
        if (first < log.rows() && last < log.rows() && last > first) days.push_back({d, {first, last}});
    }
    return days;
}

double power_kwh(SiteLog const& log, LogQuantity q, CalendarDay const& day) {
    if (!log.has(q)) return unknown;
    double kwh = 0;
    for (std::size_t i = day.first + 1; i <= day.last; ++i) {
        if (log.gap_before(i)) return unknown;
        kwh += 1e-3 * log.of(q)[i] * (log.time_h[i] - log.time_h[i - 1]);
    }
    return kwh;
}
double counted(SiteLog const& log, LogQuantity q, CalendarDay const& day) {
    return log.has(q) ? log.of(q)[day.last] - log.of(q)[day.first] : unknown;
}

DayFigures logged_day(SiteLog const& log, CalendarDay const& day) {
    DayFigures f;
    f[index_of(Kind::water)] = counted(log, LogQuantity::water_meter, day);
    f[index_of(Kind::pump_energy)] = power_kwh(log, LogQuantity::pump_power, day);
    f[index_of(Kind::pump_starts)] = counted(log, LogQuantity::pump_starts, day);
    f[index_of(Kind::array_energy)] = power_kwh(log, LogQuantity::array_power, day);
    f[index_of(Kind::backup_energy)] = power_kwh(log, LogQuantity::generator_power, day);
    double lowest = log.has(LogQuantity::soc) ? std::numeric_limits<double>::infinity() : unknown;
    if (log.has(LogQuantity::soc))
        for (std::size_t i = day.first; i <= day.last; ++i) {
            double const soc = log.of(LogQuantity::soc)[i];
            lowest =
                std::isnan(soc) || (i > day.first && log.gap_before(i)) ? unknown : std::min(lowest, soc);
            if (std::isnan(lowest)) break;
        }
    f[index_of(Kind::lowest_soc)] = lowest;
    return f;
}

DayFigures year_day(ReplayYear const& year, int day_of_year) {
    auto const from = 24 * static_cast<std::size_t>(day_of_year);
    auto const sum = [&](std::vector<double> const& hours) {
        double total = 0;
        for (std::size_t h = from; h < from + 24; ++h) total += hours[h];
        return total;
    };
    return {sum(year.water_m3),
            sum(year.pump_kwh),
            sum(year.pump_starts),
            sum(year.array_kwh),
            *std::min_element(year.soc.begin() + static_cast<long>(from),
                              year.soc.begin() + static_cast<long>(from) + 24),
            sum(year.backup_kwh)};
}

std::string date_of_day(SiteLog const& log, int days_later) {
    date::sys_days const first{date::year{log.year} / log.month / log.day};
    date::year_month_day const d{first + date::days{days_later}};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(d.year()), static_cast<unsigned>(d.month()),
                       static_cast<unsigned>(d.day()));
}

/// Day of the year, 0 .. 364, of a day of the log; 29 February counts as 28.
int day_of_year(SiteLog const& log, int days_later) {
    date::sys_days const first{date::year{log.year} / log.month / log.day};
    date::year_month_day const d{first + date::days{days_later}};
    int const month = static_cast<int>(static_cast<unsigned>(d.month())),
              day = static_cast<int>(static_cast<unsigned>(d.day()));
    return weather::hour_index(month, month == 2 && day == 29 ? 28 : day, 0) / 24;
}

// Mean over the days on which `values` of both are known; of the lowest SOC the lowest.
void set_means(Replay& r) {
    for (auto const& facts : day_figure_facts()) {
        auto const k = index_of(facts.kind);
        double logged = 0, modeled = 0, days = 0, lowest = 2, modeled_lowest = 2;
        for (ReplayDay const& day : r.days) {
            if (std::isnan(day.logged[k]) || std::isnan(day.modeled[k])) continue;
            logged += day.logged[k], modeled += day.modeled[k], days += 1;
            lowest = std::min(lowest, day.logged[k]),
            modeled_lowest = std::min(modeled_lowest, day.modeled[k]);
        }
        bool const soc = facts.kind == Kind::lowest_soc;
        r.logged_mean[k] = days > 0 ? (soc ? lowest : logged / days) : unknown;
        r.modeled_mean[k] = days > 0 ? (soc ? modeled_lowest : modeled / days) : unknown;
    }
}

// A promise that a figure is not above (`most`) or not below what the result says: it is held unless the
// whole interval is on the wrong side.
Promise judged(std::string words, std::string unit, double promised, models::Interval logged, bool most) {
    bool const broken = most ? logged.low > promised : logged.high < promised;
    return {std::move(words),
            std::move(unit),
            promised,
            logged,
            broken ? PromiseVerdict::not_held : PromiseVerdict::held,
            ""};
}
Promise open_promise(std::string words, std::string unit, double promised, std::string why) {
    return {std::move(words), std::move(unit), promised, {}, PromiseVerdict::not_determined, std::move(why)};
}

// The values of a figure on the days of the log: logged, and by the stored result.
struct Both {
    std::vector<double> logged, promised;
};
Both both(SiteLog const& log, ReplayYear const& promised, Kind kind) {
    Both b;
    for (auto const& [later, rows] : calendar_days(log)) {
        double const logged = logged_day(log, rows)[index_of(kind)];
        if (std::isnan(logged)) continue;
        b.logged.push_back(logged);
        b.promised.push_back(year_day(promised, day_of_year(log, later))[index_of(kind)]);
    }
    return b;
}

constexpr std::size_t least_promise_days = 5;

std::vector<Promise> promises_of(SiteLog const& log, LogFit const& fit, scenarios::Scenario const& s,
                                 ReplayYear const& year) {
    std::vector<Promise> all;
    auto const mean_promise = [&](Kind kind, std::string const& words, std::string const& unit,
                                  std::string const& column) {
        Both const b = both(log, year, kind);
        if (b.logged.size() < least_promise_days)
            return all.push_back(open_promise(words, unit, unknown,
                                              b.logged.empty()
                                                  ? fmt::format("needs the column {}", column)
                                                  : fmt::format("needs {} whole days", least_promise_days)));
        all.push_back(judged(words, unit, models::mean(b.promised),
                             models::mean_interval(b.logged, log_confidence), true));
    };
    mean_promise(Kind::water, "water use, mean of a day, at most", "m3/day", "water_meter");
    Both const water = both(log, year, Kind::water), energy = both(log, year, Kind::pump_energy);
    double promised_m3 = 0, promised_kwh = 0;
    for (double const v : both(log, year, Kind::water).promised) promised_m3 += v;
    for (auto const& [later, rows] : calendar_days(log))
        promised_kwh += year_day(year, day_of_year(log, later))[index_of(Kind::pump_energy)];
    double all_m3 = 0;
    for (auto const& [later, rows] : calendar_days(log))
        all_m3 += year_day(year, day_of_year(log, later))[index_of(Kind::water)];
    double const per_m3 = all_m3 > 0 ? promised_kwh / all_m3 : unknown;
    all.push_back(
        fit.pump_energy.determined() && std::isfinite(per_m3)
            ? judged("pump energy for the water, at most", "kWh/m3", per_m3, fit.pump_energy.fitted, true)
            : open_promise("pump energy for the water, at most", "kWh/m3", per_m3,
                           fit.pump_energy.determined() ? "the result pumps no water on these dates"
                                                        : fit.pump_energy.why_not));
    mean_promise(Kind::pump_starts, "pump starts, mean of a day, at most", "1/day", "pump_starts");
    Both const soc = both(log, year, Kind::lowest_soc);
    if (soc.logged.size() < least_promise_days) {
        all.push_back(
            open_promise("lowest SOC, at least", "1", unknown, "needs the column soc on whole days"));
    } else {
        double const lowest = *std::min_element(soc.logged.begin(), soc.logged.end()),
                     promised = *std::min_element(soc.promised.begin(), soc.promised.end());
        all.push_back(judged("lowest SOC, at least", "1", promised, {lowest, lowest, lowest}, false));
    }
    if (s.rules.backup != Backup::none)
        mean_promise(Kind::backup_energy, "backup energy, mean of a day, at most", "kWh/day",
                     "generator_power");
    auto const of_fit = [&](LogFigure const& f, std::string const& words, bool most) {
        all.push_back(f.determined() && std::isfinite(f.scenario)
                          ? judged(words, f.unit, f.scenario, f.fitted, most)
                          : open_promise(words, f.unit, f.scenario,
                                         f.determined()
                                             ? "needs the column load_power to tell it from the small loads"
                                             : f.why_not));
    };
    of_fit(fit.standing_draw, "idle draw of inverter and controller, at most", true);
    of_fit(fit.usable_battery, "usable battery, at least", false);
    of_fit(fit.array_loss, "soiling and other loss of the array, at most", true);
    return all;
}

}  // namespace

std::array<DayFigureFacts, day_figure_kinds> const& day_figure_facts() {
    static constexpr std::array<DayFigureFacts, day_figure_kinds> all{
        {{Kind::water, "water", "m3", "water used"},
         {Kind::pump_energy, "pump_energy", "kWh", "pump energy"},
         {Kind::pump_starts, "pump_starts", "", "pump starts"},
         {Kind::array_energy, "array_energy", "kWh", "PV used"},
         {Kind::lowest_soc, "soc_min", "1", "lowest SOC"},
         {Kind::backup_energy, "backup_energy", "kWh", "backup energy"}}};
    return all;
}

ReplayYear replay_year(std::vector<HourRecord> const& hours) {
    ReplayYear year;
    for (HourRecord const& r : hours) {
        year.water_m3.push_back(r.water_delivered_m3);
        year.pump_kwh.push_back(r.pump_kw);
        year.pump_starts.push_back(r.pump_starts);
        year.array_kwh.push_back(r.pv_used_kw);
        year.soc.push_back(r.battery_soc);
        year.backup_kwh.push_back(r.grid_kw + r.generator_kw);
    }
    return year;
}

ReplayYear replay_year(std::string const& result_path) {
    auto const stored = read_stored_run(result_path);
    if (stored.clock.hours < hours_per_year)
        throw ResultFileError(
            fmt::format("{}: the result covers {} h; a result of a whole year of simulate is needed",
                        result_path, stored.clock.hours));
    // The hours of the calendar, whatever hour the run begins with.
    auto const series = [&](std::string const& name) {
        auto const found = std::find_if(stored.figures.begin(), stored.figures.end(),
                                        [&](Figure const& f) { return f.first == "/series/" + name; });
        if (found == stored.figures.end() ||
            found->second.size() != static_cast<std::size_t>(stored.clock.hours))
            throw ResultFileError(fmt::format("{}: does not hold {} for each of its {} h", result_path, name,
                                              stored.clock.hours));
        std::vector<double> hours(found->second.begin(), found->second.begin() + hours_per_year);
        std::rotate(hours.begin(), hours.end() - stored.clock.first_hour, hours.end());
        return hours;
    };
    ReplayYear year{series("water_delivered_m3"), series("pump_kw"),     series("pump_starts"),
                    series("pv_used_kw"),         series("battery_soc"), series("grid_kw")};
    auto const generator = series("generator_kw");
    for (std::size_t h = 0; h < year.backup_kwh.size(); ++h) year.backup_kwh[h] += generator[h];
    return year;
}

Replay replay_log(SiteLog const& log, scenarios::Scenario const& scenario,
                  weather::WeatherYear const& typical, weather::WeatherYear const* weather,
                  ReplayYear const* promised) {
    Replay r;
    auto const run = simulate(make_system(scenario), make_inputs(scenario, weather ? *weather : typical), {});
    auto const modeled = replay_year(run.hours);
    for (auto const& [later, rows] : calendar_days(log))
        r.days.push_back(
            {date_of_day(log, later), logged_day(log, rows), year_day(modeled, day_of_year(log, later))});
    set_means(r);
    r.fit = fit_log(log, scenario, weather);
    double m3 = 0, kwh = 0;
    for (ReplayDay const& day : r.days)
        m3 += day.modeled[index_of(Kind::water)], kwh += day.modeled[index_of(Kind::pump_energy)];
    if (!r.days.empty()) r.fit.water_use.scenario = m3 / static_cast<double>(r.days.size());
    if (m3 > 0) r.fit.pump_energy.scenario = kwh / m3;
    if (promised) r.promises = promises_of(log, r.fit, scenario, *promised);
    return r;
}

}  // namespace holdwater::sim
