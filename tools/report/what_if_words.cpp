#include "tools/report/what_if_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/figure_text.hpp"

namespace holdwater::tools {
namespace {

// "+25 %" of 1.25, "−25 %" of 0.75.
std::string step_text(double factor) {
    return fmt::format("{}{} %", factor < 1 ? "−" : "+", sim::figure_text(100 * std::abs(factor - 1)));
}

std::string percent_text(double share) { return fmt::format("{} %", sim::figure_text(100 * share)); }

std::string times_text(double factor) { return factor < 1 ? "half" : "double"; }

std::string end_text(sim::WhatIfChange change, double end, ReportShow const& show) {
    using Change = sim::WhatIfChange;
    if (std::isnan(end)) return "";
    switch (change) {
        case Change::water_used:
        case Change::small_loads:
        case Change::array_yield:
            return step_text(end);
        case Change::inverter_idle:
            return times_text(end);
        case Change::battery_left:
        case Change::start_soc:
            return percent_text(end);
        case Change::sun:
            return percent_text(end) + " of clear";
        case Change::leak:
            return show.flow(end);
        case Change::static_level:
            return show.length(std::abs(end)) + (end < 0 ? " higher" : " deeper");
    }
    return "";
}

std::string name_of(sim::WhatIf const& w, ReportShow const& show) {
    using Change = sim::WhatIfChange;
    switch (w.change) {
        case Change::water_used:
            return "water used";
        case Change::small_loads:
            return "small loads";
        case Change::inverter_idle:
            return "inverter's idle draw";
        case Change::battery_left:
            return "battery, 80 % left of new";
        case Change::start_soc:
            return "SOC at the start";
        case Change::sun:
            return "light in the cloudy period";
        case Change::array_yield:
            return "array's yield";
        case Change::leak:
            return "a leak of " + show.flow(w.high);
        case Change::static_level:
            return "static water level";
    }
    return "";
}

}  // namespace

WhatIfWords what_if_words(sim::WhatIf const& w, ReportShow const& show) {
    return {name_of(w, show), end_text(w.change, w.low, show), end_text(w.change, w.high, show)};
}

}  // namespace holdwater::tools
