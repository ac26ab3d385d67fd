#include "tests/year-to-year/daily_record.hpp"

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <sstream>

#include "weather/sun_position.hpp"

namespace holdwater::test {

namespace {

constexpr double missing = std::numeric_limits<double>::quiet_NaN();

struct Place {
    char const* name;
    weather::Site site;
    char const* lacks;
};
// Positions as in the README of the records; heights do not enter.
constexpr char const* no_beam = "beam, dew point, wind";
Place const places[] = {
    {"monterey", {36.600, -121.867, 50, -8}, "beam, dew point, wind, temperature"},
    {"carrington", {47.51, -99.13, 0, -7}, no_beam},
    {"lelystad", {52.46, 5.52, 0, 1}, no_beam},
    {"debilt", {52.10, 5.18, 0, 1}, no_beam},
    {"dublin", {53.43, -6.25, 0, 0}, no_beam},
    {"hyderabad", {17.5, 78.3, 0, 5}, no_beam},
    {"chakwal", {32.9, 72.9, 0, 5}, "beam (missing on many days), dew point, wind"},
};

std::vector<std::string> cells_of(std::string line) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    std::vector<std::string> cells;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) cells.push_back(cell);
    return cells;
}

std::size_t column(std::vector<std::string> const& header, std::string const& name) {
    for (std::size_t i = 0; i < header.size(); ++i)
        if (header[i] == name) return i;
    return header.size();
}

double number(std::vector<std::string> const& cells, std::size_t i) {
    return i < cells.size() && !cells[i].empty() ? std::strtod(cells[i].c_str(), nullptr) : missing;
}

struct Day {
    double kwh_m2 = missing, warmest_c = missing, coldest_c = missing;
};
using Days = std::map<std::array<int, 3>, Day>;

std::array<int, 3> date_of(std::string const& text) {
    return {std::atoi(text.substr(0, 4).c_str()), std::atoi(text.substr(5, 2).c_str()),
            std::atoi(text.substr(8, 2).c_str())};
}

Days read_daily(std::string const& path) {
    std::ifstream in(path);
    std::string line;
    std::getline(in, line);
    auto const header = cells_of(line);
    bool const in_kwh = column(header, "ghi_kwh_m2") < header.size();
    std::size_t const light = column(header, in_kwh ? "ghi_kwh_m2" : "ghi_mj_m2"),
                      warm = column(header, "tmax_c"), cold = column(header, "tmin_c");
    Days days;
    while (std::getline(in, line)) {
        auto const cells = cells_of(line);
        days[date_of(cells.at(0))] = {number(cells, light) / (in_kwh ? 1 : 3.6), number(cells, warm),
                                      number(cells, cold)};
    }
    return days;
}

// The hourly station: the irradiance model that uses clouds (METSTAT), as typical years of that archive do.
Days read_station(std::string const& folder) {
    Days days;
    for (int year = 2000; year <= 2004; ++year) {
        std::ifstream in(folder + "/724915_" + std::to_string(year) + "_solar.csv");
        std::string line;
        std::getline(in, line);
        auto const light = column(cells_of(line), "METSTAT Glo (Wh/m^2)");
        while (std::getline(in, line)) {
            auto const cells = cells_of(line);
            Day& day = days[date_of(cells.at(0))];
            if (std::isnan(day.kwh_m2)) day.kwh_m2 = 0;
            day.kwh_m2 += number(cells, light) / 1000;
        }
    }
    return days;
}

DailyRecord record_of(Place const& place, Days const& days) {
    DailyRecord record;
    record.name = place.name;
    record.site = place.site;
    record.lacks = place.lacks;
    auto const sun = weather::sun_over_year(place.site);
    for (std::size_t day = 0; day < days_of_year; ++day)
        for (std::size_t h = 0; h < 24; ++h)
            record.outside_kwh_m2[day] += sun.extraterrestrial_horizontal_w_m2[24 * day + h] / 1000;
    for (int year = days.begin()->first[0]; year <= days.rbegin()->first[0]; ++year) {
        RecordedDays of_year;
        of_year.year = year;
        of_year.clearness.fill(missing);
        of_year.warmest_c.fill(missing);
        of_year.coldest_c.fill(missing);
        record.years.push_back(of_year);
    }
    for (auto const& [date, day] : days) {
        if (date[1] == 2 && date[2] == 29) continue;
        auto& year = record.years[static_cast<std::size_t>(date[0] - record.years[0].year)];
        auto const d = static_cast<std::size_t>(weather::hour_index(date[1], date[2], 0) / 24);
        double const k = day.kwh_m2 / record.outside_kwh_m2[d];
        if (k >= 0.005 && k <= 0.95) year.clearness[d] = k;
        year.warmest_c[d] = day.warmest_c;
        year.coldest_c[d] = day.coldest_c;
        if (!std::isnan(day.warmest_c)) record.has_temperature = true;
    }
    for (auto& year : record.years)
        for (std::size_t m = 0; m < 12; ++m) {
            int without = 0;
            for (int d = weather::month_start_hour[m] / 24; d < weather::month_start_hour[m + 1] / 24; ++d)
                without += std::isnan(year.clearness[static_cast<std::size_t>(d)]) ? 1 : 0;
            year.whole[m] = without <= 4;
        }
    return record;
}

}  // namespace

std::vector<DailyRecord> read_records(std::string const& shared_weather) {
    std::vector<DailyRecord> records;
    for (Place const& place : places) {
        bool const station = std::string(place.name) == "monterey";
        std::string const path =
            station ? shared_weather + "/years" : shared_weather + "/daily/" + place.name + "_daily.csv";
        if (!std::filesystem::exists(path)) continue;
        records.push_back(record_of(place, station ? read_station(path) : read_daily(path)));
    }
    return records;
}

}  // namespace holdwater::test
