#include "tools/summary_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/bank_life.hpp"
#include "tools/outage_words.hpp"
#include "tools/supply_findings.hpp"

namespace holdwater::tools {
namespace {

std::string answer(sim::Summary const& s, Units units) {
    if (s.water_demand_m3 == 0) return "No water was asked for.";
    if (s.dry_hours == 0) return "YES: all the water wanted came.";
    return fmt::format(
        "NO: {} of the water did not come, in {:.0f} hours; the longest dry time was {:.0f} h.",
        show_volume(s.water_unmet_m3, units), s.dry_hours, s.longest_dry_h);
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
    out += fmt::format("{:.0f} days from {}, weather: {}\n\n", days,
                       sim::stamp_of_hour(result.clock.first_hour).substr(0, 5), year.station);
    out += fmt::format("Does it hold water?  {}\n\n", answer(s, units));

    labelled_line(out, "water",
                  fmt::format("{} wanted, {} delivered, {:.2f} % kept", show_volume(s.water_demand_m3, units),
                              show_volume(s.water_delivered_m3, units), 100 * s.water_kept_fraction));
    labelled_line(
        out, "pump",
        fmt::format("{:.0f} starts ({:.1f} a day, at most {:.0f}), {:.0f} h running, {}, {:.0f} kWh",
                    s.pump_starts, s.pump_starts / days, s.max_starts_per_day, s.pump_run_h,
                    s.shortest_run_s > 0 ? fmt::format("shortest run {:.0f} s", s.shortest_run_s)
                                         : std::string("no run ended by its switch"),
                    s.pump_energy_kwh));
    double window_loss_kwh = 0;
    for (sim::HourRecord const& r : result.hours) window_loss_kwh += r.array_window_loss_kw;
    std::string const window =
        window_loss_kwh < 0.5
            ? ""
            : fmt::format(", {:.0f} lost to the controller's voltage window", window_loss_kwh);
    labelled_line(out, "sun",
                  fmt::format("{:.0f} kWh offered by the array, {:.0f} used, {:.0f} not needed{}",
                              s.pv_available_kwh, s.pv_used_kwh, s.pv_curtailed_kwh, window));
    labelled_line(
        out, "bank",
        fmt::format(
            "{:.0f} kWh in, {:.0f} out, {:.0f} lost, {:.0f} full cycles; lowest {:.0f} %, mean {:.0f} %",
            s.battery_in_kwh, s.battery_out_kwh, s.battery_loss_kwh, s.battery_equivalent_cycles,
            100 * s.soc_min, 100 * s.soc_mean));
    labelled_line(out, "inverter", fmt::format("{:.0f} kWh lost, idle draw included", s.inverter_loss_kwh));
    labelled_line(out, "loads",
                  fmt::format("{:.0f} kWh served, pump included; {:.1f} kWh of the small loads not served",
                              s.load_served_kwh, s.load_unserved_kwh));
    switch (scenario.rules.backup) {
        case scenarios::Backup::none:
            labelled_line(out, "backup", "none");
            break;
        case scenarios::Backup::grid:
            labelled_line(
                out, "grid",
                fmt::format("{:.0f} kWh{}, {:.0f} transfers", s.grid_kwh, passing_through(s), s.transfers));
            break;
        case scenarios::Backup::generator:
            labelled_line(out, "generator",
                          fmt::format("{:.1f} h in {:.0f} starts, {:.0f} kWh{}, {} of fuel",
                                      s.generator_run_h, s.generator_starts, s.generator_kwh,
                                      passing_through(s), show_fuel(s.generator_fuel_l, units)));
            break;
    }
    if (!result.outages.empty()) {
        constexpr std::size_t most_shown = 8;
        labelled_line(out, "outages", outages_in_a_sentence(result.outages));
        auto const failed = failed_outages(result.outages, [&](double m3) { return show_volume(m3, units); });
        for (std::size_t i = 0; i < std::min(failed.size(), most_shown); ++i)
            labelled_line(out, "", failed[i]);
        if (failed.size() > most_shown)
            labelled_line(
                out, "",
                fmt::format("and {} more, see /outages in the result file", failed.size() - most_shown));
    }
    out += supply_findings(scenario, result);
    labelled_line(out, "ledgers",
                  fmt::format("{}, {}", closure("energy", s.energy_residual_kwh, "kWh"),
                              closure("water", s.water_residual_m3, "m3")));
    out += years_table(result, sim::asks_for_life(scenario.bank_life));
    return out;
}

}  // namespace holdwater::tools
