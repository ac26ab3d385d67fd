#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace holdwater::models {

/// A parameter that is out of range: the error names the field, the value as given and the rule that it
/// breaks. The scenario reader adds file and line.
class ParameterError : public std::invalid_argument {
  public:
    ParameterError(std::string field, double value, std::string rule);
    std::string const& field() const { return field_; }
    double value() const { return value_; }
    std::string const& rule() const { return rule_; }

  private:
    std::string field_;
    double value_;
    std::string rule_;
};

/// Throws ParameterError "field = value (rule)" unless `holds`; NaN must make `holds` false.
void require(bool holds, std::string_view field, double value, std::string_view rule);

}  // namespace holdwater::models
