#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::sim {

/// A figure in the trade's unit of a system.
struct ShownFigure {
    double value{};
    std::string unit;  ///< "" for bare numbers
};

/// The one conversion of figures for print. From SI ("m3", "m3/day", "m3/s", "L", "L/h", "m", "mm", "kPa",
/// "degC", "kWh/m3", "ohm/km", and "W shaft" for the power of a motor) to L, L/day, L/min, bar, °C, kW or to
/// gal, gal/day, gpm, gal/h, ft, in, psi, °F, hp. Any other unit stays, and "1" is a bare number.
[[nodiscard]] ShownFigure shown(double value, std::string_view unit, scenarios::UnitSystem units);

/// The same rounded for the reader (figure_text): "331,600 L", "87,600 gal".
[[nodiscard]] std::string shown_text(double value, std::string_view unit, scenarios::UnitSystem units,
                                     int decimals = 0);

}  // namespace holdwater::sim
