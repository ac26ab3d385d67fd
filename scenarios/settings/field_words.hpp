#pragma once

#include <exception>
#include <string>
#include <string_view>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::scenarios {

/// The scenario key from which a model's field is read, if it is not the name of the field without its unit;
/// otherwise "".
std::string_view key_of_field(std::string_view field);

/// A model's field and value in words: flow_m3_s = 0.0004 is "flow = 0.0004 m3/s".
std::string field_words(models::ParameterError const& error);

/// An error as a problem to print: that of a model's field in words, with what is accepted; others as they
/// are.
std::string problem_words(std::exception const& error);

}  // namespace holdwater::scenarios
