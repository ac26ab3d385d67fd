#pragma once

#include <array>
#include <string>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::test {

inline constexpr std::size_t days_of_year = 365;

/// One year of a daily record; NaN where a value is missing. 29 February is left out.
struct RecordedDays {
    int year = 0;
    std::array<double, days_of_year> clearness{};  ///< daily light over that outside the atmosphere
    std::array<double, days_of_year> warmest_c{}, coldest_c{};
    std::array<bool, 12> whole{};  ///< the month has at most four days without light
};

/// A place's record and the light outside the atmosphere on each day [kWh/m2].
struct DailyRecord {
    std::string name;
    weather::Site site;
    std::vector<RecordedDays> years;
    std::array<double, days_of_year> outside_kwh_m2{};
    bool has_temperature = false;
    std::string lacks;  ///< what the selection of typical months would use and the record has not
};

/// The seven records of shared `weather/daily/` and `weather/years/`; empty where the files are missing.
/// Days above 0.95 or below 0.005 of the light outside are taken as missing.
std::vector<DailyRecord> read_records(std::string const& shared_weather);

}  // namespace holdwater::test
