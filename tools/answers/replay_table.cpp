#include "tools/answers/replay_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "sim/base/figure_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t most_days_shown = 14;

// How a figure of the replay is shown: percent of a fraction, and as many digits as its unit deserves.
struct ReplayShown {
    std::string si, unit;
    Units units = Units::metric;
    int digits = 0;
};
ReplayShown replay_unit(std::string const& unit, Units units) {
    int const digits = unit == "m3" || unit == "m3/day" || unit == "W" ? 0
                       : unit == "kWh/m3"                              ? (units == Units::us ? 2 : 3)
                       : unit == "kWh" || unit == "kWh/day"            ? 2
                                                                       : 1;
    return {unit, unit == "1" ? "%" : shown(0, unit, units).unit, units, digits};
}

std::string number_of(double value, ReplayShown const& s) {
    if (std::isnan(value)) return "-";
    return sim::figure_text(s.si == "1" ? 100 * value : shown(value, s.si, s.units).value, s.digits);
}

std::string range_of(models::Interval const& i, ReplayShown const& s) {
    return fmt::format("{} {} ({} to {})", number_of(i.center, s), s.unit, number_of(i.low, s),
                       number_of(i.high, s));
}

std::string fitted_lines(sim::Replay const& replay, Units units) {
    std::string out = "Fitted from the log, with 90 % interval\n";
    for (auto const* f : replay.fit.figures()) {
        auto const as = replay_unit(f->unit, units);
        if (!f->determined()) {
            out += fmt::format("  {:<36}not determined by this log: {}\n", f->name, f->why_not);
            continue;
        }
        std::string const scenario =
            std::isnan(f->scenario) ? ""
                                    : fmt::format("; scenario {} {}", number_of(f->scenario, as), as.unit);
        out += fmt::format("  {:<36}{}{}\n", f->name, range_of(f->fitted, as), scenario);
    }
    if (replay.fit.clock_ahead_min && *replay.fit.clock_ahead_min != 0)
        out += fmt::format("  The clock of the log is {:.0f} min {} that of the weather.\n",
                           std::abs(*replay.fit.clock_ahead_min),
                           *replay.fit.clock_ahead_min > 0 ? "ahead of" : "behind");
    return out;
}

std::string corrections(sim::Replay const& replay, Units units) {
    std::string out;
    for (auto const* f : replay.fit.figures()) {
        if (!f->differs()) continue;
        auto const as = replay_unit(f->unit, units);
        out += fmt::format("  {}: {} {} by the scenario, {} by the log\n", f->key, number_of(f->scenario, as),
                           as.unit, range_of(f->fitted, as));
    }
    return out.empty() ? "No input has to be corrected: each fitted figure agrees with the scenario.\n"
                       : "Inputs to correct\n" + out;
}

std::string_view promise_words(sim::PromiseVerdict verdict) {
    return verdict == sim::PromiseVerdict::held       ? "held"
           : verdict == sim::PromiseVerdict::not_held ? "NOT HELD"
                                                      : "not determined";
}

std::string promise_lines(sim::Replay const& replay, std::string const& result, Units units) {
    if (result.empty()) return "";
    std::string out = fmt::format("\nPromises of {} for these dates\n", result);
    for (auto const& p : replay.promises) {
        auto const as = replay_unit(p.unit, units);
        std::string const promised =
            std::isnan(p.promised) ? "" : fmt::format(" {} {}", number_of(p.promised, as), as.unit);
        if (p.verdict == sim::PromiseVerdict::not_determined)
            out += fmt::format("  {:<15}{}{}: not determined by this log: {}\n", promise_words(p.verdict),
                               p.words, promised, p.why_not);
        else if (p.logged.low == p.logged.high)
            out += fmt::format("  {:<15}{}{}: logged {} {}\n", promise_words(p.verdict), p.words, promised,
                               number_of(p.logged.center, as), as.unit);
        else
            out += fmt::format("  {:<15}{}{}: logged {}\n", promise_words(p.verdict), p.words, promised,
                               range_of(p.logged, as));
    }
    return out;
}

std::string side_by_side(sim::Replay const& replay, Units units) {
    std::string head = fmt::format("  {:<12}", "day"), below = fmt::format("  {:<12}", "");
    std::vector<std::pair<std::size_t, ReplayShown>> columns;
    for (auto const& facts : sim::day_figure_facts()) {
        auto const k = static_cast<std::size_t>(facts.kind);
        if (std::isnan(replay.logged_mean[k])) continue;
        auto const as = replay_unit(std::string(facts.unit), units);
        columns.emplace_back(k, as);
        head +=
            fmt::format("{:>20}", fmt::format("{}{}", facts.words, as.unit.empty() ? "" : ", " + as.unit));
        below += fmt::format("{:>10}{:>10}", "logged", "modeled");
    }
    if (columns.empty()) return "No whole day of the calendar can be compared.\n";
    std::string out = "Logged and modeled\n" + head + "\n" + below + "\n";
    auto const line = [&](std::string const& name, sim::DayFigures const& logged,
                          sim::DayFigures const& modeled) {
        out += fmt::format("  {:<12}", name);
        for (auto const& [k, as] : columns)
            out += fmt::format("{:>10}{:>10}", number_of(logged[k], as), number_of(modeled[k], as));
        out += "\n";
    };
    for (std::size_t i = 0; i < std::min(replay.days.size(), most_days_shown); ++i)
        line(replay.days[i].date, replay.days[i].logged, replay.days[i].modeled);
    if (replay.days.size() > most_days_shown)
        out += fmt::format("  ... {} more days (all with --out FILE.csv)\n",
                           replay.days.size() - most_days_shown);
    line("mean; lowest", replay.logged_mean, replay.modeled_mean);
    return out;
}

}  // namespace

std::string replay_table(sim::SiteLog const& log, sim::Replay const& replay, std::string const& result,
                         Units units) {
    std::string out = fmt::format("Log {}: {:.1f} days from {:04}-{:02}-{:02}, a row every {:g} min\n",
                                  log.path, (log.time_h.back() - log.time_h.front()) / 24, log.year,
                                  log.month, log.day, std::round(600 * log.usual_step_h) / 10);
    for (auto const& note : log.notes) out += "  " + note + "\n";
    out += "\n" + fitted_lines(replay, units) + "\n" + side_by_side(replay, units) +
           promise_lines(replay, result, units) + "\n" + corrections(replay, units);
    return out;
}

sim::Table replay_days_table(sim::Replay const& replay) {
    sim::Table table{"days", {}};
    std::vector<std::string> dates;
    for (auto const& day : replay.days) dates.push_back(day.date);
    table.columns.push_back({"date", "", "day of the calendar", dates});
    for (auto const& facts : sim::day_figure_facts())
        for (auto const& [who, which] :
             {std::pair{"logged", &sim::ReplayDay::logged}, std::pair{"modeled", &sim::ReplayDay::modeled}}) {
            std::vector<double> values;
            for (auto const& day : replay.days)
                values.push_back((day.*which)[static_cast<std::size_t>(facts.kind)]);
            std::string const unit(facts.unit);
            std::string ending = unit == "m3" ? "_m3" : unit == "kWh" ? "_kwh" : "";
            table.columns.push_back({fmt::format("{}_{}{}", who, facts.name, ending),
                                     unit.empty() ? "1" : unit, fmt::format("{}, {}", facts.words, who),
                                     std::move(values)});
        }
    return table;
}

}  // namespace holdwater::tools
