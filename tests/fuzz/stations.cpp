#include <algorithm>
#include <set>
#include <stdexcept>
#include <string>

#include "sim/region/station_list.hpp"
#include "tests/fuzz/targets.hpp"
#include "tests/support/places.hpp"
#include "weather/weather_error.hpp"

// A list of stations in the folder of the demos' weather. It is refused with WeatherError, or it stands for
// at least one file, each once.
void holdwater::fuzz::stations(std::string_view bytes) {
    std::string const text(bytes);
    // What lists more than this folder would list the whole disk.
    constexpr int most_wildcards = 8;
    if (text.find("..") != std::string::npos || text.find("*/") != std::string::npos ||
        std::count(text.begin(), text.end(), '*') > most_wildcards)
        return;
    for (std::size_t at = text.find('/'); at != std::string::npos; at = text.find('/', at + 1))
        if (at == 0 || std::string_view(" \t\n\r#").find(text[at - 1]) != std::string_view::npos) return;
    try {
        auto const files = sim::stations_of_list(text, HOLDWATER_SOURCE "/scenarios/weather/fuzz.txt");
        if (files.empty()) throw std::logic_error("a list of no stations");
        if (std::set<std::string>(files.begin(), files.end()).size() != files.size())
            throw std::logic_error("a station twice");
    } catch (weather::WeatherError const&) {
    }
}
