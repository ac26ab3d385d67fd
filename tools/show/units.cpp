#include "tools/show/units.hpp"

#include <fmt/format.h>

#include "scenarios/settings/unit_text.hpp"

namespace holdwater::tools {

Units units_of(std::optional<Units> said, scenarios::Scenario const& scenario) {
    if (said) return *said;
    return scenario.units == scenarios::UnitSystem::us ? Units::us : Units::metric;
}

void print_warnings(std::vector<std::string> const& warnings, Units units, std::string const& head) {
    for (auto const& warning : warnings)
        fmt::print(stderr, "warning: {}{}\n", head, scenarios::in_units(units, warning));
}

std::string show_volume(double volume_m3, Units units) { return sim::shown_text(volume_m3, "m3", units); }

std::string show_fuel(double volume_l, Units units) { return sim::shown_text(volume_l, "L", units, 1); }

std::string show_temperature(double temperature_c, Units units) {
    return sim::shown_text(temperature_c, "degC", units, 1);
}

std::string show_length(double length_m, Units units) { return sim::shown_text(length_m, "m", units); }

}  // namespace holdwater::tools
