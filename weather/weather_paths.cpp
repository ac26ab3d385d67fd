#include "weather/weather_paths.hpp"

#include <fmt/format.h>
#include <glob.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

namespace fs = std::filesystem;

std::vector<std::string> files_of_folder(fs::path const& folder) {
    std::vector<std::string> files;
    std::error_code error;
    for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
        std::error_code ignored;
        auto const ending = lower(at->path().extension().string());
        // A link whose file is missing stays in the list, so that whoever reads it says so.
        bool const dangling = at->is_symlink(ignored) && !at->exists(ignored);
        if ((at->is_regular_file(ignored) || dangling) && (ending == ".csv" || ending == ".epw"))
            files.push_back(at->path().string());
    }
    if (error) throw WeatherError(folder.string(), 0, fmt::format("cannot be listed: {}", error.message()));
    if (files.empty())
        throw WeatherError(folder.string(), 0,
                           "the folder holds no weather file; files that end in .csv or .epw are expected");
    std::sort(files.begin(), files.end());
    return files;
}

/// With a backslash before characters that have a meaning in a pattern.
std::string literal(std::string const& text) {
    std::string out;
    for (char c : text) {
        if (std::string_view("*?[]\\").find(c) != std::string_view::npos) out += '\\';
        out += c;
    }
    return out;
}

std::vector<std::string> files_of_pattern(std::string const& pattern, std::string const& shown) {
    glob_t found{};
    std::unique_ptr<glob_t, decltype(&::globfree)> const freed(&found, &::globfree);
    int const result = ::glob(pattern.c_str(), GLOB_NOSORT, nullptr, &found);
    std::vector<std::string> files;
    if (result == 0)
        for (std::size_t i = 0; i < found.gl_pathc; ++i) {
            std::error_code ignored;
            if (!fs::is_directory(found.gl_pathv[i], ignored)) files.emplace_back(found.gl_pathv[i]);
        }
    if (files.empty())
        throw WeatherError(shown, 0, "no file has a name like this; * stands for any letters, ? for one");
    std::sort(files.begin(), files.end());
    return files;
}

}  // namespace

std::vector<WeatherPath> weather_paths(std::vector<std::string> const& given, std::string const& folder) {
    std::vector<WeatherPath> paths;
    std::set<std::string> seen;
    auto const add = [&](std::string const& path, bool named) {
        std::error_code ignored;
        auto const full = fs::weakly_canonical(path, ignored).string();
        if (seen.insert(full.empty() ? path : full).second) paths.push_back({path, named});
    };
    for (auto const& text : given) {
        bool const below = !folder.empty() && !fs::path(text).is_absolute();
        auto const path = (below ? fs::path(folder) / text : fs::path(text)).lexically_normal().string();
        std::error_code ignored;
        bool const pattern = text.find_first_of("*?[") != std::string::npos;
        if (fs::is_directory(path, ignored))
            for (auto const& file : files_of_folder(path)) add(file, false);
        else if (pattern && !fs::exists(path, ignored))
            for (auto const& file : files_of_pattern(below ? literal(folder) + "/" + text : text, path))
                add(fs::path(file).lexically_normal().string(), false);
        else
            add(path, true);
    }
    return paths;
}

}  // namespace holdwater::weather
