#include "tools/show/units.hpp"

#include <fmt/format.h>

#include "models/numeric/trade_units.hpp"
#include "sim/base/figure_text.hpp"

namespace holdwater::tools {

using models::m3_per_gal, models::m_per_ft, models::kpa_per_psi;

std::string show_volume(double volume_m3, Units units) {
    if (units == Units::us) return fmt::format("{} gal", sim::figure_text(volume_m3 / m3_per_gal));
    return fmt::format("{} m3", sim::figure_text(volume_m3, 2));
}

std::string show_fuel(double volume_l, Units units) {
    if (units == Units::us) return fmt::format("{} gal", sim::figure_text(volume_l * 1e-3 / m3_per_gal, 1));
    return fmt::format("{} L", sim::figure_text(volume_l, 1));
}

std::string show_temperature(double temperature_c, Units units) {
    if (units == Units::us) return fmt::format("{} degF", sim::figure_text(temperature_c * 1.8 + 32, 1));
    return fmt::format("{} degC", sim::figure_text(temperature_c, 1));
}

std::string show_length(double length_m, Units units) {
    if (units == Units::us) return fmt::format("{} ft", sim::figure_text(length_m / m_per_ft));
    return fmt::format("{} m", sim::figure_text(length_m));
}

ShownFigure shown(double value, std::string_view unit, Units units) {
    if (unit == "1") return {value, ""};
    if (units == Units::us) {
        if (unit == "m3") return {value / m3_per_gal, "gal"};
        if (unit == "L") return {value * 1e-3 / m3_per_gal, "gal"};
        if (unit == "m") return {value / m_per_ft, "ft"};
        if (unit == "kPa") return {value / kpa_per_psi, "psi"};
        if (unit == "degC") return {value * 1.8 + 32, "degF"};
        if (unit == "m3/s") return {value * 60 / m3_per_gal, "gal/min"};
    }
    return {value, std::string(unit)};
}

}  // namespace holdwater::tools
