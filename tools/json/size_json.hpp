#pragma once

#include <nlohmann/json.hpp>

#include "sim/designs/size_design.hpp"

namespace holdwater::tools {

/// What `size --json` prints, in SI units.
nlohmann::ordered_json size_json(sim::SizeAnswer const& answer);

}  // namespace holdwater::tools
