#include "tools/answers/summary_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "sim/base/figure_text.hpp"
#include "sim/year/battery_life.hpp"
#include "sim/year/shortages.hpp"
#include "tools/answers/outage_words.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t most_listed = 10;

std::string hours_text(double hours) { return sim::figure_text(hours) + " h"; }

std::string_view cause(sim::LimitReason reason) {
    return reason == sim::LimitReason::none ? "traces of water only" : words(reason);
}

std::string verdict(sim::Summary const& s, std::vector<sim::Shortage> const& shortages, Units units) {
    if (s.water_demand_m3 == 0) return "There is no demand for water.";
    if (shortages.empty()) return "YES: all of the demand was delivered.";
    auto const longest = std::max_element(shortages.begin(), shortages.end(),
                                          [](auto const& a, auto const& b) { return a.hours < b.hours; });
    int const first_hour = shortages.front().first_hour, last_hour = shortages.back().first_hour;
    std::string const when =
        shortages.size() == 1
            ? fmt::format("in one shortage of {} from {}", hours_text(longest->hours), stamp_text(first_hour))
            : fmt::format("in {} shortages from {} to {}; the longest: {} from {}",
                          sim::figure_text(static_cast<double>(shortages.size())), date_text(first_hour / 24),
                          date_text(last_hour / 24), hours_text(longest->hours),
                          stamp_text(longest->first_hour));
    return fmt::format("NO: short of {} of water in {},\n  {}.", show_volume(s.water_short_m3, units),
                       hours_text(s.shortage_hours), when);
}

// Why, how much and when water is short: totals by cause, then the longest shortages by date.
std::string shortage_lines(sim::RunResult const& result, std::vector<sim::Shortage> shortages, Units units) {
    if (shortages.empty()) return "";
    std::string out = "Short of water, by cause\n";
    for (auto const& c : sim::shortage_causes(result))
        out += fmt::format("  {:>7}  {:>12}  {}\n", hours_text(c.hours), show_volume(c.water_short_m3, units),
                           cause(c.reason));
    std::stable_sort(shortages.begin(), shortages.end(),
                     [](auto const& a, auto const& b) { return a.hours > b.hours; });
    std::size_t const all = shortages.size();
    shortages.resize(std::min(all, most_listed));
    out += all > most_listed ? fmt::format("\nThe {} longest of {} shortages\n", most_listed,
                                           sim::figure_text(static_cast<double>(all)))
                             : std::string("\nShortages, longest first\n");
    for (auto const& s : shortages)
        out += fmt::format("  {:>12} to {:>12}  {:>7}  {:>12}  {}\n", stamp_text(s.first_hour),
                           end_stamp_text(s.first_hour + static_cast<int>(s.hours)), hours_text(s.hours),
                           show_volume(s.water_short_m3, units), cause(s.reason));
    return out + "\n";
}

// Small loads that were not served, and when that first happened.
std::string loads_text(sim::Summary const& s, std::vector<sim::LoadCause> const& causes) {
    std::string const text = fmt::format("{} kWh served, pump included; ", sim::figure_text(s.ac_served_kwh));
    if (causes.empty()) return text + "small loads never short";
    double hours = 0;
    int first_hour = causes.front().first_hour;
    for (auto const& c : causes) {
        hours += c.hours;
        first_hour = std::min(first_hour, c.first_hour);
    }
    return text + fmt::format("small loads {} kWh short in {} h, first {}",
                              sim::figure_text(s.load_unserved_kwh, 1), sim::figure_text(hours),
                              stamp_text(first_hour));
}

// Why and how much small loads were not served: totals by cause.
std::string load_lines(std::vector<sim::LoadCause> const& causes) {
    if (causes.empty()) return "";
    std::string out = "Small loads not served, by cause\n";
    for (auto const& c : causes)
        out += fmt::format("  {:>7}  {:>12}  {}\n", hours_text(c.hours),
                           sim::figure_text(c.unserved_kwh, 1) + " kWh", words(c.reason));
    return out + "\n";
}

// A balance closes except for rounding; only an error is printed.
std::string balance_error(std::string_view name, double residual, std::string_view unit) {
    if (std::abs(residual) < 1e-6) return "";
    return fmt::format("{}: {:.2e} {} unaccounted for; please report this as a fault", name, residual, unit);
}

// Energy from the backup that the inverter uses for itself while it passes power through.
std::string passing_through(sim::Summary const& s) {
    if (s.pass_through_loss_kwh == 0) return "";
    return fmt::format(" ({:.{}f} of it lost in the inverter)", s.pass_through_loss_kwh,
                       s.pass_through_loss_kwh < 10 ? 1 : 0);
}

std::string tariff_text(scenarios::Scenario const& scenario, sim::RunResult const& result) {
    auto const& s = result.summary;
    std::string text = fmt::format("{} kWh at the high price", sim::figure_text(s.grid_peak_kwh));
    if (!scenario.rules.tariff->low.none())
        text += fmt::format(", {} at the low one", sim::figure_text(s.grid_low_kwh));
    if (!scenarios::works_for_the_bill(scenario.rules) || result.outages.empty()) return text;
    auto const [least, most] =
        std::minmax_element(result.outages.begin(), result.outages.end(),
                            [](auto const& a, auto const& b) { return a.soc_at_start < b.soc_at_start; });
    return text + fmt::format("; outages find the battery at {} to {} %",
                              sim::figure_text(100 * least->soc_at_start),
                              sim::figure_text(100 * most->soc_at_start));
}

// What else takes energy, so that what comes in is what goes out.
std::string other_losses(sim::HourRecord const& year) {
    std::string text = fmt::format("{} kWh charge controller", sim::figure_text(year.controller_loss_kw));
    for (auto const& [kwh, what] : {std::pair{year.standby_kw, "standby of battery and controller"},
                                    {year.heater_kw, "battery heater"},
                                    {year.charger_loss_kw, "charger"},
                                    {year.pass_through_loss_kw, "inverter passing the backup through"}})
        if (kwh >= 0.5) text += fmt::format(", {} {}", sim::figure_text(kwh), what);
    return text;
}

}  // namespace

std::vector<SummaryLine> summary_lines(scenarios::Scenario const& scenario, sim::RunResult const& result,
                                       Units units) {
    sim::Summary const& s = result.summary;
    double const days = result.clock.hours / 24.0;
    std::vector<SummaryLine> out;
    auto const add = [&](std::string label, std::string text) {
        out.push_back({std::move(label), std::move(text)});
    };
    auto const generator_line = [&](std::string const& passing) {
        add("generator",
            fmt::format("{} h in {} start{}, {} of fuel, {} kWh{}", sim::figure_text(s.generator_run_h, 1),
                        sim::figure_text(s.generator_starts), s.generator_starts == 1 ? "" : "s",
                        show_fuel(s.generator_fuel_l, units), sim::figure_text(s.generator_kwh), passing));
    };
    switch (scenario.rules.backup) {
        case scenarios::Backup::none:
            add("backup", "none");
            break;
        case scenarios::Backup::grid:
            add("grid",
                fmt::format("{} kWh{}, {} transfers{}", sim::figure_text(s.grid_kwh), passing_through(s),
                            sim::figure_text(s.transfers), scenario.rules.by_hand ? " by hand" : ""));
            if (scenario.rules.tariff) add("tariff", tariff_text(scenario, result));
            if (scenario.rules.second) generator_line("");
            break;
        case scenarios::Backup::generator:
            generator_line(passing_through(s));
            break;
    }
    if (result.start.battery_capacity_kwh > 0)
        add("lowest SOC",
            fmt::format("{} % on {}; mean {} %", sim::figure_text(100 * s.soc_min),
                        stamp_text(result.lowest_soc_hour), sim::figure_text(100 * s.soc_mean)));
    add("water", s.water_demand_m3 == 0 ? std::string("no demand")
                                        : fmt::format("{} demand, {} delivered: {} % of the demand met",
                                                      show_volume(s.water_demand_m3, units),
                                                      show_volume(s.water_delivered_m3, units),
                                                      sim::figure_text(100 * s.demand_met_fraction, 2)));
    auto const year = sim::sum_of(result.hours);
    bool const booster = scenario.cistern && scenario.cistern->booster;
    add(booster ? "booster" : "pump",
        fmt::format("{} starts ({} a day, at most {}), {} h running, {}{}", sim::figure_text(s.pump_starts),
                    sim::figure_text(s.pump_starts / days, 1), sim::figure_text(s.max_starts_per_day),
                    sim::figure_text(s.pump_run_h),
                    s.shortest_run_s > 0
                        ? fmt::format("shortest run {} s", sim::figure_text(s.shortest_run_s))
                        : std::string("no run from cut-in to cut-out"),
                    booster ? std::string() : fmt::format(", {} kWh", sim::figure_text(s.pump_energy_kwh))));
    if (booster)
        add("well pump",
            fmt::format("{} starts ({} a day), {} h running; both pumps {} kWh",
                        sim::figure_text(year.fill_pump_starts),
                        sim::figure_text(year.fill_pump_starts / days, 1),
                        sim::figure_text(year.fill_pump_run_h), sim::figure_text(s.pump_energy_kwh)));
    double const window_loss_kwh = year.array_window_loss_kw;
    std::string const window =
        window_loss_kwh < 0.5
            ? ""
            : fmt::format(", {} lost to the controller's voltage window", sim::figure_text(window_loss_kwh));
    add("PV", fmt::format("{} kWh available, {} used, {} curtailed{}", sim::figure_text(s.pv_available_kwh),
                          sim::figure_text(s.pv_used_kwh), sim::figure_text(s.pv_curtailed_kwh), window));
    add("battery",
        fmt::format("{} kWh in, {} out, {} lost, {} equivalent full cycles",
                    sim::figure_text(s.battery_in_kwh), sim::figure_text(s.battery_out_kwh),
                    sim::figure_text(s.battery_loss_kwh), sim::figure_text(s.battery_equivalent_cycles)));
    add("inverter", fmt::format("{} kWh lost, idle draw included", sim::figure_text(s.inverter_loss_kwh)));
    add("other losses", other_losses(year));
    add("loads", loads_text(s, sim::load_causes(result)));
    if (!result.outages.empty()) {
        constexpr std::size_t most_shown = 8;
        add("outages", outages_in_a_sentence(result.outages));
        auto const failed = failed_outages(result.outages, [&](double m3) { return show_volume(m3, units); });
        for (std::size_t i = 0; i < std::min(failed.size(), most_shown); ++i) add("", failed[i]);
        if (failed.size() > most_shown)
            add("", fmt::format("and {} more, see /outages in the result file", failed.size() - most_shown));
    }
    for (auto& line : supply_findings(scenario, result, units)) out.push_back(std::move(line));
    for (auto const& error : {balance_error("energy", s.energy_residual_kwh, "kWh"),
                              balance_error("water", s.water_residual_m3, "m3")})
        if (!error.empty()) add("balance", error);
    return out;
}

std::string summary_table(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::RunResult const& result, Units units, std::string const& lead) {
    sim::Summary const& s = result.summary;
    double const days = result.clock.hours / 24.0;
    std::string out = fmt::format("{}\n{}\n", scenario.title, scenario.place);
    out += fmt::format("{} day{} from {}, weather: {}\n\n", sim::figure_text(days), days == 1 ? "" : "s",
                       date_text(result.clock.first_hour / 24), year.station);
    auto const shortages = sim::shortages(result);
    out += lead.empty() ? fmt::format("Does it hold water?  {}\n\n", verdict(s, shortages, units))
                        : fmt::format("{}In the typical year of the file?  {}\n\n", lead,
                                      verdict(s, shortages, units));
    out += shortage_lines(result, shortages, units);
    out += load_lines(sim::load_causes(result));

    for (auto const& line : summary_lines(scenario, result, units))
        wrap(out, fmt::format("  {:<12} ", line.label), line.text, 100);
    out += years_table(result, sim::asks_for_life(scenario.battery_life));
    return out;
}

}  // namespace holdwater::tools
