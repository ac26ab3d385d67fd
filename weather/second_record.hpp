#pragma once

#include <map>
#include <string>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Temperature and wind of a second file, by date and hour, for files that lack them; and its place, for
/// files that name none.
struct SecondRecord {
    /// A year of 8760 hourly means, NaN if the file has no value.
    struct Readings {
        std::vector<double> temperature_c, wind_m_s;
    };
    std::string path, station;
    Site site;
    /// The file holds one year of hours, as a typical year does, which is used for every year, by month, day
    /// and hour. Otherwise every year has its own values.
    bool one_year_for_all = false;
    std::map<int, Readings> years;  ///< by calendar year; the one year at key 0

    /// Null: the file has nothing for that year.
    [[nodiscard]] Readings const* of_year(int year) const {
        auto const at = years.find(one_year_for_all ? 0 : year);
        return at == years.end() ? nullptr : &at->second;
    }
};

}  // namespace holdwater::weather
