#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>

#include "tools/answers/years_table.hpp"

namespace holdwater::tools {

/// What `years --json` prints, in SI units.
nlohmann::ordered_json years_json(YearsAnswer const& answer, std::uint64_t seed);

}  // namespace holdwater::tools
