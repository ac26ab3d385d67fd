#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>

namespace holdwater::scenarios {

/// A scenario that cannot be used. The text reads
/// "file:line: key 'tank.volume': what was wrong; what is accepted".
class ScenarioError : public std::runtime_error {
  public:
    /// `line` counts from 1, 0 when the whole file is meant; `key` may be empty.
    ScenarioError(std::string const& file, std::size_t line, std::string const& key, std::string const& what);
};

}  // namespace holdwater::scenarios
