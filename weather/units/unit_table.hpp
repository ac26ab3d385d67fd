#pragma once

#include <span>
#include <string_view>

#include "weather/units/unit.hpp"

namespace holdwater::weather {

/// The build writes these tables from the UDUNITS-2 database, see make_unit_table.cpp.
struct NamedUnit {
    std::string_view name;
    Unit unit;
};
struct UnitPrefix {
    std::string_view name;
    double factor = 0;
};

std::span<NamedUnit const> unit_names();       ///< "gallon": in lower case, sorted; case does not count
std::span<NamedUnit const> unit_symbols();     ///< "kg", "Pa": case counts; sorted
std::span<NamedUnit const> trade_units();      ///< "gal", "gpm", "hp": case counts; sorted
std::span<UnitPrefix const> prefix_names();    ///< "kilo": in lower case; case does not count
std::span<UnitPrefix const> prefix_symbols();  ///< "k": case counts

}  // namespace holdwater::weather
