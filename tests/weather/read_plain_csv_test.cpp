#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <string>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/read_weather.hpp"
#include "weather/unit_conversion.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

/// Rows by a function of the hour, with our own header lines.
std::string plain(std::string const& head, std::string const& columns,
                  std::function<std::string(std::size_t, CalendarHour)> const& row) {
    std::string text = head + columns + "\n";
    for (std::size_t i = 0; i < hours_per_year; ++i)
        text += row(i, calendar_hour(static_cast<int>(i))) + "\n";
    return text;
}

std::string const site_lines =
    "# a note\n# of two "
    "lines\nstation,Somewhere\nlatitude_deg,40\nlongitude_deg,-105\nelevation_m,1600\nutc_offset_h,-7\n";

std::string stamp(CalendarHour at) { return fmt::format("{},{},{}", at.month, at.day, at.hour); }

}  // namespace

TEST_SUITE_BEGIN("weather/read_plain_csv");

// Factors: NIST SP 811 (2008) appendix B: 1 kWh = 3.6 MJ, 1 mile = 1609.344 m, 1 knot = 0.514444 m/s, degF.
TEST_CASE("units of light, temperature and wind") {
    struct Row {
        std::string unit;
        int interval_min;
        double factor;
    };
    for (auto const& r : std::vector<Row>{{"W/m2", 60, 1},
                                          {"W/m^2", 60, 1},
                                          {"W.m-2", 60, 1},
                                          {"kW/m2", 60, 1000},
                                          {"Wh/m2", 60, 1},
                                          {"Wh/m2", 30, 2},
                                          {"kWh/m2", 60, 1000},
                                          {"kJ/m2", 60, 1 / 3.6},
                                          {"MJ/m2", 60, 1000 / 3.6},
                                          {"J/cm2", 60, 1e4 / 3600},
                                          {"BTU/ft2", 60, 3.1546}}) {
        CAPTURE(r.unit);
        auto const c = to_irradiance(r.unit, r.interval_min);
        CHECK(c.factor == Near{r.factor, 0, 2e-5});
        CHECK(c.offset == 0);
    }
    CHECK(to_unit("mph", "m/s").factor == Near{0.44704, 0, 1e-9});
    CHECK(to_unit("knot", "m/s").factor == Near{0.514444, 0, 1e-6});
    CHECK(to_unit("km/h", "m/s").factor == Near{1 / 3.6, 0, 1e-9});
    CHECK(to_unit("%", "1").factor == Near{0.01, 0, 1e-12});
    auto const f = to_unit("degF", "degC");
    CHECK(f.factor * 212 + f.offset == Near{100, 1e-9, 0});
    CHECK(f.factor * 32 + f.offset == Near{0, 1e-9, 0});
    CHECK(to_unit("K", "degC").offset == Near{-273.15, 1e-9, 0});
    CHECK_THROWS_WITH_AS(to_irradiance("m/s", 60),
                         "unit \"m/s\" is neither irradiance (W/m2) nor energy per interval (kJ/m2, Wh/m2)",
                         std::invalid_argument);
    CHECK_THROWS_WITH_AS(to_unit("degF", "m/s"), "unit \"degF\" cannot be turned into m/s",
                         std::invalid_argument);
}

TEST_CASE("columns in any order and unit; start, middle and end stamps are the same year") {
    auto const made = reader_year();
    auto const reference = read_weather_text(
        plain(site_lines, "month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s]",
              [&](std::size_t i, CalendarHour at) {
                  return fmt::format("{},{:.4f},{:.4f},{:.4f},{:.2f},{:.1f}", stamp(at), made.ghi_w_m2[i],
                                     made.dni_w_m2[i], made.dhi_w_m2[i], made.temperature_c[i],
                                     made.wind_m_s[i]);
              }),
        "t");
    CHECK(reference.note == "a note\nof two lines");
    CHECK(reference.station == "Somewhere");
    CHECK(reference.repairs.empty());
    CHECK(reference.warnings.empty());
    CHECK(reference.temperature_c[30] == Near{made.temperature_c[30], 0.006, 0});

    auto const other = read_weather_text(
        plain(site_lines + "stamp,end\n",
              "wind [mph],temperature [degF],hour,day,month,DHI [kJ/m2],dni [Wh/m2],GHI [kW/m2],extra",
              [&](std::size_t i, CalendarHour at) {
                  return fmt::format("{:.5f},{:.4f},{},{},{},{:.4f},{:.4f},{:.7f},x",
                                     made.wind_m_s[i] / 0.44704, made.temperature_c[i] * 1.8 + 32,
                                     at.hour + 1, at.day, at.month, made.dhi_w_m2[i] * 3.6, made.dni_w_m2[i],
                                     made.ghi_w_m2[i] / 1000);
              }),
        "t");
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        REQUIRE(other.ghi_w_m2[i] == Near{reference.ghi_w_m2[i], 1e-3, 0});
        REQUIRE(other.dhi_w_m2[i] == Near{reference.dhi_w_m2[i], 1e-3, 0});
        REQUIRE(other.temperature_c[i] == Near{reference.temperature_c[i], 0.01, 0});
        REQUIRE(other.wind_m_s[i] == Near{reference.wind_m_s[i], 0.06, 0});
    }
    CHECK(std::count(other.warnings.begin(), other.warnings.end(), "column \"extra\" is not used") == 1);

    // Stamps with a T, seconds and fractions of them; Z would be UTC (see below).
    auto const middle = read_weather_text(
        plain(site_lines + "stamp,middle\n", "time,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC]",
              [&](std::size_t i, CalendarHour at) {
                  return fmt::format("2023-{:02}-{:02}T{:02}:30:00.000,{:.4f},{:.4f},{:.4f},{:.2f}", at.month,
                                     at.day, at.hour, made.ghi_w_m2[i], made.dni_w_m2[i], made.dhi_w_m2[i],
                                     made.temperature_c[i]);
              }),
        "t");
    CHECK(middle.ghi_w_m2 == reference.ghi_w_m2);
}

// One year, its rows stamped as clocks of UTC, of an hour east of it and of half past noon write them. The
// site is at UTC-7: 14:00 there is 21:00Z and 22:00+01:00. What follows a time and is not understood is
// refused.
TEST_CASE("Z, an offset from UTC, AM and PM behind a time are understood, all else is refused") {
    auto const made = reader_year();
    auto const file = [&](std::function<std::string(int minute_of_year)> const& stamp_of) {
        std::string text = site_lines +
                           "interval_min,60\ntime,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature "
                           "[degC]\n";
        for (std::size_t i = 0; i < hours_per_year; ++i)
            text += fmt::format("{},{:.4f},{:.4f},{:.4f},{:.2f}\n", stamp_of(static_cast<int>(i) * 60),
                                made.ghi_w_m2[i], made.dni_w_m2[i], made.dhi_w_m2[i], made.temperature_c[i]);
        return text;
    };
    // Date and clock `ahead_min` ahead of local standard time, wrapped round the year of 2023.
    auto const ahead = [](int minute, int ahead_min) {
        auto const at = date::sys_days{date::year{2023} / 1 / 1} + std::chrono::minutes{minute + ahead_min};
        date::year_month_day const day{date::floor<date::days>(at)};
        auto const clock = static_cast<int>((at - date::floor<date::days>(at)).count());
        return std::pair{fmt::format("{}-{:02}-{:02}", static_cast<int>(day.year()),
                                     static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day())),
                         clock};
    };
    auto const with = [&](int ahead_min, std::string const& behind) {
        return file([&, ahead_min](int minute) {
            auto const [day, clock] = ahead(minute, ahead_min);
            return fmt::format("{}T{:02}:{:02}:00{}", day, clock / 60, clock % 60, behind);
        });
    };
    auto const local = read_weather_text(with(0, ""), "t");
    CHECK(local.warnings.empty());
    struct Row {
        int ahead_min;
        std::string behind;
    };
    for (auto const& r : std::vector<Row>{{7 * 60, "Z"},
                                          {7 * 60, " UTC"},
                                          {8 * 60, "+01:00"},
                                          {8 * 60, "+0100"},
                                          {8 * 60, "+01"},
                                          {0, "-07:00"},
                                          {12 * 60 + 45, "+05:45"}}) {
        CAPTURE(r.behind);
        auto const year = read_weather_text(with(r.ahead_min, r.behind), "t");
        CHECK(year.ghi_w_m2 == local.ghi_w_m2);
        CHECK(year.temperature_c == local.temperature_c);
        CHECK(year.site.utc_offset_h == -7);
        CHECK(year.warnings.size() == (r.behind == "-07:00" ? 0 : 1));
    }
    CHECK(
        read_weather_text(with(420, "Z"), "t").warnings[0] ==
        "stamps are at UTC+0 and were moved to local standard time UTC-7; the hours carried over the end of "
        "the year belong to its other end");
    auto const am_pm = read_weather_text(file([&](int minute) {
                                             auto const [day, clock] = ahead(minute, 0);
                                             int const hour = clock / 60 % 12;
                                             return fmt::format("{} {}:{:02} {}", day, hour == 0 ? 12 : hour,
                                                                clock % 60, clock < 720 ? "AM" : "PM");
                                         }),
                                         "t");
    CHECK(am_pm.ghi_w_m2 == local.ghi_w_m2);

    std::string const not_understood =
        " is not understood; accepted are HH:MM, with seconds of 00, AM or PM, and Z, UTC or an offset such "
        "as "
        "+01:00 behind it";
    for (std::string const bad : {"14:00 XM", "14:00 Mountain", "14:00 PM", "0:30 AM", "14:00:30",
                                  "14:00 +1:0", "14h00", "24:30", "14:00ZZ", "14:0"}) {
        CAPTURE(bad);
        auto text = with(0, "");
        auto const at = text.find("2023-01-01T14:00:00");
        text.replace(at, 19, "2023-01-01 " + bad);
        CHECK_THROWS_WITH_AS(read_weather_text(text, "t"),
                             fmt::format("t:24: time \"{}\"{}", bad, not_understood).c_str(), WeatherError);
    }
    auto text = with(0, "");
    text.replace(text.find("2023-01-01T14:00:00"), 19, "2023-01-01 25:00:00");
    CHECK_THROWS_WITH_AS(read_weather_text(text, "t"),
                         "t:24: column time, hour holds \"25\"; a whole number from 0 to 24 is expected",
                         WeatherError);
}

TEST_CASE("a CSV of someone else's, by a map") {
    auto const made = reader_year();
    std::string text = "Exported by the logger\nDatum;Uhr;Glob;Luft\n";
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = calendar_hour(static_cast<int>(i));
        text += i == 500 ? fmt::format("2023-{:02}-{:02} {:02}:00;x;-999;-999\n", at.month, at.day, at.hour)
                         : fmt::format("2023-{:02}-{:02} {:02}:00;x;{:.3f};{:.2f}\n", at.month, at.day,
                                       at.hour, made.ghi_w_m2[i], made.temperature_c[i]);
    }
    ColumnMap map;
    map.station = "Logger";
    map.site = made.site;
    map.time = "Datum";
    map.ghi = {"glob", "W/m2"};
    map.temperature = {"Luft", "degC"};
    map.separator = ';';
    map.missing_codes = {-999};
    auto const year = read_weather_text(text, "t", {.columns = map});
    CHECK(year.station == "Logger");
    CHECK(year.ghi_w_m2[12] == Near{made.ghi_w_m2[12], 1e-3, 0});
    CHECK(year.temperature_c[500] ==
          Near{0.5 * (made.temperature_c[499] + made.temperature_c[501]), 0.02, 0});
    map.ghi.unit = "furlong";
    CHECK_THROWS_WITH_AS(read_weather_text(text, "t", {.columns = map}),
                         "t:2: column glob: unit \"furlong\" is neither irradiance (W/m2) nor energy per "
                         "interval (kJ/m2, Wh/m2)",
                         WeatherError);
    map.time = "Zeit";
    CHECK_THROWS_WITH_AS(read_weather_text(text, "t", {.columns = map}),
                         "t: no header row with a column \"Zeit\" in the first 100 lines (separator \";\")",
                         WeatherError);
}

TEST_CASE("what is wrong with the head is said") {
    auto const row = [](std::size_t, CalendarHour at) { return stamp(at) + ",0,0"; };
    std::string const columns = "month,day,hour,ghi [W/m2],temperature [degC]";
    struct Row {
        std::string head, columns, message;
    };
    for (auto const& r : std::vector<Row>{
             {"latitude_deg,40\nlongitude_deg,1\nelevation_m,0\n", columns,
              "t:4: no line \"utc_offset_h,...\" before the header row"},
             {site_lines + "heigth,3\n", columns,
              "t:8: \"heigth,3\" is not a site line; station, state, latitude_deg, longitude_deg, "
              "elevation_m, "
              "utc_offset_h, interval_min and stamp (start, middle or end) are"},
             {site_lines + "stamp,noon\n", columns,
              "t:8: \"stamp,noon\" is not a site line; station, state, latitude_deg, longitude_deg, "
              "elevation_m, "
              "utc_offset_h, interval_min and stamp (start, middle or end) are"},
             {site_lines, "month,day,hour,ghi,temperature [degC]",
              "t:8: column ghi has no unit; write it behind the name, as in \"ghi [W/m2]\""},
             {site_lines, "month,day,hour,ghi [K],temperature [degC]",
              "t:8: column ghi: unit \"K\" is neither irradiance (W/m2) nor energy per interval (kJ/m2, "
              "Wh/m2)"},
             {site_lines, "month,day,hour,ghi [W/m2],x",
              "t:8: the columns needed are temperature and ghi, or dni with dhi"},
             {site_lines, "month,day,time_of_day,ghi [W/m2],temperature [degC]",
              "t:8: no columns of time; time, or month, day and hour are needed"},
         }) {
        CAPTURE(r.head);
        CAPTURE(r.columns);
        CHECK_THROWS_WITH_AS(read_weather_text(plain(r.head, r.columns, row), "t"), r.message.c_str(),
                             WeatherError);
    }
}

TEST_SUITE_END();
