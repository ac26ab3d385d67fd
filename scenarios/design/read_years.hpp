#pragma once

#include <toml++/toml.h>

#include "scenarios/settings/years_required.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// The table [required] and the number and seed of the made years; defaults for keys that are not given.
void read_required(Section& root, YearsRequired& required);
void read_made_years(Section& weather, YearsSettings& years);

}  // namespace holdwater::scenarios
