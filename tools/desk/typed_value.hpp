#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::tools {

/// What a person types into the field of a key, as TOML. The description of the key (scenarios::key_text)
/// says what is meant: a number without a unit gets the unit of the field in this unit system ("40" is
/// "40 psi"), a comma in "2,8" is a decimal point, "yes" is true, and the values of a list are separated by
/// a semicolon or by a comma and a blank ("0 gpm, 2 gpm"). A key without a description is taken as
/// scenarios::as_toml_value takes it. Nothing is refused here: the readers say what is wrong.
std::string typed_as_toml(std::string_view key, std::string const& typed, scenarios::UnitSystem system);

/// A value of the scenario (TOML) as the field shows it: without quotation marks, a quantity in the units of
/// this system ("120 ft" is "36.6 m" in metric units) and a list with its values separated by commas.
std::string shown_value(std::string_view key, std::string const& toml, scenarios::UnitSystem system);

/// The unit of a key's field in this unit system; empty for what has none.
std::string_view field_unit(std::string_view key, scenarios::UnitSystem system);

/// The key's range in the units of this system, "0 to 1312 ft"; as described where it is a rule in words.
std::string shown_range(std::string_view key, scenarios::UnitSystem system);

}  // namespace holdwater::tools
