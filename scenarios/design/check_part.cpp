#include "scenarios/design/check_part.hpp"

#include <algorithm>

#include "scenarios/design/read_scenario_document.hpp"
#include "scenarios/parts/put_parts_in.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

// A design into which any part can be put: the part that is checked replaces its section.
constexpr char const* surroundings = R"(
title = "t"
place = "p"
elevation = "0 m"
[weather]
file = "w.csv"
[array]
tilt = "30 deg"
azimuth = "180 deg"
modules_in_series = 3
[array.module]
described_by = "data sheet"
short_circuit_current = "11 A"
open_circuit_voltage = "45 V"
max_power_current = "10.4 A"
max_power_voltage = "37.6 V"
current_temperature_coefficient = "0.05 %/K"
voltage_temperature_coefficient = "-0.27 %/K"
[controller]
power_limit = "1 kW"
[battery]
chemistry = "lithium-iron-phosphate"
capacity = "10 kWh"
nominal_voltage = "51.2 V"
voltage_model = true
[inverter]
rated_power = "2 kW"
efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]
[charger]
power_limit = "1 kW"
[backup]
kind = "generator"
transfer_below = 0.6
return_above = 0.8
charge_to = 0.8
[generator]
rated_power = "50 kW"
fuel_at_half_load = "9 L/h"
fuel_at_full_load = "15 L/h"
[well]
static_level = "0 m"
[pump]
flow = ["0 m3/h", "5 m3/h"]
head = ["200 m", "10 m"]
shaft_power = ["500 W", "700 W"]
[motor]
efficiency = 0.6
rated_power = "1 hp"
volts = "230 V"
[tank]
volume = "85 gal"
cut_in = "60 kPa"
cut_out = "80 kPa"
[demand]
daily = "1 m3/day"
)";

void copy_text(toml::table const& from, std::string_view key, toml::table& to, std::string_view as) {
    if (auto const text = from[key].value<std::string>()) to.insert_or_assign(as, *text);
}

// Changes the values with which the reader compares the part, so that they fit the part.
void suit(toml::table& document, Part const& part, toml::table const& keys) {
    auto& inverter = *document["inverter"].as_table();
    auto const motor_keys = [&](toml::table const& motor) {
        copy_text(motor, "volts", inverter, "output_voltage");
        if (motor["wiring"].value<std::string>() == "drive")
            document.insert_or_assign("drive", toml::table{});
    };
    if (part.kind == "controller") {
        copy_text(keys, "battery_voltage", *document["battery"].as_table(), "nominal_voltage");
    } else if (part.kind == "inverter") {
        copy_text(keys, "dc_voltage", *document["battery"].as_table(), "nominal_voltage");
        copy_text(keys, "output_voltage", *document["motor"].as_table(), "volts");
        if (keys.contains("charger")) document.erase("charger");
    } else if (part.kind == "motor") {
        motor_keys(keys);
    } else if (part.kind == "pump") {
        if (auto const* motor = keys["motor"].as_table()) {
            document.erase("motor");
            motor_keys(*motor);
        }
    } else if (part.kind == "drive") {
        document["motor"].as_table()->insert_or_assign("wiring", "drive");
    } else if (part.kind == "cistern") {
        document.erase("tank");
    }
}

// The section as a designer would write it: the part, and the keys that a part of its kind leaves to the
// site.
toml::table section_with(Part const& part, toml::table const& keys) {
    toml::table section{{"part", part.name}};
    auto const unless = [&](char const* key, char const* value) {
        if (!keys.contains(key)) section.insert(key, value);
    };
    if (part.kind == "pipe" || part.kind == "cable") unless("length", "1 m");
    if (part.kind == "battery" && keys.contains("unit_voltage"))
        for (auto const* key : {"in_series", "in_parallel"})
            if (!keys.contains(key)) section.insert(key, 1);
    if (part.kind == "cistern") unless("outlet_elevation", "-20 m");
    if (part.kind == "tank") {
        unless("cut_in", "40 psi");
        unless("cut_out", "60 psi");
    }
    return section;
}

// Warnings begin with their section. Warnings about the design around the part do not concern the part.
bool of_the_part(std::string const& warning, Part const& part) {
    std::string const own = part.kind == "module" ? "array.module" : part.kind;
    std::string const brought = part.kind == "pump" ? "motor" : part.kind == "inverter" ? "charger" : own;
    return warning.starts_with(own) || warning.starts_with(brought);
}

}  // namespace

PartCheck check_part(PartsList const& list, Part const& part) {
    auto document = parse_plain(surroundings);
    auto const parsed = parse_plain(part.text, list.path);
    auto const& keys = *parsed[part.kind][0].as_table();
    suit(document, part, keys);
    auto section = section_with(part, keys);
    if (part.kind == "module")
        document["array"].as_table()->insert_or_assign("module", std::move(section));
    else if (part.kind == "pipe" || part.kind == "load" || part.kind == "cable")
        document.insert_or_assign(part.kind, toml::array{std::move(section)});
    else
        document.insert_or_assign(part.kind, std::move(section));
    try {
        // The part alone: a copy of the whole list for each of its parts takes too long.
        (void)put_parts_in(document, {{list.path, list.about, list.currency, {part}}}, "");
        auto const scenario = read_scenario_document(document, "");
        PartCheck check{scenario.warnings, part_figures(part.kind, scenario)};
        std::erase_if(check.warnings, [&](std::string const& w) { return !of_the_part(w, part); });
        return check;
    } catch (ScenarioError const& error) {
        // An error for a missing key names a section that is not in the list.
        throw error.at(list.path, part.line);
    }
}

}  // namespace holdwater::scenarios
