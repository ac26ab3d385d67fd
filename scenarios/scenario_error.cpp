#include "scenarios/scenario_error.hpp"

#include <fmt/format.h>

namespace holdwater::scenarios {

ScenarioError::ScenarioError(std::string const& file, std::size_t line, std::string const& key,
                             std::string const& what)
    : std::runtime_error(fmt::format("{}{}: {}{}", file, line == 0 ? "" : fmt::format(":{}", line),
                                     key.empty() ? "" : fmt::format("key '{}': ", key), what)),
      file_(file),
      rest_(fmt::format("{}{}", key.empty() ? "" : fmt::format("key '{}': ", key), what)),
      line_(line) {}

}  // namespace holdwater::scenarios
