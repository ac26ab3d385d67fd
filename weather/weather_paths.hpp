#pragma once

#include <string>
#include <vector>

namespace holdwater::weather {

/// A file to read, and whether the user named it or it comes from a folder or pattern.
struct WeatherPath {
    std::string path;
    bool named = true;
};

/// The files that a list of files, folders and patterns (* ? [a-z], as in the shell) stands for, in the order
/// given; those of a folder or pattern by name, each file once. A folder stands for its files that end in
/// .csv or .epw, also for links whose file is missing, but not for those in its subfolders. Relative paths
/// are below `folder`, if that is not empty. Throws WeatherError for a folder or pattern without files; a
/// file that is named need not exist.
std::vector<WeatherPath> weather_paths(std::vector<std::string> const& given, std::string const& folder = "");

}  // namespace holdwater::weather
