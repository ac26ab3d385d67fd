#include "scenarios/text/assumed_inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

void scale_surge(Scenario& s, double first_va) {
    auto& table = s.inverter.surge;
    if (table.empty()) return;
    double const factor = first_va / (table.front().ratio * s.inverter.rated_power_w);
    for (auto& row : table) row.ratio *= factor;
}

double first_surge_va(Scenario const& s) {
    return s.inverter.surge.empty() ? 0 : s.inverter.surge.front().ratio * s.inverter.rated_power_w;
}

// The resistance in this list is that of the battery itself at 25 deg C.
constexpr std::array<AssumedInput, 12> inputs{{
    {"motor.locked_rotor", "A", 0.1, 2000, [](Scenario& s, double v) { s.motor.locked_rotor_a = v; },
     [](Scenario const& s) { return s.motor.locked_rotor_a; }},
    {"motor.locked_rotor_power_factor", "1", 0.05, 1,
     [](Scenario& s, double v) { s.motor.locked_rotor_power_factor = v; },
     [](Scenario const& s) { return s.motor.locked_rotor_power_factor; }},
    {"motor.start_seconds", "s", 0.02, 10, [](Scenario& s, double v) { s.motor.start_seconds = v; },
     [](Scenario const& s) { return s.motor.start_seconds; }},
    {"motor.full_load", "A", 0.1, 1000, [](Scenario& s, double v) { s.motor.full_load_a = v; },
     [](Scenario const& s) { return s.motor.full_load_a; }},
    {"motor.running_power_factor", "1", 0.4, 1,
     [](Scenario& s, double v) { s.motor.running_power_factor = v; },
     [](Scenario const& s) { return s.motor.running_power_factor; }},
    {"inverter.surge_power", "W", 1, 1e6, scale_surge, first_surge_va},
    {"battery.resistance", "ohm", 0, 1,
     [](Scenario& s, double v) { s.battery_behavior.voltage.resistance_ohm = v; },
     [](Scenario const& s) { return s.battery_behavior.voltage.resistance_ohm; }},
    {"wiring.source_sag", "1", 0, 0.5, [](Scenario& s, double v) { s.wiring.source_sag = v; },
     [](Scenario const& s) { return s.wiring.source_sag; }},
    {"generator.rated_power", "W", 100, 1e5,
     [](Scenario& s, double v) {
         if (s.generator) s.generator->rated_power_w = v;
     },
     [](Scenario const& s) { return s.generator ? s.generator->rated_power_w : 0; }},
    {"well.static_level", "m", 0, 400,
     [](Scenario& s, double v) {
         // The difference of each month stays the same.
         double const deeper_m = v - s.lift.static_level_m;
         for (double& level_m : s.well.static_level_m) level_m += deeper_m;
         if (s.well.casing) s.well.casing->static_level_m = s.well.static_level_m;
         s.lift.static_level_m = v;
     },
     [](Scenario const& s) { return s.lift.static_level_m; }},
    {"tank.precharge", "kPa", 0, 700, [](Scenario& s, double v) { s.tank.precharge_kpa = v; },
     [](Scenario const& s) { return s.tank.precharge_kpa; }},
    {"check.record_low", "degC", -70, 40, [](Scenario& s, double v) { s.design_check.record_low_c = v; },
     [](Scenario const& s) { return s.design_check.record_low_c.value_or(25); }},
}};

}  // namespace

std::span<AssumedInput const> assumed_inputs() { return inputs; }

AssumedInput const* find_assumed_input(std::string_view key) {
    auto const* const found =
        std::find_if(inputs.begin(), inputs.end(), [&](AssumedInput const& i) { return i.key == key; });
    return found == inputs.end() ? nullptr : found;
}

namespace {

std::string line_of(InputProvenance const& p) {
    std::string const range = p.low.empty() ? "" : fmt::format(", {} to {}", p.low, p.high);
    return fmt::format("{}: {} ({}{})", p.input, p.value, name(p.provenance), range);
}

bool of_run(std::string_view input) {
    constexpr std::array<std::string_view, 4> others{"wiring.", "cable.", "check.", "prices."};
    return std::none_of(others.begin(), others.end(), [&](auto table) { return input.starts_with(table); });
}

}  // namespace

bool gives(Scenario const& scenario, std::string_view key) {
    try {
        return !!parse_plain(scenario.text).at_path(key);
    } catch (toml::parse_error const&) {
        return false;
    }
}

std::vector<std::string> provenance_lines(Scenario const& scenario) {
    std::vector<std::string> lines;
    for (auto const& p : scenario.provenance) lines.push_back(line_of(p));
    return lines;
}

std::vector<std::string> provenance_lines_of_run(Scenario const& scenario) {
    std::vector<std::string> lines;
    for (auto const& p : scenario.provenance)
        if (of_run(p.input)) lines.push_back(line_of(p));
    return lines;
}

std::string_view name(Provenance provenance) {
    switch (provenance) {
        case Provenance::nameplate:
            return "nameplate";
        case Provenance::measured:
            return "measured";
        case Provenance::table:
            return "table";
        case Provenance::assumed:
            break;
    }
    return "assumed";
}

}  // namespace holdwater::scenarios
