#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <regex>
#include <string>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"

// A file with a wrong clock is read with a warning that says what to write. With that written, the warning
// disappears, and the irradiance is that of the right file.

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

std::string const wrong_clock = "the file's clock disagrees with the sun";

std::string warning_of(WeatherYear const& year, std::string const& words) {
    for (auto const& w : year.warnings)
        if (w.find(words) != std::string::npos) return w;
    return "";
}

/// What the warning says to write, as the options of a reader.
ReadOptions cure(std::string const& warning, ReadOptions options = {}) {
    std::smatch found;
    if (std::regex_search(warning, found, std::regex("stamp = \"(start|middle|end)\" in \\[weather\\]")))
        options.stamp = found[1] == "start" ? Stamp::start : found[1] == "end" ? Stamp::end : Stamp::middle;
    if (std::regex_search(warning, found, std::regex("shift = \"(-?[0-9]+) min\" in \\[weather\\]")))
        options.shift_min = std::stoi(found[1]);
    return options;
}

/// Sum of the differences of the light of two years over the light of one, whole hours.
double differs(WeatherYear const& a, WeatherYear const& b) {
    double off = 0, all = 0;
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        off += std::abs(a.ghi_w_m2[i] - b.ghi_w_m2[i]) + std::abs(a.dhi_w_m2[i] - b.dhi_w_m2[i]);
        all += b.ghi_w_m2[i] + b.dhi_w_m2[i];
    }
    return off / all;
}

/// A file of each kind, with the site's UTC offset as it is written there.
std::string file_of(std::string const& kind, WeatherYear year, double written_offset_h) {
    year.site.utc_offset_h = written_offset_h;
    if (kind == "TMY3") return join(tmy3_lines(year));
    if (kind == "EPW") return join(epw_lines(year));
    auto const light = [&](std::size_t i) {
        return fmt::format("{:.3f},{:.3f},{:.3f},{:.2f},{:.1f},0.2", year.ghi_w_m2[i], year.dni_w_m2[i],
                           year.dhi_w_m2[i], year.temperature_c[i], year.wind_m_s[i]);
    };
    if (kind == "gridded CSV")
        return join(gridded_lines(year.site, written_offset_h, 2023, 60, 30,
                                  [&](int minute) { return light(static_cast<std::size_t>(minute / 60)); }));
    std::string text = kind == "mapped CSV" ? ""
                                            : fmt::format(
                                                  "station,x\nlatitude_deg,{}\nlongitude_deg,{}\n"
                                                  "elevation_m,{}\nutc_offset_h,{}\n",
                                                  year.site.latitude_deg, year.site.longitude_deg,
                                                  year.site.elevation_m, written_offset_h);
    text += "time,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s],albedo [1]\n";
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = calendar_hour(static_cast<int>(i));
        text += fmt::format("2023-{:02}-{:02} {:02}:00,{}\n", at.month, at.day, at.hour, light(i));
    }
    return text;
}

ReadOptions options_of(std::string const& kind, WeatherYear const& year, double written_offset_h) {
    ReadOptions options;
    if (kind != "mapped CSV") return options;
    ColumnMap map;
    map.site = year.site;
    map.site.utc_offset_h = written_offset_h;
    map.time = "time";
    map.ghi = {"ghi", "W/m2"};
    map.dni = {"dni", "W/m2"};
    map.dhi = {"dhi", "W/m2"};
    map.temperature = {"temperature", "degC"};
    map.wind = {"wind", "m/s"};
    map.albedo = {"albedo", "1"};
    options.columns = map;
    return options;
}

std::string const kinds[] = {"TMY3", "EPW", "gridded CSV", "plain CSV", "mapped CSV"};

}  // namespace

TEST_SUITE_BEGIN("weather/clock_cure");

TEST_CASE("a UTC offset written wrong by 60, 30, -40 minutes or 3 hours: the warning names what cures it") {
    auto const year = reader_year();
    for (auto const& kind : kinds)
        for (int error_min : {60, 30, -40, -60, 180}) {
            CAPTURE(kind);
            CAPTURE(error_min);
            double const written_h = -7 + error_min / 60.0;
            auto const text = file_of(kind, year, written_h);
            auto const options = options_of(kind, year, written_h);
            std::string said;
            try {
                said = warning_of(read_weather_text(text, "f", options), wrong_clock);
            } catch (WeatherError const& error) {
                said = error.what();  // hours off: more light than the sun of that clock can give
            }
            CAPTURE(said);
            REQUIRE(said.find("in [weather], or --") != std::string::npos);
            auto const cured = read_weather_text(text, "f", cure(said, options));
            CHECK(warning_of(cured, wrong_clock) == "");
            CHECK(warning_of(cured, "differ by") == "");
            // Positive: the offset is too far east, so the sun comes too early: rows belong so much later.
            double const clock_h = cured.site.utc_offset_h - written_h;
            CHECK(clock_h == Near{std::round(clock_h), 0.51, 0});
            auto const right = read_weather_text(file_of(kind, year, -7), "f", options_of(kind, year, -7));
            // The sun over the year is the right one hour by hour: moved whole hours plus the year's clock.
            double energy = 0, right_energy = 0;
            auto const sun = sun_over_year(cured.site), right_sun = sun_over_year(right.site);
            for (std::size_t i = 0; i < hours_per_year; ++i) {
                energy += cured.dni_w_m2[i] * std::max(0.0, sun.cos_zenith[i]);
                right_energy += right.dni_w_m2[i] * std::max(0.0, right_sun.cos_zenith[i]);
            }
            CHECK(energy == Near{right_energy, 0, 2e-3});
        }
}

TEST_CASE("stamps that mean another end of the hour than the kind of file says") {
    auto const year = reader_year();
    auto const right = read_weather_text(file_of("TMY3", year, -7), "f");
    // TMY3 rows stamped with the start of their hour: 00:00 to 23:00 in place of 01:00 to 24:00.
    auto lines = tmy3_lines(year);
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = calendar_hour(static_cast<int>(i));
        lines[i + 2].replace(11, 5, fmt::format("{:02}:00", at.hour));
    }
    auto const wrong = read_weather_text(join(lines), "f");
    auto const said = warning_of(wrong, wrong_clock);
    CHECK(said.find("stamp = \"start\" in [weather], or --stamp start") != std::string::npos);
    CHECK(differs(wrong, right) > 0.1);
    auto const cured = read_weather_text(join(lines), "f", cure(said));
    CHECK(warning_of(cured, wrong_clock) == "");
    CHECK(differs(cured, right) < 1e-12);
    // Readings at the start of the hour: the mean of the hour is between this one and the next.
    CHECK(cured.temperature_c[100] ==
          Near{0.5 * (year.temperature_c[100] + year.temperature_c[101]), 0.011, 0});
    REQUIRE(!cured.repairs.empty());
    CHECK(cured.repairs[0].kind == "clock");
    CHECK(cured.repairs[0].rule == "stamps taken as the start of their interval, as asked");

    // Our own file says "middle" of hours stamped on the full hour: they begin half an hour before it. The
    // year then runs on a clock of its own, and no value is mixed with its neighbor.
    auto const plain = file_of("plain CSV", year, -7);
    auto const middle = read_weather_text(plain, "f", {.stamp = Stamp::middle});
    CHECK(middle.site.utc_offset_h == -7.5);
    // The row stamped 08:00 runs from 07:30 to 08:30, which is 07:00 to 08:00 on that clock.
    CHECK(middle.ghi_w_m2[199] == Near{year.ghi_w_m2[200], 1e-3, 0});
    auto const back = warning_of(middle, wrong_clock);
    CHECK(back.find("stamp = \"start\"") != std::string::npos);
    CHECK(warning_of(read_weather_text(plain, "f", cure(back)), wrong_clock) == "");
}

TEST_CASE("a shift by hand, its limits, and hours carried over the end of the year") {
    auto const year = reader_year();
    auto const text = file_of("plain CSV", year, -7);
    auto const later = read_weather_text(text, "f", {.shift_min = 120});
    CHECK(later.ghi_w_m2[102] == Near{year.ghi_w_m2[100], 1e-3, 0});
    CHECK(later.temperature_c[1] == Near{year.temperature_c[8759], 0.006, 0});
    CHECK(later.site.utc_offset_h == -7);
    auto const odd = read_weather_text(text, "f", {.shift_min = -90});
    CHECK(odd.site.utc_offset_h == Near{-7.5, 1e-12, 0});
    CHECK(odd.temperature_c[98] == Near{year.temperature_c[100], 0.006, 0});
    CHECK_THROWS_WITH_AS(read_weather_text(text, "f", {.shift_min = 1500}),
                         "f: a shift of 1500 min; -1440 to 1440 are accepted", WeatherError);
}

TEST_SUITE_END();
