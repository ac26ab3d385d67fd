#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/quality.hpp"
#include "weather/read_weather.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

double sum(std::vector<double> const& values) {
    double total = 0;
    for (double v : values) total += v;
    return total;
}

bool has_repair(WeatherYear const& year, std::string const& kind) {
    return std::any_of(year.repairs.begin(), year.repairs.end(),
                       [&](Repair const& r) { return r.kind == kind; });
}

Repair const& repair(WeatherYear const& year, std::string const& kind) {
    auto const at = std::find_if(year.repairs.begin(), year.repairs.end(),
                                 [&](Repair const& r) { return r.kind == kind; });
    REQUIRE(at != year.repairs.end());
    return *at;
}

bool warns(WeatherYear const& year, std::string const& words) {
    return std::any_of(year.warnings.begin(), year.warnings.end(),
                       [&](std::string const& w) { return w.find(words) != std::string::npos; });
}

void check_light(WeatherYear const& read, WeatherYear const& made) {
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        REQUIRE(read.ghi_w_m2[i] == Near{made.ghi_w_m2[i], 6e-4, 0});
        REQUIRE(read.dni_w_m2[i] == Near{made.dni_w_m2[i], 6e-4, 0});
        REQUIRE(read.dhi_w_m2[i] == Near{made.dhi_w_m2[i], 6e-4, 0});
    }
}

}  // namespace

TEST_SUITE_BEGIN("weather/read_formats");

TEST_CASE("TMY3 and EPW: every hour in its place, readings at the stamps turned into means of hours") {
    auto const made = reader_year();
    for (auto const& text : {join(tmy3_lines(made)), join(epw_lines(made))}) {
        auto const year = read_weather_text(text, "test");
        CAPTURE(year.format);
        CHECK(year.site.latitude_deg == 40);
        CHECK(year.site.longitude_deg == -105);
        CHECK(year.site.elevation_m == 1600);
        CHECK(year.site.utc_offset_h == -7);
        CHECK(year.repairs.empty());
        CHECK(year.warnings.empty());
        check_light(year, made);
        CHECK(year.file_year[0] == 1981);
        CHECK(year.file_year[8759] == 1992);
        CHECK(year.albedo[100] == 0.2);
        // Inside a month the mean of two readings; the first hour of a month of another year its own.
        CHECK(year.temperature_c[100] ==
              Near{0.5 * (made.temperature_c[99] + made.temperature_c[100]), 0.011, 0});
        CHECK(year.temperature_c[0] == Near{made.temperature_c[0], 0.006, 0});
        CHECK(year.temperature_c[744] == Near{made.temperature_c[744], 0.006, 0});
        CHECK(year.wind_m_s[100] == Near{0.5 * (made.wind_m_s[99] + made.wind_m_s[100]), 0.06, 0});
    }
    CHECK(read_weather_text(join(tmy3_lines(made)), "t").station == "999999 TEST FIELD ZZ");
    CHECK(read_weather_text(join(epw_lines(made)), "t").station == "999999 Test Field ZZ XXX");
    CHECK(read_weather_text(join(epw_lines(made)), "t").note == "one\ntwo");
}

TEST_CASE("a clear day seen through each format is even about solar noon on a south plane") {
    Site const site{40, -105, 1600, -7};
    auto const made = cloudless_year(sun_over_year(site));
    auto const by_minute = [&](int minute) {
        auto const i = static_cast<std::size_t>(minute / 60);
        return fmt::format("{:.3f},{:.3f},{:.3f},20,2,0.2", made.ghi_w_m2[i], made.dni_w_m2[i],
                           made.dhi_w_m2[i]);
    };
    for (auto const& text : {join(tmy3_lines(made)), join(epw_lines(made)),
                             join(gridded_lines(site, -7, 2023, 60, 30, by_minute))}) {
        auto const year = read_weather_text(text, "test");
        CAPTURE(year.format);
        auto const sun = sun_over_year(year.site);
        auto const plane = plane_of_array(year, sun, {40, 180}, TranspositionModel::hay_davies);
        double moment = 0, total = 0;
        for (auto i = static_cast<std::size_t>(hour_index(4, 15, 0));
             i < static_cast<std::size_t>(hour_index(4, 16, 0)); ++i) {
            if (sun.sun_up_fraction[i] <= 0) continue;
            moment += plane.total_w_m2(i) * (sun.solar_time_h[i] - 12);
            total += plane.total_w_m2(i);
        }
        // A whole hour of slip would move the center of the day by about an hour.
        CHECK(moment / total == Near{0, 0.02, 0});
    }
}

TEST_CASE("line ends, a byte order mark, names in Latin-1 and UTF-8") {
    auto lines = epw_lines(reader_year());
    auto const plain = read_weather_text(join(lines), "t");
    for (auto const* end : {"\r\n", "\r"})
        CHECK(read_weather_text(join(lines, end), "t").ghi_w_m2 == plain.ghi_w_m2);
    CHECK(read_weather_text("\xEF\xBB\xBF" + join(lines), "t").ghi_w_m2 == plain.ghi_w_m2);
    std::string no_end = join(lines);
    no_end.pop_back();
    CHECK(read_weather_text(no_end, "t").ghi_w_m2 == plain.ghi_w_m2);
    lines[0].replace(9, 10, "Z\xFCrich");
    CHECK(read_weather_text(join(lines), "t").station == "999999 Z\xC3\xBCrich ZZ XXX");
    lines[0].replace(9, 6, "Z\xC3\xBCrich");
    CHECK(read_weather_text(join(lines), "t").station == "999999 Z\xC3\xBCrich ZZ XXX");
}

TEST_CASE("00:00 for 24:00, and records of two and more an hour in EPW") {
    auto const made = reader_year();
    auto lines = tmy3_lines(made);
    auto const plain = read_weather_text(join(lines), "t");
    // Row 25 of January (the last of the 1st) written as 00:00 of the 2nd.
    lines[2 + 23].replace(0, 16, "01/02/1981,00:00");
    CHECK(read_weather_text(join(lines), "t").ghi_w_m2 == plain.ghi_w_m2);

    auto const hourly = epw_lines(made);
    Lines half(hourly.begin(), hourly.begin() + 8);
    half[7] = "DATA PERIODS,1,2,Data,Sunday,1/1,12/31";
    for (std::size_t i = 8; i < hourly.size(); ++i)
        for (int minute : {30, 60}) {
            auto line = hourly[i];
            auto const at = line.find(",0,?9");
            half.push_back(line.replace(at, 3, fmt::format(",{},", minute)));
        }
    check_light(read_weather_text(join(half), "t"), made);
}

TEST_CASE("a year with 29 February loses that day and no other") {
    Site const site{40, -105, 1600, -7};
    // The temperature tells the day: 28 February is day 58 of the year, 29 February 59, 1 March 60.
    auto const value = [](int minute) { return fmt::format("0,0,0,{},2,0.2", minute / 1440 % 64); };
    auto const lines = gridded_lines(site, -7, 2024, 60, 30, value, true);
    CHECK(lines.size() == 3 + 8784);
    auto const year = read_weather_text(join(lines), "t");
    CHECK(repair(year, "29 February").hours == 24);
    CHECK(year.temperature_c[static_cast<std::size_t>(hour_index(2, 28, 23))] == 58);
    CHECK(year.temperature_c[static_cast<std::size_t>(hour_index(3, 1, 0))] == 60);
    CHECK(year.temperature_c[static_cast<std::size_t>(hour_index(12, 31, 23))] == 365 % 64);
    // The same year as some services give it, the day already dropped.
    auto const without = read_weather_text(join(gridded_lines(site, -7, 2024, 60, 30, value)), "t");
    CHECK_FALSE(has_repair(without, "29 February"));
    CHECK(without.repairs.empty());
}

TEST_CASE("gridded: half-hour records keep the energy; the middle and the edge of the interval") {
    Site const site{-35, 149, 600, 10};
    // A bump of light from 08:05 to 16:05 that is possible on every day of the year there.
    auto const bump = [](double minute) {
        double const off = std::fmod(minute, 1440.0) - 725;
        return std::abs(off) < 240 ? 300 * std::cos(off / 240 * 1.5707963) : 0.0;
    };
    auto const value = [&](int minute) {
        return fmt::format("{:.4f},0,{:.4f},20,2,0.2", bump(minute), bump(minute));
    };
    double samples = 0;
    for (int minute = 0; minute < 525600; minute += 30) samples += bump(minute) / 2;
    auto const edge = read_weather_text(join(gridded_lines(site, 10, 2023, 30, 0, value)), "t");
    CHECK(sum(edge.ghi_w_m2) == Near{samples, 0, 1e-6});
    // Trapezoid: 0.25, 0.5, 0.25.
    std::size_t const noon = 12;
    CHECK(edge.ghi_w_m2[noon] == Near{0.25 * bump(720) + 0.5 * bump(750) + 0.25 * bump(780), 1e-3, 0});
    auto const middle = read_weather_text(join(gridded_lines(site, 10, 2023, 30, 15, value)), "t");
    CHECK(middle.ghi_w_m2[noon] == Near{0.5 * (bump(735) + bump(765)), 1e-3, 0});
    auto const hourly = read_weather_text(join(gridded_lines(site, 10, 2023, 60, 30, value)), "t");
    CHECK(hourly.ghi_w_m2[noon] == Near{bump(750), 1e-3, 0});
    CHECK(hourly.file_year[5] == 2023);
}

TEST_CASE("gridded: stamps in UTC are moved to local standard time") {
    Site const site{40, -105, 1600, -7};
    auto const made = cloudless_year(sun_over_year(site));
    auto const value = [&](int utc_minute) {
        auto const i = static_cast<std::size_t>((utc_minute / 60 - 7 + static_cast<int>(hours_per_year)) %
                                                static_cast<int>(hours_per_year));
        return fmt::format("{:.3f},{:.3f},{:.3f},20,2,0.2", made.ghi_w_m2[i], made.dni_w_m2[i],
                           made.dhi_w_m2[i]);
    };
    auto const year = read_weather_text(join(gridded_lines(site, 0, 2023, 60, 30, value)), "t");
    CHECK(year.site.utc_offset_h == -7);
    CHECK(warns(year, "moved to local standard time UTC-7"));
    check_light(year, made);
    CHECK_FALSE(warns(year, "fits better"));
}

TEST_CASE("offsets of half hours and the southern half of the Earth close without a shift") {
    for (Site const site : {Site{20, 77, 300, 5.5}, Site{27.7, 85.3, 1300, 5.75}, Site{-35, 149, 600, 10},
                            Site{-33, -70, 500, -4}}) {
        CAPTURE(site.utc_offset_h);
        auto const made = reader_year(site);
        auto const year = read_weather_text(join(epw_lines(made)), "t");
        check_light(year, made);
        CHECK(year.warnings.empty());
        CHECK(year.repairs.empty());
    }
}

TEST_CASE("a wrong clock is found by closure and the shift named") {
    auto const made = reader_year();
    auto late = made;
    late.site.utc_offset_h = -8;  // the file says one hour more to the west: the sun comes an hour late
    auto const year = read_weather_text(join(epw_lines(late)), "t");
    CHECK(warns(year, "with the sun 60 min earlier"));
    CHECK(warns(year, "differ by"));
    late.site.utc_offset_h = -6.5;
    CHECK(warns(read_weather_text(join(epw_lines(late)), "t"), "with the sun 30 min later"));
    late.site = made.site;
    late.site.longitude_deg = 105;
    CHECK_THROWS_AS(read_weather_text(join(epw_lines(late)), "t"), WeatherError);
}

TEST_CASE("an offset far from the longitude is pointed out") {
    auto made = reader_year();
    made.site.utc_offset_h = -7;
    made.site.longitude_deg = -150;
    for (auto* v : {&made.ghi_w_m2, &made.dni_w_m2, &made.dhi_w_m2}) std::fill(v->begin(), v->end(), 0.0);
    auto const year = read_weather_text(join(epw_lines(made)), "t");
    CHECK(warns(year, "UTC offset -7 h is 3.0 h away from the longitude -150 deg"));
}

TEST_CASE("files with GHI alone are split, and say so") {
    auto const made = reader_year();
    auto lines = tmy3_lines(made);
    lines[1] =
        "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),GHI source,x,y,Dry-bulb (C),Wspd (m/s),Alb "
        "(unitless),Alb source";
    auto const year = read_weather_text(join(lines), "t");
    auto const& split = repair(year, "decomposed");
    CHECK(split.hours > 4000);
    CHECK(warns(year, "its clock could not be tested"));
    auto const sun = sun_over_year(year.site);
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        REQUIRE(year.ghi_w_m2[i] == Near{made.ghi_w_m2[i], 6e-4, 0});
        if (sun.sun_up_fraction[i] > 0)
            REQUIRE(year.dhi_w_m2[i] + year.dni_w_m2[i] * sun.cos_zenith[i] ==
                    Near{year.ghi_w_m2[i], 1e-9, 0});
    }
    CHECK(sum(year.dni_w_m2) == Near{sum(made.dni_w_m2), 0, 0.15});  // another split model, the same order
}

TEST_CASE("EPW with filler in place of GHI gets it from the other two") {
    auto const made = reader_year();
    auto empty = made;
    std::fill(empty.ghi_w_m2.begin(), empty.ghi_w_m2.end(), 0.0);
    auto const year = read_weather_text(join(epw_lines(empty)), "t");
    CHECK(has_repair(year, "component from closure"));
    CHECK(sum(year.ghi_w_m2) == Near{sum(made.ghi_w_m2), 0, 1e-3});
}

TEST_CASE("no wind and no albedo in the file") {
    auto lines = tmy3_lines(reader_year());
    lines[1] =
        "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),GHI source,DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),x,y,z";
    auto const year = read_weather_text(join(lines), "t", {.default_wind_m_s = 1.5});
    CHECK(year.albedo.empty());
    CHECK(year.wind_m_s[77] == 1.5);
    CHECK(repair(year, "no wind").hours == 8760);
    // A source of "?" beside the albedo says that the number is a filler.
    auto unknown = tmy3_lines(reader_year());
    for (std::size_t i = 2; i < unknown.size(); ++i) unknown[i].back() = '?';
    CHECK(read_weather_text(join(unknown), "t").albedo.empty());
    unknown[5].back() = 'F';
    auto const some = read_weather_text(join(unknown), "t", {.default_albedo = 0.3});
    CHECK(some.albedo[3] == 0.2);
    CHECK(some.albedo[4] == 0.3);
    CHECK(repair(some, "albedo").hours == 8759);
}

TEST_SUITE_END();
