#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

/// The livestock demo with its solar half replaced.
namespace holdwater::test {

inline constexpr char const* plain_controller = "[controller]\npower_limit = \"1.4 kW\"\n";

/// Text from `[weather]` up to `[battery]` is replaced; everything before and after is that of the demo.
inline std::string solar_scenario_text(std::string const& array_and_controller,
                                       std::string const& weather = "file = \"weather.csv\"\n") {
    std::string const demo = file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    return demo.substr(0, demo.find("[weather]")) + "[weather]\n" + weather + array_and_controller + "\n" +
           demo.substr(demo.find("[battery]"));
}

inline scenarios::Scenario solar_scenario(std::string const& array_and_controller,
                                          std::string const& weather = "file = \"weather.csv\"\n") {
    return scenarios::read_scenario_text(solar_scenario_text(array_and_controller, weather), "test.toml");
}

/// An array without losses of its own, glass or dirt: what falls on it is what the cells get.
inline std::string bare_array(std::string const& keys) {
    return "[array]\n" + keys + "dc_loss = 0\nsoiling = 0\nglass_model = \"none\"\nwind_factor = 1\n";
}

/// 36 cells, invented; the single-diode values of the worked controller examples.
inline constexpr char const* module_36_cells =
    "[array.module]\ndescribed_by = \"diode\"\ndiode_voltage = \"0.95 V\"\nlight_current = \"8.7 A\"\n"
    "saturation_current = \"5e-10 A\"\nseries_resistance = \"0.2 ohm\"\nshunt_resistance = \"150 ohm\"\n"
    "current_temperature_coefficient = \"4.4 mA/K\"\n";

/// 72 cells, invented.
inline constexpr char const* module_72_cells =
    "[array.module]\ndescribed_by = \"diode\"\ndiode_voltage = \"1.85 V\"\nlight_current = \"10.2 A\"\n"
    "saturation_current = \"3e-11 A\"\nseries_resistance = \"0.3 ohm\"\nshunt_resistance = \"300 ohm\"\n"
    "current_temperature_coefficient = \"5.1 mA/K\"\n";

}  // namespace holdwater::test
