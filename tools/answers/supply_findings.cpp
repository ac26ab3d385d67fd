#include "tools/answers/supply_findings.hpp"

#include <fmt/format.h>

#include <optional>
#include <utility>

#include "models/battery/battery_aging.hpp"
#include "models/battery/battery_bank.hpp"
#include "sim/base/figure_text.hpp"

namespace holdwater::tools {

namespace {

// How often a battery should be full, by its chemistry: common practice, no source.
std::string wants_to_be_full(std::optional<models::Chemistry> chemistry) {
    if (chemistry == models::Chemistry::lithium_iron_phosphate)
        return "no harm to lithium cells; its management balances them near full charge, as often as its "
               "maker says";
    return "a lead-acid battery needs a full charge every one to three weeks";
}

}  // namespace

std::vector<SummaryLine> supply_findings(scenarios::Scenario const& scenario, sim::RunResult const& result,
                                         Units units) {
    sim::Findings const& f = result.findings;
    std::vector<SummaryLine> out;
    auto const add = [&](std::string label, std::string text) {
        out.push_back({std::move(label), std::move(text)});
    };
    if (f.battery_life_y > 0) {
        auto const rule = static_cast<models::LifeRule>(static_cast<int>(f.battery_life_rule));
        add("battery life", fmt::format("about {} years to replacement, decided by {}",
                                        sim::figure_text(f.battery_life_y, 1), models::name(rule)));
    }
    if (f.charge_refused_h > 0)
        add("cold",
            fmt::format("the battery refused charge for its temperature in {} h; coldest {}",
                        sim::figure_text(f.charge_refused_h), show_temperature(f.battery_coldest_c, units)));
    if (result.start.battery_capacity_kwh > 0 && f.longest_without_full_h > 21 * 24)
        add("full",
            fmt::format("{} full charges, {} days at most between two; {}", sim::figure_text(f.full_charges),
                        sim::figure_text(f.longest_without_full_h / 24),
                        wants_to_be_full(scenario.battery_behavior.chemistry)));
    if (f.starts_refused > 0 || f.inverter_trips > 0)
        add("starts", fmt::format("{} pump starts refused, {} inverter trips",
                                  sim::figure_text(f.starts_refused), sim::figure_text(f.inverter_trips)));
    if (f.overload_transfers > 0)
        add("overload",
            fmt::format(
                "{} time{} loads above the inverter's {} kW came to it from grid, generator or a bypass, "
                "which trips it",
                sim::figure_text(f.overload_transfers), f.overload_transfers == 1 ? "" : "s",
                sim::figure_text(1e-3 * scenario.inverter.rated_power_w, 1)));
    if (f.load_starts_over_h > 0)
        add("load start", fmt::format("in {} h the start of a small load is too much for the inverter",
                                      sim::figure_text(f.load_starts_over_h)));
    if (f.generator_failures > 0)
        add("generator", fmt::format("{} start{} failed", sim::figure_text(f.generator_failures),
                                     f.generator_failures == 1 ? "" : "s"));
    if (f.fuel_outs > 0)
        add("generator",
            fmt::format("out of fuel {} time{}", sim::figure_text(f.fuel_outs), f.fuel_outs == 1 ? "" : "s"));
    if (f.generator_low_load_h > 0)
        add("low load", fmt::format("generator below its minimum load for {} h",
                                    sim::figure_text(f.generator_low_load_h)));
    return out;
}

std::string years_table(sim::RunResult const& result, bool life_stated) {
    if (result.years.empty()) return "";
    std::string out = "\n  year  capacity  demand met  short h  generator h  grid kWh  lowest SOC\n";
    for (sim::YearRecord const& y : result.years)
        out += fmt::format("  {:>4}  {:>6} %  {:>8} %  {:>7}  {:>11}  {:>8}  {:>8} %{}\n",
                           sim::figure_text(y.year), sim::figure_text(100 * y.capacity_fraction, 1),
                           sim::figure_text(100 * y.demand_met_fraction, 2),
                           sim::figure_text(y.shortage_hours), sim::figure_text(y.generator_run_h, 1),
                           sim::figure_text(y.grid_kwh), sim::figure_text(100 * y.soc_min),
                           y.battery_replaced > 0 ? "  battery replaced" : "");
    if (!life_stated)
        out += "  The capacity does not fade: the scenario states no battery life ([battery.life]).\n";
    return out;
}

}  // namespace holdwater::tools
