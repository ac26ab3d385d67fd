#pragma once

#include <string>
#include <vector>

namespace holdwater::weather {

/// A file to read, and whether somebody named it or a folder or pattern brought it along.
struct WeatherPath {
    std::string path;
    bool named = true;
};

/// Files, folders and patterns (* ? [a-z], as the shell has them) as files, in the order given; those of a
/// folder or pattern by name, each file once. Of a folder: its files that end in .csv or .epw, not those of
/// folders inside it; of a pattern: what it says. Relative ones are below `folder`, when that is not empty.
/// Throws WeatherError for a folder or pattern without files; a named file need not exist.
std::vector<WeatherPath> weather_paths(std::vector<std::string> const& given, std::string const& folder = "");

}  // namespace holdwater::weather
