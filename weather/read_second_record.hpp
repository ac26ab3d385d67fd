#pragma once

#include <string>

#include "weather/second_record.hpp"

namespace holdwater::weather {

/// Reads temperature and wind of any file that describes itself: TMY3, EPW, gridded or plain CSV, of one year
/// or many; a plain CSV may hold nothing but temperature and wind.
/// Throws WeatherError with file, line and what is accepted instead.
SecondRecord read_second_record(std::string const& path);
/// The same from memory; `name` stands for the path.
SecondRecord read_second_record_text(std::string const& text, std::string const& name);

}  // namespace holdwater::weather
