#pragma once

#include <string>

namespace holdwater::weather {

/// value in SI = factor * value + offset.
struct UnitConversion {
    double factor = 1, offset = 0;
};

/// From a unit as written in a weather file to W/m2. A unit of energy per area (kJ/m2, Wh/m2) means the
/// energy of one interval of `interval_min`. Unit names are those of the UDUNITS-2 database, and Wh, mph.
/// Throws std::invalid_argument, which says what is accepted.
UnitConversion to_irradiance(std::string const& unit, int interval_min);
/// From a unit to another unit of the same kind: to_unit("degF", "degC").
UnitConversion to_unit(std::string const& unit, std::string const& target);

}  // namespace holdwater::weather
