#pragma once

#include <string>
#include <vector>

#include "weather/read_weather.hpp"
#include "weather/recorded_years.hpp"
#include "weather/weather_paths.hpp"

namespace holdwater::weather {

struct RecordOptions {
    /// The same as for a file of one year, but its `light` is not used. With `second`, every file may lack
    /// temperature and wind. A column map applies to all files.
    ReadOptions reading;
    /// The models to use from files that hold several irradiance models. Other files have one, and it is
    /// used.
    std::vector<LightModel> models{LightModel::suny, LightModel::metstat};
};

/// The recorded years of all these files together, of one place, as chains of consecutive years. The rules:
///   - a year is used if it is complete: fill_hours() accepts it, and never more than 5 % of it is missing.
///     Other years are left out and listed, and break the chain;
///   - 29 February is dropped with all its hours and listed;
///   - a year that is spread over several files is put together, but an hour that two files hold is an
///     error;
///   - hours that the clock of the files moves over New Year belong to the year into which they fall;
///   - missing temperature and wind come from the second file (ReadOptions::second), and are counted;
///   - a typical year is not a recorded year: an error if it was named, otherwise listed and not used. The
///     same holds for a file from a folder or pattern that is not a weather file; the second file is
///     skipped there.
/// Throws WeatherError: what read_weather() throws for errors inside a file, files of different places, one
/// hour in two files, no complete year.
RecordedYears read_recorded_years(std::vector<WeatherPath> const& files, RecordOptions const& options = {});

/// The same for files, folders and patterns, as weather_paths() reads them.
RecordedYears read_recorded_years(std::vector<std::string> const& given, RecordOptions const& options = {});

/// Whether these are recorded years and not one year of weather: several files, a file of more than a year,
/// or a file with several irradiance models of which more than one is to be used. Throws WeatherError if the
/// only file cannot be read.
bool is_record(std::vector<WeatherPath> const& files, RecordOptions const& options);

}  // namespace holdwater::weather
