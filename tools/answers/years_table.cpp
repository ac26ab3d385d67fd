#include "tools/answers/years_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "sim/base/figure_text.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

// A figure of the summary in its row.
struct Line {
    std::string_view name, label, unit;  // the unit in SI; "%": of a fraction
    int decimals{};
};

constexpr std::array lines{Line{"demand_met_fraction", "demand met", "%", 2},
                           Line{"shortage_hours", "hours short of water", "h", 0},
                           Line{"longest_shortage_h", "longest shortage", "h", 0},
                           Line{"soc_min", "lowest SOC", "%", 0},
                           Line{"generator_run_h", "generator", "h", 1},
                           Line{"generator_fuel_l", "fuel", "L", 1},
                           Line{"grid_kwh", "grid", "kWh", 0},
                           Line{"pump_starts", "pump starts", "1", 0},
                           Line{"pv_available_kwh", "PV available", "kWh", 0},
                           Line{"load_unserved_kwh", "small loads not served", "kWh", 1}};

}  // namespace

std::string words(sim::Odds const& o) {
    return fmt::format("{} of {} years, {} % ({} to {} %)", o.times, o.years,
                       sim::figure_text(100 * o.share.center), sim::figure_text(100 * o.share.low),
                       sim::figure_text(100 * o.share.high));
}

std::string years_table(scenarios::Scenario const& scenario, sim::YearsAnswer const& a, Units units) {
    std::string out = fmt::format("{}\n{}\n{}; different in each year: {}\n\n", scenario.title,
                                  scenario.place, a.weather, a.drawn);
    wrap(out, "How sure is it?  ",
         fmt::format("The whole demand was met in {}, {}.", words(a.wet),
                     judged_battery_words(scenario.years)),
         100);
    out += "\n";
    out += fmt::format("  {:<24}{:<4}{:>14}{:>10}{:>20}{:>10}{:>10}\n", "", "",
                       a.own_is_recorded ? "first year" : "typical year", "median", "10 to 90 %", "1 in 10",
                       "worst");
    auto const spreads = sim::figure_spreads(a);
    for (auto const& line : lines) {
        auto const& s = *std::find_if(spreads.begin(), spreads.end(),
                                      [&](auto const& one) { return one.name == line.name; });
        bool const nothing = s.as_written == 0 && s.spread.low == 0 && s.spread.high == 0 &&
                             s.spread.worst == 0 && s.name != "shortage_hours" &&
                             s.name != "longest_shortage_h";
        if (nothing) continue;
        auto const show = [&](double v) {
            return sim::figure_text(line.unit == "%" ? 100 * v : shown(v, line.unit, units).value,
                                    line.decimals);
        };
        out += fmt::format("  {:<24}{:<4}{:>14}{:>10}{:>20}{:>10}{:>10}\n", line.label,
                           shown(0, line.unit, units).unit, show(s.as_written), show(s.spread.median),
                           show(s.spread.low) + " to " + show(s.spread.high), show(s.spread.bad),
                           show(s.spread.worst));
    }
    out += fmt::format("\n  whole demand met        {}\n  99.9 % of it or more    {}\n", words(a.wet),
                       words(a.nearly_wet));
    out += "\n";
    if (!scenario.years.required.judge_new)
        wrap(out, "  ",
             fmt::format("{}: battery as it is now. The other columns: {}.",
                         a.own_is_recorded ? "First year" : "Typical year",
                         judged_battery_words(scenario.years)),
             100);
    out +=
        "  10 to 90 %: eight of ten years are in this range. 1 in 10: one year of ten is as bad or worse.\n"
        "  Shares of years with their 90 % interval (Clopper-Pearson).\n";
    if (a.made)
        out +=
            "  Made years have the file's months on average and the spread that records of seven climates "
            "show.\n"
            "  Recorded years of the site are better: give them with --weather.\n";
    for (auto const& note : a.notes) wrap(out, "  ", note + ".", 100);
    return out;
}

}  // namespace holdwater::tools
