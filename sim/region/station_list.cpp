#include "sim/region/station_list.hpp"

#include <algorithm>
#include <filesystem>
#include <sstream>

#include "weather/read_file_text.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_paths.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t largest_list = std::size_t{1} << 20;

std::string text_of_list(std::string const& path) {
    try {
        return weather::read_file_text(path, {largest_list});
    } catch (weather::FileTextError const& error) {
        throw weather::WeatherError(path, 0,
                                    std::string(error.what()) + "; a list of weather files is expected");
    }
}

std::vector<std::string> files_of(std::vector<std::string> const& names, std::string const& folder) {
    std::vector<std::string> files;
    for (auto const& file : weather::weather_paths(names, folder)) files.push_back(file.path);
    return files;
}

}  // namespace

std::vector<std::string> stations_of_list(std::string const& text, std::string const& path) {
    std::vector<std::string> names;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        line.erase(0, std::min(line.find_first_not_of(" \t"), line.size()));
        line.erase(line.find_last_not_of(" \t\r") + 1);
        if (!line.empty() && line[0] != '#') names.push_back(line);
    }
    if (names.empty())
        throw weather::WeatherError(path, 0,
                                    "names no weather file; one file, folder or pattern a line is expected");
    return files_of(names, std::filesystem::path(path).parent_path().string());
}

std::vector<std::string> station_files(std::vector<std::string> const& given) {
    std::vector<std::string> files;
    for (auto const& name : given) {
        bool const list = std::filesystem::path(name).extension() == ".txt";
        for (auto const& file : list ? stations_of_list(text_of_list(name), name) : files_of({name}, ""))
            // The same file in a folder and by its name is one station.
            if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
    }
    return files;
}

}  // namespace holdwater::sim
