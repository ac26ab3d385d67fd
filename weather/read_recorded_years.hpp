#pragma once

#include <string>
#include <vector>

#include "weather/read_weather.hpp"
#include "weather/recorded_years.hpp"
#include "weather/weather_paths.hpp"

namespace holdwater::weather {

struct RecordOptions {
    /// As for a file of one year; its `light` is not used. With `second` every file may lack temperature and
    /// wind. A column map holds for all files.
    ReadOptions reading;
    /// Of files that hold several models of the light: those wanted. Other files have one, and are not asked.
    std::vector<LightModel> models{LightModel::suny, LightModel::metstat};
};

/// The recorded years of all these files together, of one place, as chains of consecutive years. The rules:
///  - a year is used when it is whole: what fill_hours() lets pass, and never more than 5 % of it missing.
///    Other years are left out and listed, and break the chain;
///  - 29 February is dropped with all its hours and listed;
///  - a year that is spread over several files is put together, but an hour that two files hold is an error;
///  - hours carried over the turn of a year by the clock of the files belong to the year they fall into;
///  - missing temperature and wind come from the second file (ReadOptions::second), and are counted;
///  - a typical year is no recorded year: an error where it was named, else listed and not used. So is a file
///    of a folder or pattern that is no weather file; the second file is passed over there.
/// Throws WeatherError: what read_weather() throws for what is wrong inside a file, files of different
/// places, one hour in two files, no whole year at all.
RecordedYears read_recorded_years(std::vector<WeatherPath> const& files, RecordOptions const& options = {});

/// The same of files, folders and patterns as weather_paths() takes them.
RecordedYears read_recorded_years(std::vector<std::string> const& given, RecordOptions const& options = {});

/// Whether these are recorded years and not one year of weather: several files, a file of more than a year,
/// or one with several models of the light of which more than one is wanted. Throws WeatherError when the
/// only file cannot be read.
bool is_record(std::vector<WeatherPath> const& files, RecordOptions const& options);

}  // namespace holdwater::weather
