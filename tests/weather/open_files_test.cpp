#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/cloudy_periods.hpp"
#include "weather/csv.hpp"
#include "weather/quality.hpp"
#include "weather/read_weather.hpp"
#include "weather/transposition.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

struct OpenFile {
    std::string name, format;
    std::size_t header_lines, ghi_column, dni_column, dhi_column;  // columns counted from 0
    double latitude_deg, longitude_deg, utc_offset_h, elevation_m;
};

// Columns and sites as in the files; TMY3: Wilcox & Marion, NREL/TP-581-43156.
std::vector<OpenFile> const files{
    {"bishop-tmy3.csv", "TMY3", 2, 4, 7, 10, 37.367, -118.350, -8, 1250},
    {"boise-tmy3.csv", "TMY3", 2, 4, 7, 10, 43.620, -116.210, -7, 701},
    {"chicago-ohare.epw", "EPW", 8, 13, 14, 15, 41.98, -87.92, -6, 201},
    {"denver-intl.epw", "EPW", 8, 13, 14, 15, 39.83, -104.65, -7, 1650},
};

std::string path_of(OpenFile const& file) { return std::string(HOLDWATER_SHARED "/weather/") + file.name; }

/// False, with a visible line, where the open files are not installed.
bool present(OpenFile const& file) {
    if (std::filesystem::exists(path_of(file))) return true;
    std::cout << "SKIPPED " << file.name << ": not in " << HOLDWATER_SHARED "/weather\n";
    MESSAGE("SKIPPED " << file.name);
    return false;
}

/// Sum of a column with nothing but getline, apart from the readers.
double column_sum_kwh(OpenFile const& file, std::size_t column) {
    std::ifstream in(path_of(file));
    std::string line, field;
    double sum = 0;
    for (std::size_t n = 0; std::getline(in, line); ++n) {
        if (n < file.header_lines) continue;
        std::istringstream fields(line);
        for (std::size_t c = 0; c <= column; ++c) std::getline(fields, field, ',');
        sum += std::stod(field) / 1000;
    }
    return sum;
}

/// The gold line of a file: what this code makes of it.
std::string gold_line(OpenFile const& file) {
    auto const year = read_weather(path_of(file));
    auto const sun = sun_over_year(year.site);
    auto const plane =
        plane_of_array(year, sun, {year.site.latitude_deg, 180}, TranspositionModel::perez, 0.2);
    std::string line = file.name;
    for (std::size_t m = 0; m < 12; ++m) {
        double sum = 0;
        for (auto i = static_cast<std::size_t>(month_start_hour[m]);
             i < static_cast<std::size_t>(month_start_hour[m + 1]); ++i)
            sum += plane.total_w_m2(i) / 1000;
        line += fmt::format(",{:.2f}", sum);
    }
    auto const period = worst_cloudy_periods(daily_energy_kwh_m2(plane), 5, year.file_year)[4];
    auto const at = calendar_hour(period.first_day * 24);
    auto const report = check_quality(year, sun);
    return line + fmt::format(",{:02}-{:02},{:.3f},{:.1f},{},{:.5f}", at.month, at.day, period.energy,
                              period.percent_of_normal, period.over_seam ? "seam" : "-",
                              report.closure_residual);
}

}  // namespace

TEST_SUITE_BEGIN("weather/open_files");

TEST_CASE("site, sums of the columns, and nothing but listed repairs") {
    for (auto const& file : files) {
        if (!present(file)) continue;
        CAPTURE(file.name);
        auto const year = read_weather(path_of(file));
        CHECK(year.format == file.format);
        CHECK(year.site.latitude_deg == file.latitude_deg);
        CHECK(year.site.longitude_deg == file.longitude_deg);
        CHECK(year.site.utc_offset_h == file.utc_offset_h);
        CHECK(year.site.elevation_m == file.elevation_m);
        CHECK(year.warnings.empty());
        auto const report = check_quality(year, sun_over_year(year.site));
        CHECK(report.ghi_kwh_m2 == Near{column_sum_kwh(file, file.ghi_column), 0, 1e-4});
        CHECK(report.dni_kwh_m2 == Near{column_sum_kwh(file, file.dni_column), 0, 1e-4});
        CHECK(report.dhi_kwh_m2 == Near{column_sum_kwh(file, file.dhi_column), 0, 1e-4});
        CHECK(report.beyond_possible_h == 0);
        // Two files hold 1 W/m2 of beam in the mean of an hour in which the sun is up for a second or two.
        for (auto const& repair : year.repairs)
            CHECK((repair.kind == "night value" || repair.kind == "albedo" ||
                   (repair.kind == "beam at low sun" && repair.hours == 1)));
    }
}

// A file whose stamps are read rightly closes best with the sun where it is, here to under half a percent in
// both layouts; read half an hour wrong each is off by 4 % and more.
TEST_CASE("closure of TMY3 and EPW: best at no shift, and as good in one layout as in the other") {
    for (auto const& file : files) {
        if (!present(file)) continue;
        CAPTURE(file.name);
        auto const year = read_weather(path_of(file));
        auto const residual = [&](double shift_min) {
            return closure_residual(year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2,
                                    sun_over_year(year.site, 2023, shift_min));
        };
        double const right = residual(0);
        CHECK(right < 0.005);
        for (double shift : {-60.0, -30.0, -10.0, 10.0, 30.0, 60.0}) CHECK(residual(shift) > 3 * right);
        CHECK(residual(30) > 0.04);
        CHECK(residual(-30) > 0.04);
    }
}

// Marion & Wilcox 1994, NREL/TP-463-5607, Boulder: 4.6 kWh/m2 a day flat and 5.5 at latitude tilt, +-0.2,
// from memory; the Denver file is 40 km away. Common practice: at 30-45 deg of latitude a plane tilted by the
// latitude gets 1.10-1.20 times the horizontal.
TEST_CASE("gain of the tilted plane") {
    for (auto const& file : files) {
        if (!present(file)) continue;
        CAPTURE(file.name);
        auto const year = read_weather(path_of(file));
        auto const sun = sun_over_year(year.site);
        double const ghi = check_quality(year, sun).ghi_kwh_m2;
        double const tilted =
            plane_of_array(year, sun, {year.site.latitude_deg, 180}, TranspositionModel::perez)
                .total_kwh_m2();
        CHECK((tilted / ghi > 1.10 && tilted / ghi < 1.20));
        double const even =
            plane_of_array(year, sun, {year.site.latitude_deg, 180}, TranspositionModel::isotropic)
                .total_kwh_m2();
        CHECK(even < tilted);
        if (file.name != "denver-intl.epw") continue;
        CHECK(ghi / 365 == Near{4.6, 0.2, 0});
        CHECK(tilted / 365 == Near{5.5, 0.2, 0});
    }
}

// Gold values: written by this code and kept so that a change of any reader, rule or model shows. They do not
// prove that the code is right; the tables in the other tests do. Why they are plausible: the monthly sums
// follow noon sun and clouds (Chicago's winter half-year is cloudy, Bishop's is not). The worst five days are
// in the half-year of low sun, in two files across the boundary of two months that never followed each other.
// Closure is small because the radiation in these files was modeled hour by hour with their own sun.
TEST_CASE("gold: monthly light at latitude tilt, cloudiest five days, closure") {
    std::ifstream in(HOLDWATER_SOURCE "/tests/weather/golden_weather.csv");
    REQUIRE(in.good());
    std::string line;
    std::size_t rows = 0;
    while (std::getline(in, line)) {
        if (line.empty() || line[0] == '#' || line.starts_with("file,")) continue;
        REQUIRE(rows < files.size());
        auto const& file = files[rows++];
        if (present(file)) CHECK(gold_line(file) == line);
    }
    CHECK(rows == files.size());
}

// The open files hold no station in both layouts, so each TMY3 file is written again here as an EPW, field by
// field (EPW data dictionary: radiation in fields 14-16, dry bulb 7, wind speed 22, counted from 1).
TEST_CASE("a TMY3 file and the EPW of the same station agree") {
    for (OpenFile const& file : files) {
        if (file.format != "TMY3" || !present(file)) continue;
        CAPTURE(file.name);
        std::ifstream in(path_of(file));
        std::string line;
        std::getline(in, line);
        std::getline(in, line);
        std::vector<std::string> names;
        std::istringstream header(line);
        for (std::string name; std::getline(header, name, ',');) names.push_back(name);
        auto const column = [&](std::string const& name) {
            for (std::size_t c = 0; c < names.size(); ++c)
                if (names[c] == name) return c;
            FAIL("no column " << name);
            return names.size();
        };
        std::size_t const dry = column("Dry-bulb (C)"), wind = column("Wspd (m/s)");
        std::string epw = fmt::format("LOCATION,X,Y,USA,TMY3,1,{},{},{},{}\n", file.latitude_deg,
                                      file.longitude_deg, file.utc_offset_h, file.elevation_m);
        epw +=
            "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT "
            "SAVINGS,No,0,0,0\n"
            "COMMENTS 1,\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n";
        while (std::getline(in, line)) {
            std::vector<std::string> f;
            std::istringstream fields(line);
            for (std::string field; std::getline(fields, field, ',');) f.push_back(field);
            if (f.size() < wind) continue;
            std::string const month = f[0].substr(0, 2), day = f[0].substr(3, 2), year = f[0].substr(6, 4);
            epw += fmt::format(
                "{},{},{},{},0,?,{},0,50,99000,0,0,300,{},{},{},0,0,0,0,0,{},5,5,20,77777,9,0,10,0,0,0,0.2,0,"
                "0\n",
                year, month, day, std::stoi(f[1].substr(0, 2)), f[dry], f[4], f[7], f[10], f[wind]);
        }
        auto const tmy3 = read_weather(path_of(file)), other = read_weather_text(epw, "made.epw");
        CHECK(other.format == "EPW");
        double ghi_tmy3 = 0, ghi_epw = 0;
        for (double const g : tmy3.ghi_w_m2) ghi_tmy3 += g;
        for (double const g : other.ghi_w_m2) ghi_epw += g;
        CHECK(ghi_epw == Near{ghi_tmy3, 0, 0.005});
        auto const plane = [&](WeatherYear const& y) {
            return plane_of_array(y, sun_over_year(y.site), {file.latitude_deg, 180},
                                  TranspositionModel::perez)
                .total_kwh_m2();
        };
        // TMY3 has an albedo of its own, which is worth a little on a tilted plane.
        CHECK(plane(other) == Near{plane(tmy3), 0, 0.005});
    }
}

TEST_SUITE_END();
