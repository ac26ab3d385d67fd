#include "weather/unit_conversion.hpp"

#include <fmt/format.h>

#include <optional>
#include <stdexcept>

#include "weather/units/unit_expression.hpp"

namespace holdwater::weather {

namespace {

void replace_all(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
        text.replace(at, from.size(), to);
}

/// Trade spellings that the database does not know.
std::string spelled(std::string unit) {
    replace_all(unit, "Wh", "W.h");
    if (unit == "mph") return "mile/hour";
    if (unit == "-") return "1";
    return unit;
}

std::optional<Unit> unit(std::string const& text) {
    return text == "1" ? Unit{} : unit_of(read_unit_expression(text), UnitWords::database);
}

std::optional<UnitConversion> convert(std::string const& from, std::string const& to) {
    if (from == to) return UnitConversion{};
    if (from.empty() || from.size() > 40) return std::nullopt;
    auto const a = unit(spelled(from)), b = unit(to);
    if (!a || !b || !same_kind(*a, *b)) return std::nullopt;
    auto const converted = conversion(*a, *b);
    return UnitConversion{converted(1) - converted(0), converted(0)};
}

}  // namespace

UnitConversion to_unit(std::string const& unit, std::string const& target) {
    if (auto const found = convert(unit, target)) return *found;
    throw std::invalid_argument(
        fmt::format("unit \"{}\" cannot be turned into {}", unit.substr(0, 40), target));
}

UnitConversion to_irradiance(std::string const& unit, int interval_min) {
    if (auto const power = convert(unit, "W/m2")) return *power;
    if (auto const energy = convert(unit, "J/m2")) return {energy->factor / (interval_min * 60), 0};
    throw std::invalid_argument(
        fmt::format("unit \"{}\" is neither irradiance (W/m2) nor energy per interval (kJ/m2, Wh/m2)",
                    unit.substr(0, 40)));
}

}  // namespace holdwater::weather
