#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "scenarios/text/assumed_inputs.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

// The head of the table says what it means.
constexpr char const* no_range = "–";

// Verdicts that are not the same at both ends of the range and for the base design.
std::string flips_of(sim::ReportRuns const& r, std::string_view input) {
    auto const at = std::find_if(r.ranges.begin(), r.ranges.end(),
                                 [&](auto const& tried) { return tried.input == input; });
    if (at == r.ranges.end()) return no_range;
    std::string text;
    for (auto const* end : {&at->low, &at->high})
        if (!end->problem.empty()) text += fmt::format("{} is refused: {}; ", end->value, end->problem);
    if (at->flipped.empty()) return text + "no";
    text += "YES: ";
    for (auto const& f : at->flipped)
        text += fmt::format("{}{}: {} / {} / {}", &f == &at->flipped.front() ? "" : "; ", f.name, f.at_low,
                            f.as_written, f.at_high);
    return text;
}

Json row(std::string input, std::string value, std::string from, std::string flips) {
    return {{"input", std::move(input)},
            {"value", std::move(value)},
            {"from", std::move(from)},
            {"flips", std::move(flips)}};
}

constexpr char const* as_stated = "scenario";
constexpr char const* as_usual = "usual value";

std::string demand_text(scenarios::Scenario const& s, sim::ReportRuns const& r, ReportShow const& show) {
    return fmt::format("{} a day on average{}", show.volume(r.year.summary.water_demand_m3 / 365),
                       s.demand.uses.empty() ? "" : fmt::format(", {} uses", s.demand.uses.size()));
}

std::string plain_words(std::string_view key) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 12> names{{
        {"motor.locked_rotor", "motor: locked-rotor current"},
        {"motor.locked_rotor_power_factor", "motor: locked-rotor power factor"},
        {"motor.start_seconds", "motor: run-up time"},
        {"motor.full_load", "motor: full-load current"},
        {"motor.running_power_factor", "motor: running power factor"},
        {"inverter.surge_power", "inverter: surge"},
        {"battery.resistance", "battery: resistance"},
        {"wiring.source_sag", "source: sag at a start"},
        {"generator.rated_power", "generator: rating"},
        {"well.static_level", "well: static water level"},
        {"tank.precharge", "tank: precharge"},
        {"check.record_low", "site: record low"},
    }};
    for (auto const& [k, words] : names)
        if (k == key) return std::string(words);
    return std::string(key);
}

Json stated_rows(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    Json rows = Json::array();
    // `keys`: the inputs of the row; those whose provenance the scenario gives are listed with it.
    auto const add = [&](std::string input, std::string value, std::vector<std::string> const& keys) {
        std::string from;
        for (auto const& p : s.provenance)
            if (std::find(keys.begin(), keys.end(), p.input) != keys.end())
                from += fmt::format("{}{}: {}", from.empty() ? "" : "; ", plain_words(p.input),
                                    name(p.provenance));
        rows.push_back(row(std::move(input), std::move(value), from.empty() ? as_stated : from, no_range));
    };
    rows.push_back(row("weather", r.weather.station.empty() ? r.weather.format : r.weather.station,
                       "weather file", no_range));
    add("water demand", demand_text(s, r, show), {"demand.daily"});
    std::string array = fmt::format("{} kW", number_text(1e-3 * models::array_rated_power_w(s.array), 2));
    if (!s.tracker && s.tilt_changes.empty())
        array += fmt::format(", tilt {}°", sim::figure_text(s.plane.tilt_deg));
    add("array",
        array + fmt::format(", azimuth {}°, losses {} %", sim::figure_text(s.plane.azimuth_deg),
                            sim::figure_text(100 * s.array.dc_loss_fraction)),
        {"array.rated_power", "array.tilt", "array.azimuth", "array.dc_loss"});
    add("battery",
        fmt::format("{} kWh, {} % usable", number_text(s.battery.capacity_kwh, 2),
                    sim::figure_text(100 * (1 - s.battery.min_soc))),
        {"battery.capacity", "battery.usable_fraction"});
    add("inverter",
        fmt::format("{} kVA, idle draw {} W", number_text(1e-3 * s.inverter.rated_power_w, 1),
                    sim::figure_text(s.inverter.idle_w)),
        {"inverter.rated_power", "inverter.idle"});
    for (auto const& l : s.loads)
        add("load: " + l.load.name, fmt::format("{} W when on", sim::figure_text(l.load.power_w)),
            {"load." + l.load.name + ".power"});
    add("motor",
        fmt::format("{} at the shaft, {} V", show.motor_power(s.motor.rated_power_w),
                    sim::figure_text(s.motor.volts)),
        {"motor.rated_power", "motor.volts"});
    if (!(s.cistern && !s.cistern->booster))
        add("pressure tank",
            fmt::format("{}, {} to {}", show.volume(s.tank.total_volume_m3), show.pressure(s.tank.cut_in_kpa),
                        show.pressure(s.tank.cut_out_kpa)),
            {"tank.volume", "tank.cut_in", "tank.cut_out"});
    if (s.generator)
        add("generator fuel at full load",
            show.fuel_rate(models::fuel_l_per_h(*s.generator, s.generator->rated_power_w)),
            {"generator.fuel_at_half_load", "generator.fuel_at_full_load", "generator.fuel_rates"});
    return rows;
}

}  // namespace

Json report_inputs(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    Json rows = Json::array();
    for (auto const& p : s.provenance) {
        std::string const range = p.low.empty() ? "" : fmt::format("; from {} to {}", p.low, p.high);
        rows.push_back(row(plain_words(p.input), p.value + range, std::string(name(p.provenance)),
                           flips_of(r, p.input)));
    }
    for (auto const& input : scenarios::assumed_inputs()) {
        bool const said = std::any_of(s.provenance.begin(), s.provenance.end(),
                                      [&](auto const& p) { return p.input == input.key; });
        // A key without a value is not an input of this design.
        double const value = input.get(s);
        bool const unset = value == 0 || (input.key == "check.record_low" && !s.design_check.record_low_c);
        if (said || unset) continue;
        rows.push_back(row(plain_words(input.key), show.in_unit(value, std::string(input.unit)),
                           scenarios::gives(s, input.key) ? as_stated : as_usual, no_range));
    }
    for (auto& stated : stated_rows(r, show)) rows.push_back(std::move(stated));
    return rows;
}

}  // namespace holdwater::tools
