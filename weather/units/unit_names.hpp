#pragma once

#include <optional>
#include <string_view>

#include "weather/units/unit.hpp"

namespace holdwater::weather {

/// Which unit names are known. `database`: those of UDUNITS-2, where "gal" is an acceleration (cm/s2).
/// `trade`: also, and with precedence, gal (US liquid gallon, exactly 231 in3), gpm, gpd, hp (550 ft lbf/s),
/// Wh, Ah, VA, mph, deg, ac.
enum class UnitWords { database, trade };

/// A unit by its name or symbol, with or without a prefix: "kWh", "psi", "degF", "Meters". Case does not
/// count in names but does in symbols. Empty if there is no such unit. Logarithmic units such as dBm are not
/// known.
std::optional<Unit> unit_named(std::string_view text, UnitWords words);

}  // namespace holdwater::weather
