#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "weather/decomposition.hpp"
#include "weather/light_model.hpp"
#include "weather/second_record.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Which instant of its interval the time of a row means.
enum class Stamp { start, middle, end };

/// A column by the name in the header row (upper or lower case alike) and its unit, any that the UDUNITS-2
/// database knows: an irradiance ("W/m2") or an energy per interval ("kJ/m2", "Wh/m2"), "degC", "mph", "%".
struct Column {
    std::string name, unit;
    bool used() const { return !name.empty(); }
};

/// How to read a CSV of any other form. Leave the name of a column empty if the file does not have it; GHI,
/// or DNI with DHI, and the temperature are required.
struct ColumnMap {
    std::string station;
    Site site;
    std::string time;  ///< one column "2021-01-31 14:00" (also T between, seconds), or
    std::string year, month, day, hour, minute;  ///< one column each; year and minute optional
    Column ghi, dni, dhi, temperature, wind, albedo;
    Stamp stamp = Stamp::start;
    bool temperature_at_stamp = false;  ///< temperature and wind are readings at the stated time, not means
    char separator = ',';
    std::vector<double> missing_codes;  ///< besides empty fields and NaN
    int interval_min = 0;               ///< 0: from the first two rows
};

struct ReadOptions {
    std::optional<ColumnMap> columns = std::nullopt;  ///< given: the file is a CSV to be read by it
    /// What the times mean, for files of any kind; otherwise by the kind of file, its own `stamp` line or the
    /// column map. Temperature and wind of files that hold readings are readings at that time.
    std::optional<Stamp> stamp = std::nullopt;
    /// Added to the time of every row, -1440 .. 1440 minutes: corrects a clock that is wrong by this much.
    /// Whole intervals move the rows; the remainder moves the clock of the year (site.utc_offset_h), so that
    /// no value is mixed with its neighbor. Hours that are moved over the end of the year go to its other
    /// end.
    int shift_min = 0;
    /// Fill gaps above 2 h from neighboring days (counted), and more than 5 % of the hours, instead of
    /// refusing them.
    bool allow_long_gaps = false;
    double default_albedo = 0.2;    ///< for hours without a value in a file with an albedo column
    double default_wind_m_s = 1.0;  ///< for files without wind
    int sun_year = 2023;            ///< non-leap year whose sun positions are used in checks and gap rules
    DecompositionModel decomposition = DecompositionModel::brl;  ///< of hours that have only GHI
    LightModel light = LightModel::own;                          ///< of files that hold several models
    /// Gives temperature and wind if the file has none, by date and hour, and the place if it has none; null:
    /// no such file.
    std::shared_ptr<SecondRecord const> second = nullptr;
    /// Refuse a year of which more than 5 % is missing, even with long gaps allowed.
    bool whole_years_only = false;
};

/// Reads a year of weather; the format is recognized from the content, never from the name. Every change made
/// to the numbers is in `repairs`, every doubt in `warnings`. Throws WeatherError with file, line and what is
/// accepted instead.
WeatherYear read_weather(std::string const& path, ReadOptions const& options = {});

/// The same from memory; `name` is the path in messages.
WeatherYear read_weather_text(std::string_view text, std::string const& name,
                              ReadOptions const& options = {});

}  // namespace holdwater::weather
