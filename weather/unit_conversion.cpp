#include "weather/unit_conversion.hpp"

#include <fmt/format.h>
#include <udunits2.h>

#include <cmath>
#include <memory>
#include <optional>
#include <stdexcept>

#include "weather/unit_expression.hpp"

namespace holdwater::weather {

namespace {

template <typename T, void (*release)(T*)>
struct Release {
    void operator()(T* thing) const { release(thing); }
};
using System = std::unique_ptr<ut_system, Release<ut_system, ut_free_system>>;
using Unit = std::unique_ptr<ut_unit, Release<ut_unit, ut_free>>;
using Converter = std::unique_ptr<cv_converter, Release<cv_converter, cv_free>>;

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

std::optional<UnitConversion> convert(std::string const& from, std::string const& to) {
    if (from == to) return UnitConversion{};
    if (from.empty() || from.size() > 40) return std::nullopt;
    if (from != "1" && from != "-" && !read_unit_expression(from).problem.empty()) return std::nullopt;
    ut_set_error_message_handler(ut_ignore);
    System const system(ut_read_xml(nullptr));
    if (!system) throw std::runtime_error("the UDUNITS-2 database cannot be read");
    Unit const a(ut_parse(system.get(), spelled(from).c_str(), UT_UTF8)),
        b(ut_parse(system.get(), to.c_str(), UT_UTF8));
    if (!a || !b || !ut_are_convertible(a.get(), b.get())) return std::nullopt;
    Converter const converter(ut_get_converter(a.get(), b.get()));
    if (!converter) return std::nullopt;
    double const at_0 = cv_convert_double(converter.get(), 0), at_1 = cv_convert_double(converter.get(), 1);
    if (!std::isfinite(at_0)) return std::nullopt;  // UDUNITS also converts to the reciprocal unit
    return UnitConversion{at_1 - at_0, at_0};
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
