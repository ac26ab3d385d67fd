#pragma once

#include <optional>
#include <string_view>

#include "weather/units/unit.hpp"

namespace holdwater::weather {

/// Which words a unit may have: those of the UDUNITS-2 database ("gal" is an acceleration there, cm/s2), or
/// before them the trade's: gal (US liquid gallon, exactly 231 in3), gpm, gpd, hp (550 ft lbf/s), Wh, Ah, VA,
/// mph, deg, ac.
enum class UnitWords { database, trade };

/// One unit by its name or symbol, with or without prefix: "kWh", "psi", "degF", "Meters". Names may be in
/// upper or lower case, symbols are as written. Nothing: there is no such unit. Logarithmic units (dBm) are
/// not known.
std::optional<Unit> unit_named(std::string_view text, UnitWords words);

}  // namespace holdwater::weather
