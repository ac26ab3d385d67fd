#include "tools/answers/summary_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/year/battery_life.hpp"
#include "tools/answers/outage_words.hpp"
#include "tools/answers/supply_findings.hpp"

namespace holdwater::tools {
namespace {

std::string answer(sim::Summary const& s, Units units) {
    if (s.water_demand_m3 == 0) return "No water was asked for.";
    if (s.shortage_hours == 0) return "YES: all the water wanted came.";
    return fmt::format("NO: {} of the water did not come, in {} hours; the longest shortage was {} h.",
                       show_volume(s.water_short_m3, units), sim::figure_text(s.shortage_hours),
                       sim::figure_text(s.longest_shortage_h));
}

// Rounding differs between builds; whether a ledger closes does not.
std::string closure(std::string_view name, double residual, std::string_view unit) {
    if (std::abs(residual) < 1e-6) return fmt::format("{} closes within 1e-6 {}", name, unit);
    return fmt::format("{} is off by {:.2e} {}", name, residual, unit);
}

// What the inverter takes of the backup's energy while it passes it through.
std::string passing_through(sim::Summary const& s) {
    if (s.pass_through_loss_kwh == 0) return "";
    return fmt::format(" ({:.{}f} of it drawn by the inverter that passes it through)",
                       s.pass_through_loss_kwh, s.pass_through_loss_kwh < 10 ? 1 : 0);
}

}  // namespace

std::string summary_table(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::RunResult const& result, Units units) {
    sim::Summary const& s = result.summary;
    double const days = result.clock.hours / 24.0;
    std::string out = fmt::format("{}\n{}\n", scenario.title, scenario.place);
    out += fmt::format("{} day{} from {}, weather: {}\n\n", sim::figure_text(days), days == 1 ? "" : "s",
                       sim::stamp_of_hour(result.clock.first_hour).substr(0, 5), year.station);
    out += fmt::format("Does it hold water?  {}\n\n", answer(s, units));

    labeled_line(out, "water",
                 s.water_demand_m3 == 0 ? std::string("none wanted")
                                        : fmt::format("{} wanted, {} delivered, {} % kept",
                                                      show_volume(s.water_demand_m3, units),
                                                      show_volume(s.water_delivered_m3, units),
                                                      sim::figure_text(100 * s.demand_met_fraction, 2)));
    labeled_line(out, "pump",
                 fmt::format("{} starts ({} a day, at most {}), {} h running, {}, "
                             "{} kWh",
                             sim::figure_text(s.pump_starts), sim::figure_text(s.pump_starts / days, 1),
                             sim::figure_text(s.max_starts_per_day), sim::figure_text(s.pump_run_h),
                             s.shortest_run_s > 0
                                 ? fmt::format("shortest run {} s", sim::figure_text(s.shortest_run_s))
                                 : std::string("no run ended by its switch"),
                             sim::figure_text(s.pump_energy_kwh)));
    double window_loss_kwh = 0;
    for (sim::HourRecord const& r : result.hours) window_loss_kwh += r.array_window_loss_kw;
    std::string const window =
        window_loss_kwh < 0.5
            ? ""
            : fmt::format(", {} lost to the controller's voltage window", sim::figure_text(window_loss_kwh));
    labeled_line(out, "sun",
                 fmt::format("{} kWh offered by the array, {} used, {} not needed{}",
                             sim::figure_text(s.pv_available_kwh), sim::figure_text(s.pv_used_kwh),
                             sim::figure_text(s.pv_curtailed_kwh), window));
    labeled_line(
        out, "battery",
        fmt::format("{} kWh in, {} out, {} lost, {} full cycles; lowest {} %, mean {} %",
                    sim::figure_text(s.battery_in_kwh), sim::figure_text(s.battery_out_kwh),
                    sim::figure_text(s.battery_loss_kwh), sim::figure_text(s.battery_equivalent_cycles),
                    sim::figure_text(100 * s.soc_min), sim::figure_text(100 * s.soc_mean)));
    labeled_line(out, "inverter",
                 fmt::format("{} kWh lost, idle draw included", sim::figure_text(s.inverter_loss_kwh)));
    labeled_line(out, "loads",
                 fmt::format("{} kWh served, pump included; {} kWh of the small loads not served",
                             sim::figure_text(s.load_served_kwh), sim::figure_text(s.load_unserved_kwh, 1)));
    switch (scenario.rules.backup) {
        case scenarios::Backup::none:
            labeled_line(out, "backup", "none");
            break;
        case scenarios::Backup::grid:
            labeled_line(out, "grid",
                         fmt::format("{} kWh{}, {} transfers", sim::figure_text(s.grid_kwh),
                                     passing_through(s), sim::figure_text(s.transfers)));
            break;
        case scenarios::Backup::generator:
            labeled_line(
                out, "generator",
                fmt::format("{} h in {} starts, {} kWh{}, {} of fuel", sim::figure_text(s.generator_run_h, 1),
                            sim::figure_text(s.generator_starts), sim::figure_text(s.generator_kwh),
                            passing_through(s), show_fuel(s.generator_fuel_l, units)));
            break;
    }
    if (!result.outages.empty()) {
        constexpr std::size_t most_shown = 8;
        labeled_line(out, "outages", outages_in_a_sentence(result.outages));
        auto const failed = failed_outages(result.outages, [&](double m3) { return show_volume(m3, units); });
        for (std::size_t i = 0; i < std::min(failed.size(), most_shown); ++i)
            labeled_line(out, "", failed[i]);
        if (failed.size() > most_shown)
            labeled_line(
                out, "",
                fmt::format("and {} more, see /outages in the result file", failed.size() - most_shown));
    }
    out += supply_findings(scenario, result);
    labeled_line(out, "ledgers",
                 fmt::format("{}, {}", closure("energy", s.energy_residual_kwh, "kWh"),
                             closure("water", s.water_residual_m3, "m3")));
    out += years_table(result, sim::asks_for_life(scenario.battery_life));
    return out;
}

}  // namespace holdwater::tools
