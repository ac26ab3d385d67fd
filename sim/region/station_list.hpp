#pragma once

#include <string>
#include <vector>

namespace holdwater::sim {

/// The weather files that a list of stations stands for, in its order, each once. A line names a file, a
/// folder or a pattern (weather::weather_paths), seen from the folder of the list; blank lines and lines that
/// begin with # are left out. `path` is the list's own name. Throws weather::WeatherError if the text names
/// none, or a folder or pattern without files.
std::vector<std::string> stations_of_list(std::string const& text, std::string const& path);

/// The same for what --stations names: files, folders, patterns, and lists, whose names end in .txt. Throws
/// weather::WeatherError, also for a list that cannot be read or is larger than 1 MiB.
std::vector<std::string> station_files(std::vector<std::string> const& given);

}  // namespace holdwater::sim
