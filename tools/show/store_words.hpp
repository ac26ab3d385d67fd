#pragma once

#include <string>

namespace holdwater::tools {

/// What must be full again after a cloudy period in this design: "battery, cistern and trough".
std::string store_words(bool has_cistern, bool has_trough);

/// The same with its verb: "the battery is", "battery and trough are".
std::string stores_are(bool has_cistern, bool has_trough);

}  // namespace holdwater::tools
