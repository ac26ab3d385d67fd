#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>

namespace holdwater::weather {

/// A weather file that cannot be used. The text reads "file:line: what was wrong; what is accepted".
class WeatherError : public std::runtime_error {
  public:
    /// `line` counts from 1; 0 means the whole file.
    WeatherError(std::string const& file, std::size_t line, std::string const& what);
};

}  // namespace holdwater::weather
