#include "tools/show/units.hpp"

#include <fmt/format.h>

#include "models/numeric/trade_units.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "sim/base/figure_text.hpp"

namespace holdwater::tools {

using models::m3_per_gal, models::m_per_ft, models::kpa_per_psi;

Units units_of(std::optional<Units> said, scenarios::Scenario const& scenario) {
    if (said) return *said;
    return scenario.units == scenarios::UnitSystem::us ? Units::us : Units::metric;
}

void print_warnings(std::vector<std::string> const& warnings, Units units, std::string const& head) {
    for (auto const& warning : warnings)
        fmt::print(stderr, "warning: {}{}\n", head, scenarios::in_units(units, warning));
}

std::string show_volume(double volume_m3, Units units) {
    if (units == Units::us) return fmt::format("{} gal", sim::figure_text(volume_m3 / m3_per_gal));
    double const liters = 1e3 * volume_m3;
    return fmt::format("{} L", sim::figure_text(liters));
}

std::string show_fuel(double volume_l, Units units) {
    if (units == Units::us) return fmt::format("{} gal", sim::figure_text(volume_l * 1e-3 / m3_per_gal, 1));
    return fmt::format("{} L", sim::figure_text(volume_l, 1));
}

std::string show_temperature(double temperature_c, Units units) {
    if (units == Units::us) return fmt::format("{} °F", sim::figure_text(temperature_c * 1.8 + 32, 1));
    return fmt::format("{} °C", sim::figure_text(temperature_c, 1));
}

std::string show_length(double length_m, Units units) {
    if (units == Units::us) return fmt::format("{} ft", sim::figure_text(length_m / m_per_ft));
    return fmt::format("{} m", sim::figure_text(length_m));
}

ShownFigure shown(double value, std::string_view unit, Units units) {
    if (unit == "1") return {value, ""};
    if (units == Units::metric) {
        if (unit == "kPa") return {value / 100, "bar"};
        if (unit == "m3/s") return {value * 6e4, "L/min"};
    }
    if (unit == "degC" && units == Units::metric) return {value, "°C"};
    if (units == Units::metric && unit == "m3") return {value * 1e3, "L"};
    if (units == Units::us) {
        if (unit == "m3") return {value / m3_per_gal, "gal"};
        if (unit == "L") return {value * 1e-3 / m3_per_gal, "gal"};
        if (unit == "m") return {value / m_per_ft, "ft"};
        if (unit == "kPa") return {value / kpa_per_psi, "psi"};
        if (unit == "degC") return {value * 1.8 + 32, "°F"};
        if (unit == "m3/s") return {value * 60 / m3_per_gal, "gpm"};
    }
    return {value, std::string(unit)};
}

}  // namespace holdwater::tools
