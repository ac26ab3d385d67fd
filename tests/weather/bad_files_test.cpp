#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

std::string message(std::string const& text, ReadOptions const& options = {}) {
    try {
        read_weather_text(text, "f", options);
    } catch (WeatherError const& error) {
        return error.what();
    }
    return "no error";
}

Lines const& good() {
    static Lines const lines = tmy3_lines(reader_year());
    return lines;
}

/// Line (counted from 1) of an hour in the TMY3 text.
std::size_t line_of(int month, int day, int hour) {
    return static_cast<std::size_t>(hour_index(month, day, hour)) + 3;
}

std::string& row(Lines& lines, std::size_t line) { return lines[line - 1]; }

void set_field(std::string& line, std::size_t field, std::string const& text) {
    std::size_t from = 0;
    for (; field > 0; --field) from = line.find(',', from) + 1;
    line.replace(from, std::min(line.find(',', from), line.size()) - from, text);
}

Repair const* find(WeatherYear const& year, std::string const& kind, int first_hour = -1) {
    for (auto const& r : year.repairs)
        if (r.kind == kind && (first_hour < 0 || r.first_hour == first_hour)) return &r;
    return nullptr;
}

/// The repair, or an empty one.
Repair found(WeatherYear const& year, std::string const& kind, int first_hour = -1) {
    auto const* r = find(year, kind, first_hour);
    return r ? *r : Repair{};
}

}  // namespace

TEST_SUITE_BEGIN("weather/bad_files");

TEST_CASE("what is no weather file is refused by what it is") {
    CHECK(message("") == "f: the file is empty");
    CHECK(message("\x1f\x8b\x08 anything") == "f: this is a gzip archive; unpack it first");
    CHECK(message("PK\x03\x04 anything") == "f: this is a zip archive; unpack it first");
    CHECK(message("\xff\xfeL\0O\0") == "f:1: the text is UTF-16; save it as UTF-8 or Latin-1");
    CHECK(message(std::string("L\0O\0C\0", 6)) ==
          "f:1: the file holds zero bytes; a text of commas and numbers is expected (UTF-8 or Latin-1)");
    CHECK(message("a;b;c;d\n1;2;3;4\n") ==
          "f:1: the fields seem to be separated by semicolons; weather files have commas, or need a column "
          "map");
    CHECK(message("a\tb\tc\td\n") ==
          "f:1: the fields seem to be separated by tabs; weather files have commas, or need a column map");
    CHECK(message("hello\n") ==
          "f:1: not a weather file of a known kind; known are TMY3 CSV, EPW, gridded CSV, the national "
          "station archive's CSV, our plain CSV, and any CSV with a column map");
    CHECK(message("\n\n\n").starts_with("f:1: not a weather file"));
}

TEST_CASE("a directory, a missing file, and a real file") {
    auto const folder = std::filesystem::temp_directory_path();
    CHECK_THROWS_WITH_AS(read_weather(folder.string()), (folder.string() + ": is a folder").c_str(),
                         WeatherError);
    CHECK_THROWS_WITH_AS(read_weather("/no/such/file"),
                         "/no/such/file: cannot be opened: No such file or directory", WeatherError);
    auto const path = (folder / "holdwater_bad_files_test.tmp").string();
    std::ofstream(path) << join(good());
    CHECK(read_weather(path).path == path);
    std::filesystem::remove(path);
}

TEST_CASE("cut off in the middle of a row, and at the end of one") {
    auto text = join(good());
    auto const in_row = message(text.substr(0, text.size() / 2 + 7));
    CHECK(in_row.find("where the names in line 2 are 10; is the file cut off?") != std::string::npos);
    Lines half(good().begin(), good().begin() + 4002);
    CHECK(message(join(half)).starts_with("f:4002: no usable irradiance for "));
    Lines head(good().begin(), good().begin() + 2);
    CHECK(message(join(head)) == "f: no data rows; 8760 hours are needed");
    Lines first(good().begin(), good().begin() + 1);
    CHECK(message(join(first)).starts_with("f:1: not a weather file"));
}

TEST_CASE("a second header, text in a number, two points, infinity") {
    auto lines = good();
    lines.insert(lines.begin() + 2, good().begin(), good().begin() + 2);
    CHECK(message(join(lines)) == "f:3: 7 fields where the names in line 2 are 10; is the file cut off?");
    lines = good();
    lines.insert(lines.begin() + 2, good()[1]);
    CHECK(message(join(lines)) ==
          "f:3: stamp \"Date (MM/DD/YYYY) Time (HH:MM)\"; MM/DD/YYYY and HH:MM are expected");
    struct Row {
        std::string text, message;
    };
    for (auto const& r : std::vector<Row>{
             {"bright", "f:500: column GHI holds \"bright\"; a number or an empty field is expected"},
             {"1.2.3", "f:500: column GHI holds \"1.2.3\"; a number or an empty field is expected"},
             {"inf", "f:500: column GHI holds \"inf\"; a number or an empty field is expected"},
             {"1e999", "f:500: column GHI holds \"1e999\"; a number or an empty field is expected"},
             {"0x10", "f:500: column GHI holds \"0x10\"; a number or an empty field is expected"}}) {
        lines = good();
        set_field(row(lines, 500), 2, r.text);
        CHECK(message(join(lines)) == r.message);
    }
}

TEST_CASE("one row short, one row twice, rows out of order") {
    auto lines = good();
    auto const noon = line_of(6, 3, 12);
    lines.erase(lines.begin() + static_cast<long>(noon) - 1);
    auto const year = read_weather_text(join(lines), "f");
    auto const* gap = find(year, "gap", hour_index(6, 3, 12));
    REQUIRE(gap != nullptr);
    CHECK(gap->hours == 1);
    CHECK(gap->rule == "clearness interpolated between the hours beside it");

    lines = good();
    lines.insert(lines.begin() + 100, good()[99]);
    CHECK(
        message(join(lines)) ==
        "f:101: the same hour as line 100; a year in local standard time (no daylight saving) has each once");

    lines = good();
    std::swap_ranges(lines.begin() + 2 + 744, lines.begin() + 2 + 744 + 24, lines.begin() + 2 + 768);
    auto const swapped = read_weather_text(join(lines), "f");
    CHECK(swapped.ghi_w_m2 == read_weather_text(join(good()), "f").ghi_w_m2);
    REQUIRE(find(swapped, "order") != nullptr);
    CHECK(found(swapped, "order").rule == "rows step back in time 1 times; they were placed by their dates");
}

TEST_CASE("dates and clocks that do not exist") {
    struct Row {
        std::string stamp, message;
    };
    for (auto const& r : std::vector<Row>{
             {"13/01/1981,01:00",
              "f:3: column date, month holds \"13\"; a whole number from 1 to 12 is expected"},
             {"04/31/1981,01:00", "f:3: there is no day 31 in month 4"},
             {"01/01/1981,25:00",
              "f:3: column time, hour holds \"25\"; a whole number from 0 to 24 is expected"},
             {"01/01/1981,01:17", "f:3: the stamp is off the 60 min grid of the file"},
             {"1981-01-01,01:00", "f:3: stamp \"1981-01-01 01:00\"; MM/DD/YYYY and HH:MM are expected"}}) {
        auto lines = good();
        row(lines, 3).replace(0, 16, r.stamp);
        CHECK(message(join(lines)) == r.message);
    }
}

TEST_CASE("missing values, codes and impossible values up to two hours are filled on clearness and counted") {
    auto const sun = sun_over_year({40, -105, 1600, -7});
    auto const clean = read_weather_text(join(good()), "f");
    int const first = hour_index(6, 3, 8);
    for (std::string const code : {"", "NaN", "-9900", "9999", "-500", "99999"}) {
        CAPTURE(code);
        auto lines = good();
        for (std::size_t k = 0; k < 2; ++k)
            for (std::size_t field : {2u, 4u, 5u}) set_field(row(lines, line_of(6, 3, 8) + k), field, code);
        auto const year = read_weather_text(join(lines), "f");
        auto const* gap = find(year, "gap", first);
        REQUIRE(gap != nullptr);
        CHECK(gap->hours == 2);
        CHECK((find(year, "impossible value") != nullptr) ==
              (code == "9999" || code == "-500" || code == "99999"));
        auto const kt = [&](int hour) {
            return year.ghi_w_m2[static_cast<std::size_t>(hour)] /
                   sun.extraterrestrial_horizontal_w_m2[static_cast<std::size_t>(hour)];
        };
        CHECK(kt(first) == Near{kt(first - 1) + (kt(first + 2) - kt(first - 1)) / 3, 1e-9, 0});
        CHECK(kt(first + 1) == Near{kt(first - 1) + (kt(first + 2) - kt(first - 1)) * 2 / 3, 1e-9, 0});
        for (int hour : {first, first + 1}) {
            auto const i = static_cast<std::size_t>(hour);
            CHECK(year.dhi_w_m2[i] + year.dni_w_m2[i] * sun.cos_zenith[i] == Near{year.ghi_w_m2[i], 1e-9, 0});
            // A steep morning: interpolating clearness keeps the shape of the day, interpolating irradiance
            // would not.
            CHECK(year.ghi_w_m2[i] == Near{clean.ghi_w_m2[i], 0, 0.03});
        }
        for (std::size_t i = 0; i < hours_per_year; ++i)
            if (i != static_cast<std::size_t>(first) && i != static_cast<std::size_t>(first) + 1)
                REQUIRE(year.ghi_w_m2[i] == clean.ghi_w_m2[i]);
    }
}

TEST_CASE("long gaps are refused with line and hour, and filled from the days around when allowed") {
    auto lines = good();
    for (std::size_t k = 0; k < 3; ++k)
        for (std::size_t field : {2u, 4u, 5u}) set_field(row(lines, line_of(6, 3, 10) + k), field, "-9900");
    CHECK(message(join(lines)) ==
          fmt::format("f:{}: no usable irradiance for 3 hours from 06-03 10:00; gaps "
                      "above 2 h are filled only with long_gaps = \"fill\" in [weather]",
                      line_of(6, 3, 10)));
    auto const year = read_weather_text(join(lines), "f", {.allow_long_gaps = true});
    auto const* gap = find(year, "long gap");
    REQUIRE(gap != nullptr);
    CHECK(gap->hours == 3);
    CHECK(gap->rule == "clearness of the same hour on the nearest days");
    auto const sun = sun_over_year(year.site);
    auto const kt = [&](int day) {
        auto const i = static_cast<std::size_t>(hour_index(6, day, 11));
        return year.ghi_w_m2[i] / sun.extraterrestrial_horizontal_w_m2[i];
    };
    CHECK(kt(3) == Near{0.5 * (kt(2) + kt(4)), 1e-9, 0});

    lines = good();
    for (std::size_t k = 0; k < 5; ++k) set_field(row(lines, line_of(2, 1, 0) + k), 6, "");
    CHECK(message(join(lines)) ==
          fmt::format("f:{}: no usable temperature for 5 hours from 02-01 00:00; "
                      "gaps above 2 h are filled only with long_gaps = \"fill\" in [weather]",
                      line_of(2, 1, 0)));
    // A file of nothing but codes.
    lines = good();
    for (std::size_t i = 2; i < lines.size(); ++i) set_field(lines[i], 6, "-9900");
    CHECK(message(join(lines), {.allow_long_gaps = true}) ==
          "f: no usable temperature in the whole file; another file can give it: temperature_file in "
          "[weather], "
          "or --temperature-file");
    lines = good();
    for (std::size_t i = 2; i < lines.size(); ++i)
        for (std::size_t field : {2u, 4u, 5u}) set_field(lines[i], field, "-9900");
    CHECK(message(join(lines), {.allow_long_gaps = true}).find("no usable irradiance") != std::string::npos);
}

TEST_CASE("temperature gaps: interpolated inside a month, not across the seam of two years") {
    auto lines = good();
    set_field(row(lines, line_of(3, 10, 7)), 6, "");
    set_field(row(lines, line_of(3, 1, 0)), 6, "");
    auto const year = read_weather_text(join(lines), "f");
    auto const made = reader_year();
    auto const reading = [&](int month, int day, int hour) {
        return made.temperature_c[static_cast<std::size_t>(hour_index(month, day, hour))];
    };
    double const filled = 0.5 * (reading(3, 10, 6) + reading(3, 10, 8));
    CHECK(year.temperature_c[static_cast<std::size_t>(hour_index(3, 10, 7))] ==
          Near{0.5 * (reading(3, 10, 6) + filled), 0.02, 0});
    // February is of another year: March's first hour takes its own next reading.
    CHECK(year.temperature_c[static_cast<std::size_t>(hour_index(3, 1, 0))] ==
          Near{reading(3, 1, 1), 0.006, 0});
    CHECK(found(year, "gap", hour_index(3, 10, 7)).rule ==
          "temperature interpolated between the hours beside it");
}

TEST_CASE("night: noise and missing values become 0 and are counted; twilight stays as diffuse light") {
    auto lines = good();
    set_field(row(lines, line_of(6, 3, 1)), 2, "2");
    set_field(row(lines, line_of(6, 3, 2)), 2, "-3");
    set_field(row(lines, line_of(6, 4, 1)), 2, "");
    auto const sun = sun_over_year({40, -105, 1600, -7});
    std::size_t twilight = static_cast<std::size_t>(hour_index(6, 3, 19));
    while (sun.sun_up_fraction[twilight] > 0) ++twilight;
    set_field(lines[twilight + 2], 2, "1.5");
    auto const year = read_weather_text(join(lines), "f");
    CHECK(year.ghi_w_m2[static_cast<std::size_t>(hour_index(6, 3, 1))] == 0);
    CHECK(year.ghi_w_m2[static_cast<std::size_t>(hour_index(6, 3, 2))] == 0);
    CHECK(year.ghi_w_m2[static_cast<std::size_t>(hour_index(6, 4, 1))] == 0);
    CHECK(year.ghi_w_m2[twilight] == 1.5);
    CHECK(year.dhi_w_m2[twilight] == 1.5);
    CHECK(found(year, "night value").hours == 1);
    CHECK(found(year, "negative value").hours == 1);
    CHECK(found(year, "night gap").hours == 1);
}

TEST_CASE("one component missing in an hour comes from the other two") {
    auto const clean = read_weather_text(join(good()), "f");
    for (std::size_t field : {2u, 4u, 5u}) {
        CAPTURE(field);
        auto lines = good();
        set_field(row(lines, line_of(6, 3, 10)), field, "");
        auto const year = read_weather_text(join(lines), "f");
        REQUIRE(find(year, "component from closure") != nullptr);
        CHECK(found(year, "component from closure").hours == 1);
        auto const i = static_cast<std::size_t>(hour_index(6, 3, 10));
        CHECK(year.ghi_w_m2[i] == Near{clean.ghi_w_m2[i], 0.01, 0});
        CHECK(year.dni_w_m2[i] == Near{clean.dni_w_m2[i], 0.01, 0});
        CHECK(year.dhi_w_m2[i] == Near{clean.dhi_w_m2[i], 0.01, 0});
    }
}

TEST_CASE("codes of EPW") {
    auto lines = epw_lines(reader_year());
    set_field(lines[8 + 4000], 6, "99.9");
    set_field(lines[8 + 4100], 21, "999");
    for (std::size_t field : {13u, 14u, 15u}) set_field(lines[8 + 4212], field, "9999");
    auto const year = read_weather_text(join(lines), "f");
    CHECK(found(year, "gap", 4000).rule == "temperature interpolated between the hours beside it");
    CHECK(found(year, "gap", 4100).rule == "wind interpolated between the hours beside it");
    CHECK(found(year, "gap", 4212).rule == "clearness interpolated between the hours beside it");
    lines.erase(lines.begin() + 7);
    CHECK(message(join(lines)) == "f: no DATA PERIODS line among the headers");
    lines = epw_lines(reader_year());
    lines[0] = "LOCATION,x,y";
    CHECK(message(join(lines)) ==
          "f:1: LOCATION has 2 fields; city, state, country, source, station, latitude, longitude, UTC "
          "offset and elevation are expected");
}

TEST_CASE("a site off the Earth") {
    auto lines = good();
    lines[0] = "1,\"X\",ZZ,-7,91,-105,0";
    CHECK(message(join(lines)) == "f: latitude = 91; -90 to 90 are accepted (north positive)");
    lines[0] = "1,\"X\",ZZ,-7,40,255,0";
    CHECK(message(join(lines)) == "f: longitude = 255; -180 to 180 are accepted (east positive)");
    lines[0] = "1,\"X\",ZZ,,40,-105,0";
    CHECK(message(join(lines)) == "f: UTC offset = nan; -12 to 14 are accepted (hours, west negative)");
}

TEST_CASE("gridded files: units, intervals, values that are missing") {
    Site const site{40, -105, 1600, -7};
    auto const value = [](int) { return std::string("0,0,0,20,2,0.2"); };
    auto const lines = gridded_lines(site, -7, 2023, 60, 30, value);
    auto spoiled = lines;
    spoiled[1].replace(spoiled[1].find("w/m2"), 4, "kJ/m2");
    CHECK(message(join(spoiled)) == "f:2: GHI Units is \"kj/m2\"; \"w/m2\" is expected");
    spoiled = lines;
    spoiled[1] = "TEST,123,-,-,-,40";
    CHECK(message(join(spoiled)) == "f:2: no value for \"Time Zone\" in the site data");
    spoiled = lines;
    spoiled[2] = "Year,Month,Day,Hour,Minute,DNI,DHI,x,Temperature,Wind Speed,Surface Albedo";
    CHECK(message(join(spoiled)) == "f:3: no column \"GHI\" among the names");
    CHECK(message(join(gridded_lines(site, -7, 2023, 45, 0, value))) ==
          "f:5: the first two records are 45 minutes apart; 60 or an even part of it is expected");
    CHECK(message(join(gridded_lines(site, -7, 2023, 60, 20, value))) ==
          "f:4: records lie 20 minutes after the start of their 60 min interval; its start or middle is "
          "expected, or what the stamps mean: stamp = \"start\", \"middle\" or \"end\" in [weather]");
    CHECK(read_weather_text(join(gridded_lines(site, -7, 2023, 60, 20, value)), "f", {.stamp = Stamp::end})
              .site.utc_offset_h == Near{-7 - 20.0 / 60, 1e-12, 0});
}

// 50 W/m2 of beam in two thousand hours of night are 100 kWh/m2: the repair says so, and a warning too.
TEST_CASE("beam and light taken away at night are named with their amount") {
    auto lines = good();
    auto const sun = sun_over_year({40, -105, 1600, -7});
    int nights = 0;
    for (std::size_t i = 0; i < hours_per_year && nights < 2000; ++i)
        if (sun.sun_up_fraction[i] <= 0) set_field(lines[i + 2], 4, "50"), ++nights;
    auto const year = read_weather_text(join(lines), "f");
    CHECK(found(year, "night value").hours == 2000);
    CHECK(found(year, "night value").rule ==
          "light in hours that do not border on an hour with sun, and beam with the sun down all hour, were "
          "set "
          "to 0; in all 100.00 kWh/m2 of DNI");
    CHECK(std::any_of(year.warnings.begin(), year.warnings.end(), [](auto const& w) {
        return w.starts_with("100.0 kWh/m2 of beam, ") && w.find("in hours without sun") != std::string::npos;
    }));
}

// In a sunrise hour the beam can be no more than comes from outside while the sun is up.
TEST_CASE("beam at low sun is cut to what the sun gives, and listed") {
    auto lines = good();
    auto const sun = sun_over_year({40, -105, 1600, -7});
    std::size_t i = 100;
    while (!(sun.sun_up_fraction[i] > 0.1 && sun.sun_up_fraction[i] < 0.3)) ++i;
    set_field(lines[i + 2], 4, "700");
    auto const year = read_weather_text(join(lines), "f");
    double const most = sun.sun_up_fraction[i] * sun.extraterrestrial_normal_w_m2[i];
    CHECK(year.dni_w_m2[i] == Near{most, 0, 1e-12});
    CHECK(found(year, "beam at low sun").hours == 1);
    CHECK(found(year, "beam at low sun")
              .rule.find(fmt::format("; in all {:.2f} kWh/m2 of DNI", (700 - most) / 1000)) !=
          std::string::npos);
}

TEST_CASE("a filler for the ground's reflectance is listed where it is replaced") {
    auto lines = good();
    for (std::size_t i = 0; i < 3; ++i) set_field(lines[i + 102], 8, "0.000");
    auto const some = read_weather_text(join(lines), "f");
    CHECK(some.albedo[100] == 0.2);
    CHECK(found(some, "albedo").hours == 3);
    CHECK(found(some, "albedo").rule == "ground reflectance of 0 or above 1 is a filler; it was set to 0.2");
    for (std::size_t i = 2; i < lines.size(); ++i) set_field(lines[i], 8, "0.000");
    auto const all = read_weather_text(join(lines), "f", {.default_albedo = 0.3});
    CHECK(all.albedo.empty());
    CHECK(found(all, "albedo").hours == 8760);
    CHECK(found(all, "albedo").rule == "ground reflectance of 0 or above 1 is a filler; it was set to 0.3");
}

TEST_SUITE_END();
