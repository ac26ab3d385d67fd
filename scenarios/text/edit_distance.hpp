#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace holdwater::scenarios {

/// Levenshtein distance: letters to insert, remove or replace to get from one to the other.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// Up to `most` of `names`, the nearest first, those only that could be meant by `given`: no farther than
/// half of its letters, or holding it.
std::vector<std::string> near_names(std::string_view given, std::vector<std::string> names, std::size_t most);

}  // namespace holdwater::scenarios
