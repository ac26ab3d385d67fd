#pragma once

#include <memory>
#include <string>

#include "scenarios/settings/water_settings.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// How the dates of a file are written.
enum class DateOrder { year_month_day, month_day_year, day_month_year };

/// What the days that a part of a year leaves open are taken from.
enum class SeriesRepeat { refuse, weeks, days };

/// A file of measured water use and how it is read.
struct DemandSeriesSource {
    std::string path;
    std::string date, time;  ///< columns; one of the two may be empty
    std::string volume;      ///< column
    double m3_per_unit = 1;
    DateOrder order = DateOrder::year_month_day;
    bool stamp_is_end = false;  ///< the time is the end of the interval, else its start
    bool counter = false;       ///< a meter's reading that goes up, else the volume of each interval
    char separator = ',';
    bool fill_gaps = false;
    SeriesRepeat repeat = SeriesRepeat::refuse;
    std::string from;  ///< first day used, "YYYY-MM-DD"; empty: the first whole one
    models::DayProfile day = models::household_profile;  ///< how a day's reading is spread over its hours
};

/// Reads the table [demand.series]; `scenario_path`: the file is looked for from its folder. Throws
/// ScenarioError.
DemandSeriesSource read_series_source(Section s, std::string const& scenario_path);

/// Reads the file and makes a year of it, 8760 h:
/// - each interval's volume is spread evenly over its time and summed by the hour; a day's reading is spread
///   by `day`. Rows come in order of time, at most a day apart;
/// - an hour without a reading, or with one of part of it, is a gap: refused, or filled with the mean of the
///   same hour of the same weekday (of all days where that weekday has none);
/// - the file's whole days take their own dates, 29 February left out; of more than a year the first 365 days
///   count; of less, the other days repeat the file's whole weeks (or days) on from its first day.
/// A file that was read before and has not changed is not read again: the same object. Throws ScenarioError
/// and weather::WeatherError naming file and line.
std::shared_ptr<DemandSeries const> read_demand_series(DemandSeriesSource const& source);

}  // namespace holdwater::scenarios
