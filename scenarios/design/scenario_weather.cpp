#include "scenarios/design/scenario_weather.hpp"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <memory>
#include <numbers>
#include <system_error>

#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"
#include "weather/angles.hpp"
#include "weather/decomposition.hpp"
#include "weather/read_file_text.hpp"
#include "weather/read_recorded_years.hpp"
#include "weather/read_second_record.hpp"
#include "weather/read_weather.hpp"
#include "weather/site_distance.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_paths.hpp"

namespace holdwater::scenarios {
namespace {

// Whether the weather can belong to the place (limits: common practice, no source).
void check_place(Scenario const& scenario, weather::Site const& site, bool own_file,
                 std::vector<std::string>& warnings) {
    constexpr double far_km = 50, too_far_km = 1000, notable_climb_m = 300, notable_tilt_deg = 15;
    if (scenario.coordinates) {
        double const km = weather::distance_km(
            {scenario.coordinates->latitude_deg, scenario.coordinates->longitude_deg}, site);
        if (km > too_far_km && own_file)
            throw ScenarioError(
                scenario.path, 0, "latitude",
                fmt::format(
                    "the weather file is for latitude {:g}, longitude {:g}, {:.0f} km from the place given; "
                    "check the signs (north and east are positive) or take a nearer file",
                    site.latitude_deg, site.longitude_deg, km));
        if (km > far_km)
            warnings.push_back(fmt::format("the weather was recorded {:.0f} km from the well", km));
    }
    double const climb_m = scenario.elevation_m - site.elevation_m;
    if (std::abs(climb_m) > notable_climb_m)
        warnings.push_back(
            fmt::format("the weather is from {:.0f} m {} than the well: temperature and sun differ",
                        std::abs(climb_m), climb_m > 0 ? "lower" : "higher"));
    bool const fixed = !scenario.tracker && scenario.tilt_changes.empty();
    double const equator_deg = site.latitude_deg < 0 ? 0 : 180;
    if (fixed && scenario.plane.tilt_deg > notable_tilt_deg && std::abs(site.latitude_deg) > 23.5 &&
        weather::cos_deg(scenario.plane.azimuth_deg - equator_deg) < -0.5)
        warnings.push_back(fmt::format(
            "array.azimuth: {:.0f} deg faces away from the equator (latitude {:g}); 180 deg is south",
            scenario.plane.azimuth_deg, site.latitude_deg));
}

// The line of the scenario in which this key, in its table or in an option, names this path; 0 if none does
// (the name comes from the command line).
std::size_t line_of_path(Scenario const& s, std::string const& key, std::string const& wanted) {
    namespace fs = std::filesystem;
    auto const names = [&](toml::node const& node) {
        auto const given = node.value<std::string>();
        return given && (fs::path(s.path).parent_path() / *given).lexically_normal() ==
                            fs::path(wanted).lexically_normal();
    };
    auto const line_of = [&](toml::node_view<toml::node const> view) -> std::size_t {
        if (!view) return 0;
        if (auto const* list = view.as_array())
            for (auto const& entry : *list)
                if (names(entry)) return entry.source().begin.line;
        return names(*view.node()) ? view.node()->source().begin.line : 0;
    };
    std::error_code failure;
    if (!fs::is_regular_file(s.path, failure)) return 0;  // a pipe cannot be read twice
    try {
        auto const document = parse_toml(text_of_file(s.path, "scenario file"), s.path);
        if (auto const line = line_of(document.at_path(key))) return line;
        if (auto const* options = document.get_as<toml::array>("option"))
            for (auto const& option : *options)
                if (auto const* table = option.as_table())
                    for (auto const node : {(*table)[key], table->at_path(key)})
                        if (auto const line = line_of(node)) return line;
    } catch (ScenarioError const&) {
        // The text was not read from a file, or the file has changed since.
    }
    return 0;
}

// A file that cannot be opened is an error of the scenario, at the key that names it; of a file that no key
// names, the name alone is given.
std::string own_text(Scenario const& s, std::string const& key, std::string const& path) {
    try {
        return weather::read_file_text(path, {weather::largest_weather_file});
    } catch (weather::FileTextError const& error) {
        auto const line = line_of_path(s, key, path);
        if (line == 0 && key != "weather.file") throw weather::WeatherError(path, 0, error.what());
        throw MissingWeatherError(s.path, line, key, fmt::format("{}: {}", path, error.what()));
    }
}

weather::ReadOptions reading_of(Scenario const& scenario, std::string const& temperature_path) {
    weather::ReadOptions options;
    options.decomposition = scenario.decomposition;
    options.allow_long_gaps = scenario.fill_long_gaps;
    options.default_albedo = scenario.albedo;
    auto const& path = temperature_path.empty() ? scenario.temperature_path : temperature_path;
    if (!path.empty())
        options.second = std::make_shared<weather::SecondRecord const>(
            weather::read_second_record_text(own_text(scenario, "weather.temperature_file", path), path));
    return options;
}

weather::RecordOptions record_options(Scenario const& scenario, OtherYears const& other) {
    return {reading_of(scenario, other.temperature_path),
            other.light_models.empty() ? scenario.light_models : other.light_models};
}

void split_anew(Scenario const& scenario, weather::WeatherYear& year) {
    if (!scenario.decompose_all) return;
    weather::decompose(year, weather::sun_over_year(year.site), scenario.decomposition);
    year.repairs.push_back(
        {"decomposed", 0, weather::hours_per_year,
         fmt::format("beam and diffuse of every hour were split anew from GHI ({}), as the scenario asks",
                     weather::source_of(scenario.decomposition))});
}

// The files of the scenario's recorded years. A name without a file is an error at the key.
std::vector<weather::WeatherPath> own_record_paths(Scenario const& s) {
    auto const folder = std::filesystem::path(s.path).parent_path().string();
    for (auto const& given : s.recorded_paths) {
        auto const full = std::filesystem::path(folder) / given;
        auto const refuse = [&](std::string const& why) {
            throw ScenarioError(s.path, line_of_path(s, "weather.years", full.string()), "weather.years",
                                why);
        };
        try {
            for (auto const& file : weather::weather_paths({given}, folder)) {
                std::error_code failure;
                if (!std::filesystem::exists(file.path, failure))
                    refuse(file.path + ": cannot be opened: No such file or directory");
            }
        } catch (weather::WeatherError const& error) {
            refuse(error.what());
        }
    }
    return weather::weather_paths(s.recorded_paths, folder);
}

}  // namespace

std::string weather_reading_key(Scenario const& s) {
    auto const place = s.coordinates.value_or(Coordinates{});
    return fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}", s.weather_path,
                       s.weather_stamp ? static_cast<int>(*s.weather_stamp) : -1, s.weather_shift_min,
                       static_cast<int>(s.decomposition), s.decompose_all, s.fill_long_gaps, s.albedo,
                       place.latitude_deg, place.longitude_deg, s.temperature_path,
                       s.light_models.size() == 1 ? static_cast<int>(s.light_models[0]) : -1);
}

weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path) {
    auto options = reading_of(scenario, "");
    if (other_path.empty()) {
        options.columns = scenario.weather_columns;
        options.stamp = scenario.weather_stamp;
        options.shift_min = scenario.weather_shift_min;
    }
    if (scenario.light_models.size() == 1) options.light = scenario.light_models[0];
    auto year = other_path.empty()
                    ? weather::read_weather_text(own_text(scenario, "weather.file", scenario.weather_path),
                                                 scenario.weather_path, options)
                    : weather::read_weather(other_path, options);
    split_anew(scenario, year);
    check_place(scenario, year.site, other_path.empty(), year.warnings);
    return year;
}

bool is_record(Scenario const& scenario, OtherYears const& other) {
    return weather::is_record(weather::weather_paths(other.paths), record_options(scenario, other));
}

weather::RecordedYears read_scenario_years(Scenario const& scenario, OtherYears const& other) {
    auto options = record_options(scenario, other);
    bool const own = other.paths.empty();
    if (own) options.reading.columns = scenario.recorded_columns;
    auto record = weather::read_recorded_years(
        own ? own_record_paths(scenario) : weather::weather_paths(other.paths), options);
    for (auto& light : record.lights)
        for (auto& chain : light.chains)
            for (auto& [number, year] : chain.years) split_anew(scenario, year);
    note_place(scenario, other, record);
    return record;
}

void note_place(Scenario const& scenario, OtherYears const& other, weather::RecordedYears& record) {
    std::vector<std::string> warnings;
    check_place(scenario, record.lights[0].chains[0].years[0].weather.site, other.paths.empty(), warnings);
    std::erase_if(record.findings, [](auto const& finding) { return finding.kind == "place"; });
    for (auto& warning : warnings)
        record.findings.push_back({"place", weather::LightModel::own, {}, 0, std::move(warning)});
}

}  // namespace holdwater::scenarios
