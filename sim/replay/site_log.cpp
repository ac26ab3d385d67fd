#include "sim/replay/site_log.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>

#include "models/numeric/statistics.hpp"
#include "scenarios/text/quantity.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"
#include "weather/csv.hpp"

namespace holdwater::sim {
namespace {

using scenarios::ScenarioError;

constexpr std::size_t most_log_lines = 1100000;  // two years of minutes

// "2026-03-31 14:05", "2026-03-31T14:05:30": minutes since 1970, or nothing.
std::optional<double> log_minutes(std::string_view text) {
    std::array<int, 6> n{};
    std::size_t at = 0, count = 0;
    while (count < 6) {
        int value = 0;
        auto const* from = text.data() + at;
        auto const [end, error] = std::from_chars(from, text.data() + text.size(), value);
        if (error != std::errc{} || value < 0) return std::nullopt;
        n[count++] = value;
        at = static_cast<std::size_t>(end - text.data());
        if (at == text.size()) break;
        char const mark = count < 3 ? '-' : count == 3 ? text[at] : ':';
        if (text[at] != mark || (count == 3 && mark != ' ' && mark != 'T')) return std::nullopt;
        ++at;
    }
    if (at != text.size() || (count != 5 && count != 6)) return std::nullopt;
    // `date` keeps months and days in one byte each: 261 would be 5.
    if (n[1] > 12 || n[2] > 31) return std::nullopt;
    date::year_month_day const day{date::year{n[0]}, date::month{static_cast<unsigned>(n[1])},
                                   date::day{static_cast<unsigned>(n[2])}};
    if (n[0] < 1900 || n[0] > 2200 || !day.ok() || n[3] > 24 || n[4] > 59 || n[5] > 59 ||
        (n[3] == 24 && (n[4] > 0 || n[5] > 0)))
        return std::nullopt;
    return static_cast<double>(date::sys_days{day}.time_since_epoch().count()) * 1440 + 60 * n[3] + n[4] +
           n[5] / 60.0;
}

// The unit in brackets behind a name, "" if there is none.
std::string unit_in(std::string_view header) {
    for (auto const& [open, shut] : {std::pair{'(', ')'}, std::pair{'[', ']'}}) {
        auto const from = header.rfind(open), end = header.rfind(shut);
        if (from != std::string_view::npos && end != std::string_view::npos && end > from + 1)
            return std::string(weather::trim(header.substr(from + 1, end - from - 1)));
    }
    return "";
}

// Size of the unit of a column in that of its quantity.
double factor_of(LogQuantityFacts const& facts, std::string const& given, std::string const& header,
                 std::string const& path, std::size_t line) {
    std::string unit = given.empty() ? unit_in(header) : given;
    if (unit.empty()) {
        if (facts.quantity == LogQuantity::water_meter)
            throw ScenarioError(
                path, line, "",
                fmt::format("the water meter in the column \"{}\" has no unit; write it in brackets behind "
                            "the name, or as --column \"water_meter=NAME:gal\"",
                            weather::to_utf8(header.substr(0, 60))));
        return 1;
    }
    if (facts.unit.empty() || facts.quantity == LogQuantity::soc) {
        if (unit == "%" && facts.quantity == LogQuantity::soc) return 0.01;
        if (unit == "1") return 1;
        throw ScenarioError(
            path, line, "",
            fmt::format("\"{}\" is no unit of {}; accepted: {}", weather::to_utf8(unit.substr(0, 40)),
                        facts.words, facts.quantity == LogQuantity::soc ? "%, 1" : "1"));
    }
    try {
        return scenarios::read_quantity("1 " + unit, facts.unit);
    } catch (scenarios::QuantityError const& error) {
        throw ScenarioError(
            path, line, "",
            fmt::format("column \"{}\": {}", weather::to_utf8(header.substr(0, 60)), error.what()));
    }
}

struct LogField {
    LogQuantityFacts facts;
    std::size_t position = 0;
    double factor = 1;
};

// Where the columns are. A quantity that the map names must be there.
std::vector<LogField> fields_of(std::vector<std::string_view> const& names, LogColumns const& columns,
                                std::string const& path, std::size_t line) {
    std::vector<LogField> fields;
    for (auto const& facts : log_quantity_facts()) {
        auto const named = std::find_if(columns.columns.begin(), columns.columns.end(),
                                        [&](LogColumn const& c) { return c.quantity == facts.quantity; });
        bool const must = named != columns.columns.end();
        std::string const name = must ? named->name : std::string(facts.name);
        int const at = weather::find_column(names, name);
        if (at < 0 && must)
            throw ScenarioError(path, line, "", fmt::format("no column \"{}\" in the header row", name));
        if (at < 0) continue;
        auto const position = static_cast<std::size_t>(at);
        fields.push_back(
            {facts, position,
             factor_of(facts, must ? named->unit : "", std::string(names[position]), path, line)});
    }
    if (fields.empty())
        throw ScenarioError(
            path, line, "",
            "no column of a quantity that can be compared; name them with --column QUANTITY=NAME:UNIT");
    return fields;
}

void check_range(LogField const& field, double value, std::string const& path, std::size_t line) {
    if (std::isnan(value)) return;
    bool const share = field.facts.quantity == LogQuantity::soc;
    double const low = share ? -0.01 : 0, high = share ? 1.01 : 1e7;
    if (value >= low - 1e-9 && value <= high) return;
    throw ScenarioError(
        path, line, "",
        fmt::format("{} is {:g}; accepted: {}", field.facts.words, value,
                    share ? "0 to 1, or 0 to 100 with the unit %"
                          : fmt::format("0 to 10,000,000{}{}", field.facts.unit.empty() ? "" : " ",
                                        field.facts.unit)));
}

bool counts_up(LogQuantity q) { return q == LogQuantity::water_meter || q == LogQuantity::pump_starts; }

}  // namespace

std::array<LogQuantityFacts, log_quantities> const& log_quantity_facts() {
    static constexpr std::array<LogQuantityFacts, log_quantities> all{
        {{LogQuantity::soc, "soc", "1", "state of charge"},
         {LogQuantity::battery_volts, "battery_volts", "V", "battery voltage"},
         {LogQuantity::array_power, "array_power", "W", "array power"},
         {LogQuantity::pump_power, "pump_power", "W", "pump power"},
         {LogQuantity::pump_starts, "pump_starts", "", "the count of pump starts"},
         {LogQuantity::load_power, "load_power", "W", "power of the small loads"},
         {LogQuantity::generator_power, "generator_power", "W", "generator or grid power"},
         {LogQuantity::water_meter, "water_meter", "m3", "water meter"}}};
    return all;
}

SiteLog read_site_log_text(std::string_view text, std::string const& path, LogColumns const& columns) {
    if (auto const problem = weather::line_problem(text, most_log_lines))
        throw ScenarioError(path, problem->line, "", problem->words);
    auto const lines = weather::split_lines(text);
    std::vector<std::string_view> names, cells;
    std::size_t head = 0;
    for (; head < std::min<std::size_t>(lines.size(), 100); ++head) {
        weather::split_fields(lines[head], ',', names);
        if (weather::find_column(names, columns.time) >= 0) break;
    }
    if (head == std::min<std::size_t>(lines.size(), 100))
        throw ScenarioError(
            path, 0, "",
            fmt::format("no header row with a column \"{}\" in the first 100 lines; --column time=NAME "
                        "names the column of the time",
                        columns.time));
    auto const time = static_cast<std::size_t>(weather::find_column(names, columns.time));
    auto const fields = fields_of(names, columns, path, head + 1);

    SiteLog log;
    log.path = path;
    double first_min = 0;
    std::array<std::size_t, log_quantities> missing{};
    std::array<double, log_quantities> last{};
    last.fill(-1);
    for (std::size_t i = head + 1; i < lines.size(); ++i) {
        auto const line = weather::trim(lines[i]);
        if (line.empty() || line.front() == '#') continue;
        weather::split_fields(lines[i], ',', cells);
        if (cells.size() < names.size())
            throw ScenarioError(path, i + 1, "",
                                fmt::format("{} fields where the header in line {} has {}", cells.size(),
                                            head + 1, names.size()));
        auto const minutes = log_minutes(cells[time]);
        if (!minutes)
            throw ScenarioError(
                path, i + 1, "",
                fmt::format("\"{}\" is not a time such as 2026-03-31 14:05, local standard time without "
                            "a time zone",
                            weather::to_utf8(cells[time].substr(0, 40))));
        if (log.time_h.empty()) {
            auto const days = static_cast<int>(std::floor(*minutes / 1440));
            date::year_month_day const ymd{date::sys_days{date::days{days}}};
            log.year = static_cast<int>(ymd.year());
            log.month = static_cast<int>(static_cast<unsigned>(ymd.month()));
            log.day = static_cast<int>(static_cast<unsigned>(ymd.day()));
            first_min = 1440.0 * days;
        }
        double const time_h = (*minutes - first_min) / 60;
        if (!log.time_h.empty() && time_h <= log.time_h.back())
            throw ScenarioError(
                path, i + 1, "",
                fmt::format("the time {} is not later than the one above; rows must be in order of time, and "
                            "a log is kept in local standard time all year",
                            weather::to_utf8(cells[time].substr(0, 40))));
        log.time_h.push_back(time_h);
        for (LogField const& field : fields) {
            auto const at = static_cast<std::size_t>(field.facts.quantity);
            double value = weather::number(cells[field.position], names[field.position], {path, i + 1});
            value *= field.factor;
            check_range(field, value, path, i + 1);
            if (std::isnan(value)) ++missing[at];
            if (counts_up(field.facts.quantity) && !std::isnan(value)) {
                if (value < last[at] - 1e-9)
                    throw ScenarioError(
                        path, i + 1, "",
                        fmt::format("{} goes back from {:g} to {:g}; it must count up (a meter that was "
                                    "changed: cut the log there)",
                                    field.facts.words, last[at] / field.factor, value / field.factor));
                last[at] = value;
            }
            log.values[at].push_back(value);
        }
    }
    if (log.rows() < 3 || log.time_h.back() - log.time_h.front() < 48)
        throw ScenarioError(path, 0, "",
                            fmt::format("the log covers {:.1f} h; at least 48 h are needed",
                                        log.rows() < 2 ? 0.0 : log.time_h.back() - log.time_h.front()));
    std::vector<double> steps;
    for (std::size_t i = 1; i < log.rows(); ++i) steps.push_back(log.time_h[i] - log.time_h[i - 1]);
    log.usual_step_h = models::quantile(steps, 0.5);
    if (log.usual_step_h > 1.01)
        throw ScenarioError(
            path, 0, "",
            fmt::format("rows are {:.1f} h apart; at least one row an hour is needed", log.usual_step_h));
    double gap_h = 0;
    int gaps = 0;
    for (std::size_t i = 1; i < log.rows(); ++i)
        if (log.gap_before(i)) ++gaps, gap_h += log.time_h[i] - log.time_h[i - 1];
    if (gaps > 0) log.notes.push_back(fmt::format("{} gaps, {:.1f} h in all", gaps, gap_h));
    for (auto const& facts : log_quantity_facts()) {
        auto const at = static_cast<std::size_t>(facts.quantity);
        if (missing[at] == log.rows() && !log.values[at].empty()) {
            log.values[at].clear();
            log.notes.push_back(fmt::format("{}: no value at all", facts.words));
        } else if (missing[at] > 0) {
            log.notes.push_back(
                fmt::format("{}: missing in {} of {} rows", facts.words, missing[at], log.rows()));
        }
    }
    return log;
}

SiteLog read_site_log(std::string const& path, LogColumns const& columns) {
    return read_site_log_text(scenarios::text_of_file(path, "log (CSV)", scenarios::largest_series), path,
                              columns);
}

}  // namespace holdwater::sim
