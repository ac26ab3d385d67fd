#pragma once

#include <string>
#include <string_view>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::scenarios {

/// The key of a scenario that a model's field is read from, where it is not the field's own name without its
/// unit; "" for others.
std::string_view key_of_field(std::string_view field);

/// A model's field and value in words: flow_m3_s = 0.0004 is "flow = 0.0004 m3/s".
std::string field_words(models::ParameterError const& error);

}  // namespace holdwater::scenarios
