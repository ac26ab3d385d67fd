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

/// The same for a year that lacks more hours than may be filled, or has no temperature at all. What the file
/// contains is in order; in a record of several years the other years can be used.
class GapError : public WeatherError {
  public:
    using WeatherError::WeatherError;
};

}  // namespace holdwater::weather
