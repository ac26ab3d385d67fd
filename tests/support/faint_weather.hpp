#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "weather/weather_year.hpp"

namespace holdwater::test {

/// A made weather file of an invented place with a little diffuse light around noon from April to August,
/// which the sun can give at 66 to 75 degrees north and at most southern latitudes; 5 degC all year.
inline void put_faint_weather(std::filesystem::path const& path, double latitude_deg,
                              std::string const& state = "") {
    std::ofstream out(path, std::ios::binary);
    out << "# made, not measured\nstation,\"Faint (made, invented place)\"\n";
    if (!state.empty()) out << "state," << state << "\n";
    out << "latitude_deg," << latitude_deg << "\nlongitude_deg,0\nelevation_m,100\nutc_offset_h,0\n"
        << "stamp,start\ninterval_min,60\n"
        << "year,month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s]\n";
    for (int h = 0; h < weather::hours_per_year; ++h) {
        auto const at = weather::calendar_hour(h);
        int const light = at.month >= 4 && at.month <= 8 && at.hour >= 10 && at.hour < 14 ? 60 : 0;
        out << "2023," << at.month << "," << at.day << "," << at.hour << "," << light << ",0," << light
            << ",5,3\n";
    }
}

}  // namespace holdwater::test
