#pragma once

#include <span>
#include <string_view>

#include "weather/units/unit.hpp"

namespace holdwater::weather {

/// The tables that make_unit_table writes from the UDUNITS-2 database when Holdwater is built.
struct NamedUnit {
    std::string_view name;
    Unit unit;
};
struct UnitPrefix {
    std::string_view name;
    double factor = 0;
};

std::span<NamedUnit const> unit_names();     ///< "gallon", "gallons": in lower case, upper case alike; sorted
std::span<NamedUnit const> unit_symbols();   ///< "kg", "Pa": as written; sorted
std::span<NamedUnit const> trade_units();    ///< "gal", "gpm", "hp": as written; before names and symbols
std::span<UnitPrefix const> prefix_names();  ///< "kilo": in lower case, upper case alike
std::span<UnitPrefix const> prefix_symbols();  ///< "k": as written

}  // namespace holdwater::weather
