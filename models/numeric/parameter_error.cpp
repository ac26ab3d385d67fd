#include "models/numeric/parameter_error.hpp"

#include <fmt/format.h>

#include <utility>

namespace holdwater::models {

ParameterError::ParameterError(std::string field, double value, std::string rule)
    : std::invalid_argument(fmt::format("{} = {:.6g} ({})", field, value, rule)),
      field_(std::move(field)),
      value_(value),
      rule_(std::move(rule)) {}

void require(bool holds, std::string_view field, double value, std::string_view rule) {
    if (!holds) throw ParameterError(std::string(field), value, std::string(rule));
}

}  // namespace holdwater::models
