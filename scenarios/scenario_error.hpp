#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>

namespace holdwater::scenarios {

/// A scenario or parts list that cannot be used. The text reads
/// "file:line: key 'tank.volume': what was wrong; what is accepted".
class ScenarioError : public std::runtime_error {
  public:
    /// `line` counts from 1, 0 when the whole file is meant; `key` may be empty.
    ScenarioError(std::string const& file, std::size_t line, std::string const& key, std::string const& what);

    [[nodiscard]] std::string const& file() const { return file_; }
    /// What was wrong, with the key, without the place.
    [[nodiscard]] std::string const& rest() const { return rest_; }
    /// The same error with words between its place and what was wrong.
    [[nodiscard]] ScenarioError within(std::string const& words) const {
        return {file_, line_, "", words + rest_};
    }
    /// The same error at another place.
    [[nodiscard]] ScenarioError at(std::string const& file, std::size_t line) const {
        return {file, line, "", rest_};
    }

  private:
    std::string file_, rest_;
    std::size_t line_;
};

}  // namespace holdwater::scenarios
