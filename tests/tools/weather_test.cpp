#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <numeric>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "tests/support/solar_scenario.hpp"
#include "weather/weather_year.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const make =
    "weather --make --place 'Nowhere Ridge' --latitude 40 --longitude -105 --elevation-m 1500 --utc-offset-h "
    "-7 "
    "--clearness .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 --temperature-c 0 0 0 0 0 0 0 0 0 0 0 0 ";

std::string const saltbush = "'" HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv'";
std::string const array = "[array]\nrated_power = \"1 kW\"\ntilt = \"30 deg\"\nazimuth = \"180 deg\"\n";

void write(std::filesystem::path const& path, std::string const& text) {
    std::ofstream(path, std::ios::binary) << text;
}

std::string replaced(std::string text, std::string const& from, std::string const& to) {
    auto const at = text.find(from);
    return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

}  // namespace

TEST_SUITE_BEGIN("tools/weather");

TEST_CASE("a made year is read back, says that it is made, and the same seed gives the same bytes") {
    ScratchFolder folder;
    CHECK(run_holdwater(folder, make + "--seed 5 --out a.csv").exit_code == 0);
    CHECK(run_holdwater(folder, make + "--seed 5 --out b.csv").exit_code == 0);
    CHECK(run_holdwater(folder, make + "--seed 6 --out c.csv").exit_code == 0);
    CHECK(test::file_text(folder / "a.csv") == test::file_text(folder / "b.csv"));
    CHECK(test::file_text(folder / "a.csv") != test::file_text(folder / "c.csv"));
    CHECK(test::file_text(folder / "a.csv").starts_with("# Nowhere Ridge is an invented place"));
    auto const table = run_holdwater(folder, "weather a.csv --units us");
    CHECK(table.exit_code == 0);
    CHECK(table.out.find("Nowhere Ridge (invented place)") != std::string::npos);
    CHECK(table.out.find("°F") != std::string::npos);
    auto const json = nlohmann::json::parse(run_holdwater(folder, "weather a.csv --json").out);
    CHECK(json["months"].size() == 12);
    CHECK(json["clearness"].get<double>() == Near{0.5, 0.01, 0});
    CHECK(json["repaired_h"] == 0);
}

// Most shipped files come from the maker before it knew the spread of records (scenarios/weather/make says
// so): what is made today has other days, the same bytes every time, and reads as the same places.
TEST_CASE("the demos' weather can be made anew, the same every time") {
    ScratchFolder folder;
    std::string const made = HOLDWATER_SOURCE "/scenarios/weather/";
    REQUIRE(test::run_shell(folder, "HOLDWATER='" HOLDWATER_COMMAND "' '" + made + "make' .").exit_code == 0);
    for (std::string const file :
         {"juniper-bend.csv", "alder-flat.csv", "saltbush-wells.csv", "hollerbrook.csv"}) {
        CAPTURE(file);
        std::string const text = test::file_text(folder / file);
        CHECK(std::count(text.begin(), text.end(), '\n') > 8760);
        auto const shipped = test::file_text(made + file);
        CHECK(text.substr(0, text.find(' ', 12)) == shipped.substr(0, shipped.find(' ', 12)));
        auto const checked = run_holdwater(folder, "weather " + file);
        CHECK(checked.exit_code == 0);
    }
    // The only one that the maker of today has made.
    CHECK(test::file_text(folder / "hollerbrook.csv") == test::file_text(made + "hollerbrook.csv"));
    test::run_shell(folder, "mkdir again; HOLDWATER='" HOLDWATER_COMMAND "' '" + made + "make' again");
    CHECK(test::run_shell(folder, "cmp juniper-bend.csv again/juniper-bend.csv").exit_code == 0);
}

TEST_CASE("--cloudy-periods: 21 runs, each the cloudiest of its length among the days it prints") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "weather " + saltbush + " --cloudy-periods --json");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out)["cloudy_periods"];
    auto const daily = json["daily_kwh_m2"].get<std::vector<double>>();
    REQUIRE(daily.size() == 365);
    REQUIRE(json["cloudiest"].size() == 21);
    CHECK(json["azimuth_deg"] == 180);
    int days = 0;
    for (auto const& period : json["cloudiest"]) {
        ++days;
        CAPTURE(days);
        double cloudiest = 1e9;
        for (auto first = daily.begin(); daily.end() - first >= days; ++first)
            cloudiest = std::min(cloudiest, std::accumulate(first, first + days, 0.0));
        CHECK(period["days"] == days);
        CHECK(period["energy_kwh_m2"].get<double>() == Near{cloudiest, 1e-9, 0});
        CHECK(period["percent_of_normal"].get<double>() < 100);
    }
}

TEST_CASE(
    "--cloudy-periods looks at the plane it is told, by default tilted to the latitude and to the equator") {
    ScratchFolder folder;
    auto const periods = [&](std::string const& arguments) {
        auto const run = run_holdwater(folder, "weather --json --cloudy-periods " + arguments);
        REQUIRE(run.exit_code == 0);
        return nlohmann::json::parse(run.out);
    };
    auto const year = [](nlohmann::json const& json) {
        auto const daily = json["cloudy_periods"]["daily_kwh_m2"].get<std::vector<double>>();
        return std::accumulate(daily.begin(), daily.end(), 0.0);
    };
    auto const usual = periods(saltbush);
    CHECK(usual["cloudy_periods"]["tilt_deg"] == usual["latitude_deg"]);
    auto const flat = periods(saltbush + " --tilt 0");
    CHECK(year(flat) == Near{flat["ghi_kwh_m2"].get<double>(), 0, 1e-4});
    CHECK(year(periods(saltbush + " --azimuth 0")) < year(flat));

    std::string south = replaced(make, "--latitude 40", "--latitude -40");
    REQUIRE(run_holdwater(folder, south + "--seed 5 --out south.csv").exit_code == 0);
    auto const below = periods("south.csv");
    CHECK(below["cloudy_periods"]["azimuth_deg"] == 0);
    CHECK(below["cloudy_periods"]["tilt_deg"] == 40);
    CHECK(year(below) > year(periods("south.csv --azimuth 180")));

    // Round the year a run may join December to January; the cloudiest can then only be cloudier.
    auto const round = periods(saltbush + " --round-the-year");
    for (std::size_t k = 0; k < 21; ++k)
        CHECK(round["cloudy_periods"]["cloudiest"][k]["energy_kwh_m2"] <=
              usual["cloudy_periods"]["cloudiest"][k]["energy_kwh_m2"]);
}

TEST_CASE("--cloudy-periods as a person reads it: table, bars, legend; the bars of --plain are ASCII") {
    ScratchFolder folder;
    auto const blocks = run_holdwater(folder, "weather " + saltbush + " --cloudy-periods"),
               plain = run_holdwater(folder, "weather " + saltbush + " --cloudy-periods --plain");
    REQUIRE(blocks.exit_code == 0);
    REQUIRE(plain.exit_code == 0);
    for (std::string const part :
         {"Cloudiest periods on a plane tilted", "of normal", "a full bar is 100 %",
          "A typical year is made of ordinary months", "Day by day around the cloudiest 5"}) {
        CAPTURE(part);
        CHECK(blocks.out.find(part) != std::string::npos);
        CHECK(plain.out.find(part) != std::string::npos);
    }
    CHECK(blocks.out.find("\u2588") != std::string::npos);
    CHECK(plain.out.find("####") != std::string::npos);
    // No block of any height (U+2580 to U+259F).
    CHECK(plain.out.find("\xe2\x96") == std::string::npos);
}

TEST_CASE("a run over a month seam of a typical year is marked") {
    std::string const path = std::string(HOLDWATER_SHARED) + "/weather/denver-intl.epw";
    if (!std::filesystem::exists(path)) {
        std::cout << "SKIPPED denver-intl.epw: not found below HOLDWATER_SHARED\n";
        return;
    }
    ScratchFolder folder;
    auto const json = nlohmann::json::parse(
        run_holdwater(folder, "weather '" + path + "' --cloudy-periods --json --tilt 55")
            .out)["cloudy_periods"]["cloudiest"];
    int seams = 0;
    for (auto const& period : json) {
        bool const two_months =
            period["from"].get<std::string>().substr(0, 2) != period["to"].get<std::string>().substr(0, 2);
        // A mark needs two months; two months need no mark, where both come from one year.
        if (period["over_month_seam"]) CHECK(two_months);
        seams += period["over_month_seam"] ? 1 : 0;
    }
    CHECK(seams > 0);
    auto const table = run_holdwater(folder, "weather '" + path + "' --cloudy-periods --tilt 55").out;
    CHECK(table.find("* joins months taken from different years") != std::string::npos);
}

TEST_CASE("a clock that is an hour off is told with the shift that would mend it") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, make + "--seed 5 --out right.csv").exit_code == 0);
    write(folder / "wrong.csv",
          replaced(test::file_text(folder / "right.csv"), "utc_offset_h,-7", "utc_offset_h,-8"));
    auto const right = nlohmann::json::parse(run_holdwater(folder, "weather right.csv --json").out);
    CHECK(right["warnings"].empty());
    auto const wrong = run_holdwater(folder, "weather wrong.csv");
    CHECK(wrong.exit_code == 0);
    std::string const out = wrong.out;
    CAPTURE(out);
    CHECK(out.find("warning: ") != std::string::npos);
    CHECK(out.find("60 min") != std::string::npos);
}

TEST_CASE("repairs are listed with their dates, and kept in the result of a run") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, make + "--seed 5 --out whole.csv").exit_code == 0);
    // Two hours of 15 June without light: line by line as the maker wrote them.
    std::string text = test::file_text(folder / "whole.csv");
    for (std::string const stamp : {"\n2023,6,15,11,", "\n2023,6,15,12,"}) {
        auto const at = text.find(stamp);
        REQUIRE(at != std::string::npos);
        auto const values = at + stamp.size(), end = text.find('\n', values);
        std::string row = text.substr(values, end - values);
        auto temperature = row.find(',', row.find(',', row.find(',') + 1) + 1);
        text.replace(values, end - values, ",," + row.substr(temperature));
    }
    write(folder / "holes.csv", text);
    auto const json = nlohmann::json::parse(run_holdwater(folder, "weather holes.csv --json").out);
    REQUIRE(json["repairs"].size() >= 1);
    CHECK(json["repairs"][0]["hours"] == 2);
    CHECK(json["repairs"][0]["first_hour"] == weather::hour_index(6, 15, 11));
    auto const table = run_holdwater(folder, "weather holes.csv").out;
    CHECK(table.find("2 h from 15 Jun 11:00  gap: clearness interpolated") != std::string::npos);

    write(folder / "design.toml",
          test::solar_scenario_text(array + test::plain_controller, "file = \"holes.csv\"\n"));
    REQUIRE(run_holdwater(folder, "simulate --years 0 design.toml --out year.h5").exit_code == 0);
    auto const kept = test::run_shell(folder, "h5dump -d /inputs/weather_repairs year.h5").out;
    CHECK(kept.find("gap: 2 h from 15 Jun 11:00") != std::string::npos);
}

// The same light under a UTC offset that is an hour wrong. The stamps of our own files name the start of the
// hour; what cures it is another stamp or a shift, by option or by key.
TEST_CASE("a wrong clock is named with what cures it, for the command and for a scenario") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, make + "--seed 5 --out right.csv").exit_code == 0);
    std::string text = test::file_text(folder / "right.csv");
    auto const at = text.find("utc_offset_h,");
    REQUIRE(at != std::string::npos);
    auto const value = at + 13, end = text.find('\n', value);
    text.replace(value, end - value, fmt::format("{}", std::stod(text.substr(value, end - value)) - 1));
    write(folder / "wrong.csv", text);
    std::string const wrong_clock = "the file's clock disagrees with the sun";
    auto const said = run_holdwater(folder, "weather wrong.csv").out;
    CHECK(said.find(wrong_clock) != std::string::npos);
    CHECK(said.find(
              "to cure it write stamp = \"end\" in [weather], or --stamp end with \"holdwater weather\"") !=
          std::string::npos);
    for (std::string const cure : {"--stamp end", "--shift=-60"}) {
        auto const cured = run_holdwater(folder, "weather wrong.csv " + cure);
        CHECK(cured.exit_code == 0);
        CHECK(cured.out.find(wrong_clock) == std::string::npos);
        CHECK(cured.out.find("8760 h from 1 Jan 00:00  clock: ") != std::string::npos);
    }
    for (std::string const key : {"", "stamp = \"end\"\n", "shift = \"-60 min\"\n", "shift = \"-1 h\"\n"}) {
        write(folder / "design.toml",
              test::solar_scenario_text(array + test::plain_controller, "file = \"wrong.csv\"\n" + key));
        auto const run = run_holdwater(folder, "simulate --years 0 design.toml --out year.h5");
        CHECK(run.exit_code == 0);
        CHECK((run.err.find(wrong_clock) == std::string::npos) == !key.empty());
    }
    struct Bad {
        std::string keys, message;
    };
    for (auto const& [keys, message] :
         std::vector<Bad>{{"stamp = \"noon\"\n", "accepted: start, middle, end"},
                          {"shift = \"90 s\"\n", "whole minutes are accepted"},
                          {"shift = \"25 h\"\n", "out of range"}}) {
        write(folder / "design.toml",
              test::solar_scenario_text(array + test::plain_controller, "file = \"wrong.csv\"\n" + keys));
        auto const run = run_holdwater(folder, "simulate --years 0 design.toml --out bad.h5");
        CHECK(run.exit_code == 2);
        CHECK(run.err.find(message) != std::string::npos);
    }
    CHECK(run_holdwater(folder, "weather wrong.csv --stamp noon").exit_code == 2);
    CHECK(run_holdwater(folder, "weather wrong.csv --shift 2000").exit_code == 2);
}

// A logger's CSV of someone else's making, the same year in other units, order and separators.
TEST_CASE("a plain CSV is read through [weather.columns] and gives the year it holds") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, make + "--seed 5 --out own.csv").exit_code == 0);
    std::string const own = test::file_text(folder / "own.csv");
    std::string foreign = "logger 7, do not edit\nwhen;air;sun;beam;sky;gust\n";
    auto at = own.find("\n2023,1,1,0,") + 1;
    REQUIRE(at > 1);
    for (int h = 0; h < weather::hours_per_year; ++h) {
        double month, day, hour, ghi, dni, dhi, air_c, wind;
        REQUIRE(std::sscanf(own.c_str() + at, "2023,%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf", &month, &day, &hour,
                            &ghi, &dni, &dhi, &air_c, &wind) == 8);
        at = own.find('\n', at) + 1;
        char row[160];
        std::snprintf(row, sizeof row, "2021-%02.0f-%02.0f %02.0f:00;%.6f;%.4f;%.4f;%.4f;%.6f\n", month, day,
                      hour, air_c * 1.8 + 32, ghi * 3.6, dni * 3.6, dhi * 3.6, wind / 0.44704);
        foreign += row;
    }
    write(folder / "logger.csv", foreign);
    std::string const columns =
        "file = \"logger.csv\"\n[weather.columns]\nstation = \"Post 7 (invented)\"\nlatitude = \"40 "
        "deg\"\nlongitude = \"-105 deg\"\nelevation = \"1500 m\"\nutc_offset = \"-7 h\"\ntime = "
        "\"when\"\nstamp = \"start\"\nseparator = \";\"\nghi = \"sun\"\nghi_unit = \"kJ/m2\"\ndni = "
        "\"beam\"\ndni_unit = \"kJ/m2\"\ndhi = \"sky\"\ndhi_unit = \"kJ/m2\"\ntemperature = "
        "\"air\"\ntemperature_unit = \"degF\"\nwind = \"gust\"\nwind_unit = \"mph\"\n";
    write(folder / "logger.toml", test::solar_scenario_text(array + test::plain_controller, columns));
    write(folder / "own.toml",
          test::solar_scenario_text(array + test::plain_controller, "file = \"own.csv\"\n"));
    auto const by_map = run_holdwater(folder, "simulate --years 0 logger.toml --json"),
               by_own = run_holdwater(folder, "simulate --years 0 own.toml --json");
    std::string const err = by_map.err;
    CAPTURE(err);
    REQUIRE(by_map.exit_code == 0);
    REQUIRE(by_own.exit_code == 0);
    CHECK(nlohmann::json::parse(by_map.out)["pv_available_kwh"].get<double>() ==
          Near{nlohmann::json::parse(by_own.out)["pv_available_kwh"].get<double>(), 0, 1e-5});

    write(folder / "wrong.toml", test::solar_scenario_text(array + test::plain_controller,
                                                           replaced(columns, "\"beam\"", "\"beem\"")));
    auto const wrong = run_holdwater(folder, "simulate --years 0 wrong.toml");
    CHECK(wrong.exit_code == 2);
    CHECK(wrong.err.find("logger.csv:2: no column \"beem\"") != std::string::npos);
}

TEST_CASE("every rack, module and controller runs a year of each open typical year with closed balances") {
    std::string const facing = "[array]\nazimuth = \"180 deg\"\nmodules_in_series = 2\nstrings = 2\n";
    std::vector<std::string> const designs{
        facing + "tilt = \"45 deg\"\nglass_model = \"fresnel\"\ntemperature_model = \"king\"\n" +
            test::module_72_cells + "[controller]\nkind = \"pwm\"\ncurrent_limit = \"30 A\"\n",
        facing +
            "sky_model = \"hay-davies\"\ntilt_changes = [{from = \"03-20\", tilt = \"20 deg\"}, {from = "
            "\"09-22\", tilt = \"60 deg\"}]\ntemperature_model = \"noct\"\n" +
            test::module_72_cells +
            "[array.snow]\ndays_by_month = [4, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0, 5]\n"
            "[controller]\ncurrent_limit = \"30 A\"\ninput_max = \"150 V\"\n"};
    for (std::string const file :
         {"boise-tmy3.csv", "bishop-tmy3.csv", "chicago-ohare.epw", "denver-intl.epw"}) {
        std::string const path = std::string(HOLDWATER_SHARED) + "/weather/" + file;
        if (!std::filesystem::exists(path)) {
            std::cout << "SKIPPED " << file << ": not found below HOLDWATER_SHARED\n";
            continue;
        }
        for (std::string const& design : designs) {
            CAPTURE(file);
            CAPTURE(design);
            ScratchFolder folder;
            write(folder / "design.toml", test::solar_scenario_text(design, "file = \"" + path + "\"\n"));
            auto const run = run_holdwater(folder, "simulate --years 0 design.toml --json");
            REQUIRE(run.exit_code == 0);
            auto const json = nlohmann::json::parse(run.out);
            CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
            CHECK(std::abs(json["water_residual_m3"].get<double>()) < 1e-6);
            // Four modules of 389 W each.
            CHECK(json["pv_available_kwh"].get<double>() > 1.55 * 1000);
            CHECK(json["pv_available_kwh"].get<double>() < 1.55 * 2100);
            bool const pwm = design.find("pwm") != std::string::npos;
            CHECK((run.err.find("voltage window keeps") != std::string::npos) == pwm);
        }
    }
}

TEST_CASE("weather files that cannot be used end with exit code 2, file and line in the message") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, make + "--seed 5 --out good.csv").exit_code == 0);
    std::string const good = test::file_text(folder / "good.csv");
    auto const row = [&](std::string const& stamp) { return good.find("\n2023," + stamp) + 1; };
    std::string semicolons = good;
    std::replace(semicolons.begin(), semicolons.end(), ',', ';');
    std::string word = good;
    word.insert(row("6,15,12,") + std::string("2023,6,15,12,").size(), "x");
    struct Row {
        std::string name, text, message;
    };
    for (auto const& [name, text, message] : std::vector<Row>{
             {"empty.csv", "", "empty.csv: the file is empty"},
             {"short.csv", good.substr(0, row("9,1,0,")), "short.csv:"},
             {"semicolons.csv", semicolons, "semicolons.csv:1: not a weather file of a known kind"},
             {"word.csv", word, "word.csv:"},
             {"gzip.csv", "\x1f\x8b\x08 rest", "gzip archive"},
             {"letter.csv", "Dear customer,\nhere is your weather.\n", "letter.csv:1: not a weather file"},
             {"nowhere.csv", "\x01", "nowhere.csv"},
         }) {
        CAPTURE(name);
        if (text != "\x01") write(folder / name, text);
        write(folder / "design.toml",
              test::solar_scenario_text(array + test::plain_controller, "file = \"" + name + "\"\n"));
        for (std::string const& arguments : {"weather " + name, "weather --cloudy-periods --json " + name,
                                             std::string("simulate --years 0 design.toml --out never.h5")}) {
            CAPTURE(arguments);
            auto const run = run_holdwater(folder, arguments);
            std::string const err = run.err;
            CAPTURE(err);
            CHECK(run.exit_code == 2);
            CHECK(run.out == "");
            CHECK(err.find(message) != std::string::npos);
            CHECK_FALSE(std::filesystem::exists(folder / "never.h5"));
        }
    }
    for (std::string const arguments :
         {"weather good.csv --tilt 30", "weather good.csv --plain",
          "weather good.csv --cloudy-periods --tilt 95", "weather good.csv --cloudy-periods --azimuth south",
          "weather --cloudy-periods --make"}) {
        CAPTURE(arguments);
        CHECK(run_holdwater(folder, arguments).exit_code == 2);
    }
}

TEST_SUITE_END();
