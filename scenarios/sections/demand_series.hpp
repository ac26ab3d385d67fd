#pragma once

#include <memory>
#include <string>

#include "scenarios/settings/water_settings.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// How the dates of a file are written.
enum class DateOrder { year_month_day, month_day_year, day_month_year };

/// How the days that the file does not cover are filled.
enum class SeriesRepeat { refuse, weeks, days };

/// A file of measured water use and how it is read.
struct DemandSeriesSource {
    std::string path;
    std::string date, time;  ///< columns; one of the two may be empty
    std::string volume;      ///< column
    double m3_per_unit = 1;
    DateOrder order = DateOrder::year_month_day;
    bool stamp_is_end = false;  ///< the time is the end of the interval; false: its start
    bool counter = false;       ///< readings of a meter that counts up; false: the volume of each interval
    char separator = ',';
    bool fill_gaps = false;
    SeriesRepeat repeat = SeriesRepeat::refuse;
    std::string from;  ///< first day that is used, "YYYY-MM-DD"; empty: the first whole day
    models::DayProfile day =
        models::household_profile;  ///< how the reading of a day is spread over its hours
};

/// Reads the table [demand.series]. The path of the file is relative to the folder of `scenario_path`. Throws
/// ScenarioError.
DemandSeriesSource read_series_source(Section s, std::string const& scenario_path);

/// Reads the file and makes a year of it, 8760 h:
///   - The volume of each interval is spread evenly over the interval and added up by the hour. The reading
///     of a whole day is spread by `day`. Rows must be in order of time, at most a day apart.
///   - An hour without a reading, or with a reading for only part of it, is a gap. It is refused, or filled
///     with the mean of the same hour on the same weekday (on all days if that weekday has none).
///   - Whole days keep their dates, and 29 February is left out. If the file covers more than a year, the
///     first 365 days are used. If it covers less, the other days repeat the whole weeks (or the days) of
///     the file from its first day on.
/// A file that was read before and has not changed is not read again; the result is the same object. Throws
/// ScenarioError and weather::WeatherError naming file and line.
std::shared_ptr<DemandSeries const> read_demand_series(DemandSeriesSource const& source);

}  // namespace holdwater::scenarios
