#include "scenarios/design/record_shelf.hpp"

#include <filesystem>

namespace holdwater::scenarios {
namespace {

// Everything that decides how recorded years are read: the rules of reading, which files, and which
// irradiance models.
std::string record_key(Scenario const& s, OtherYears const& other) {
    auto key = weather_reading_key(s) + '\n' + other.temperature_path;
    bool const own = other.paths.empty();
    if (own) key += '\n' + std::filesystem::path(s.path).parent_path().string();
    for (auto const& path : own ? s.recorded_paths : other.paths) key += '\n' + path;
    for (auto const model : other.light_models.empty() ? s.light_models : other.light_models)
        key += '|' + std::to_string(static_cast<int>(model));
    return key;
}

}  // namespace

weather::RecordedYears RecordShelf::of(Scenario const& s, OtherYears const& other) {
    if (s.recorded_columns && other.paths.empty()) return read_scenario_years(s, other);
    auto const key = record_key(s, other);
    auto found = records_.find(key);
    if (found == records_.end()) found = records_.emplace(key, read_scenario_years(s, other)).first;
    auto record = found->second;
    note_place(s, other, record);
    return record;
}

bool RecordShelf::is_record(Scenario const& s, OtherYears const& other) {
    auto const key = record_key(s, other);
    auto const found = is_record_.find(key);
    if (found != is_record_.end()) return found->second;
    return is_record_[key] = scenarios::is_record(s, other);
}

}  // namespace holdwater::scenarios
