#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdwater::scenarios {

/// Levenshtein distance: number of letters to insert, remove or replace to get from one text to the other.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// Up to `most` of `names` that `given` could mean, the nearest first: names that contain it, or whose
/// distance is at most half of its letters.
std::vector<std::string> near_names(std::string_view given, std::vector<std::string> names, std::size_t most);

}  // namespace holdwater::scenarios
