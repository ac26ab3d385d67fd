#pragma once

#include <string_view>

#include "sim/base/run_result.hpp"

namespace holdwater::tools {

/// Why water or power was short, as the rest of a sentence: "the battery was empty".
std::string_view words(sim::LimitReason reason);

}  // namespace holdwater::tools
