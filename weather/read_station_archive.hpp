#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/light_model.hpp"
#include "weather/raw_table.hpp"
#include "weather/second_record.hpp"

namespace holdwater::weather {

/// One station and year of the national archive of hourly radiation, 1991 to 2010: National Solar Radiation
/// Data Base 1991-2010 Update, User's Manual, NREL/TP-5500-54824 (2012). Row 1: column names, which begin
/// with "YYYY-MM-DD,HH:MM (LST)". Then hours from 1:00 to 24:00 in local standard time; each is the energy of
/// the 60 minutes that end at that time (Wh/m2, so the mean in W/m2). Two irradiance models, SUNY (satellite,
/// from 1998) and METSTAT (clouds), and measured columns are side by side; -9900 and below: missing. Columns
/// are found by name.
///
/// The file has no place, temperature or wind: the place is that of `second`.
bool looks_like_station_archive(std::vector<std::string_view> const& lines);
/// `model` own: SUNY, with a warning. Throws WeatherError, also if there is no second file.
RawTable read_station_archive(std::vector<std::string_view> const& lines, std::string const& path,
                              LightModel model, SecondRecord const* second);

}  // namespace holdwater::weather
