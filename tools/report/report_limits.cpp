#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

std::string days_text(double days) {
    return std::isinf(days) ? fmt::format("over {}", sim::longest_shortage_days) : sim::figure_text(days, 1);
}

std::string list_of_loads(scenarios::Scenario const& s) {
    std::string text;
    for (auto const& l : s.loads)
        text += fmt::format("{}{} ({} W)", text.empty() ? "" : ", ", l.load.name,
                            sim::figure_text(l.load.power_w));
    return text;
}

// "Below 40 % SOC the system switches off: freezer." for each SOC.
void add_shed_loads(scenarios::Scenario const& s, Json& list) {
    std::vector<double> levels;
    for (auto const& l : s.loads)
        if (l.shed_below > 0) levels.push_back(l.shed_below);
    std::sort(levels.begin(), levels.end(), std::greater<>());
    levels.erase(std::unique(levels.begin(), levels.end()), levels.end());
    for (double const level : levels) {
        std::string names;
        for (auto const& l : s.loads)
            if (l.shed_below == level) names += (names.empty() ? "" : ", ") + l.load.name;
        list.push_back(fmt::format("Below {} % SOC the system switches off by itself: {}.",
                                   sim::figure_text(100 * level), names));
    }
}

// The effect of one change in the cloudy period of the plot of changes.
void add_saving(sim::WhatIfs const& tried, sim::WhatIfChange bar, char const* what, Json& list) {
    auto const at = std::find_if(tried.bars.begin(), tried.bars.end(),
                                 [&](sim::WhatIf const& w) { return w.change == bar; });
    if (at == tried.bars.end() || std::isnan(at->low_days) || !(at->low_days > tried.base_days)) return;
    auto const before = days_text(tried.base_days), after = days_text(at->low_days);
    if (after == before) return;  // too little to be worth a sentence
    list.push_back(
        fmt::format("{} makes the water last {} days instead of {} at {} % of a clear sky, without backup.",
                    what, after, before, sim::figure_text(100 * tried.clear_sky_share)));
}

}  // namespace

Json report_limits(sim::ReportRuns const& r, ReportShow const&) {
    auto const& s = quoted_scenario(r);
    Json list = Json::array();
    list.push_back(
        s.loads.empty()
            ? std::string("The battery and inverter are sized for the pump alone. Nothing else may "
                          "be connected to the inverter.")
            : fmt::format("Besides the pump the inverter carries only: {}. Every other load "
                          "shortens the days without sun.",
                          list_of_loads(s)));
    if (scenarios::uses_generator(s.rules) && s.generator_operation.run.started_by_hand)
        list.push_back("The generator is started by hand: someone must be there when it is called.");
    list.push_back(fmt::format(
        "At {} % SOC the battery is empty for this system: the inverter stops, and without a backup the "
        "water stops when the {} is empty.",
        sim::figure_text(100 * r.system.battery.min_soc),
        r.system.cistern && r.system.cistern->gravity ? "cistern" : "pressure tank"));
    add_shed_loads(s, list);
    bool const irrigates =
        std::any_of(s.demand.uses.begin(), s.demand.uses.end(), [](auto const& u) { return u.deferrable; });
    if (irrigates) list.push_back("Switch off first in an outage or a cloudy period: irrigation.");
    add_saving(r.what_ifs, sim::WhatIfChange::small_loads, "Switching off half of the small loads", list);
    add_saving(r.what_ifs, sim::WhatIfChange::water_used, "Using a quarter less water", list);
    return list;
}

}  // namespace holdwater::tools
