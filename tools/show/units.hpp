#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>

namespace holdwater::tools {

/// The units a person reads; files and --json stay in SI.
enum class Units { si, us };

inline constexpr std::array unit_names{std::pair{"si", Units::si}, std::pair{"us", Units::us}};

/// "331.6 m3" or "87600 gal", and so on, rounded for reading.
std::string show_volume(double volume_m3, Units units);
std::string show_fuel(double volume_l, Units units);
std::string show_temperature(double temperature_c, Units units);
std::string show_length(double length_m, Units units);

/// A figure of a table in the units a person reads: m3, L, m, kPa, degC, m3/s have another in US units.
struct ShownFigure {
    double value{};
    std::string unit;  ///< "" for bare numbers
};
ShownFigure shown(double value, std::string_view unit, Units units);

}  // namespace holdwater::tools
