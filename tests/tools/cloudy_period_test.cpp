#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

std::string demo(std::string const& name) { return "'" HOLDWATER_SOURCE "/scenarios/" + name + ".toml'"; }

}  // namespace

TEST_SUITE_BEGIN("tools/cloudy_period");

TEST_CASE("--json, the table and the HDF5 file tell the same cloudy period") {
    ScratchFolder folder;
    std::string const arguments = "autonomy --period " + demo("saltbush-livestock") +
                                  " --days 4 --clearness 0.1 --start 12-20 --start 06-21 ";
    auto const run = run_holdwater(folder, arguments + "--json --out period.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["days"] == 4);
    CHECK(json["start_dates"] == 2);
    REQUIRE(json["survival"].size() == 4);
    REQUIRE(json["starts"].size() == 2);
    CHECK(json["starts"][1]["start"] == "06-21");
    CHECK(json["worst"]["cause"] == "the battery was empty");
    CHECK(json["battery_needed_kwh"].get<double>() > json["battery_kwh"].get<double>());
    CHECK(json["array_needed_kw"].get<double>() > json["array_kw"].get<double>());
    CHECK(json["bridging_generator"]["most_h"].get<double>() > 0);

    CHECK(json["worst"]["hours_with_water"].get<double>() ==
          96 - json["worst"]["shortage_hours"].get<double>());
    REQUIRE(json["first_cause"].size() == 1);
    CHECK(json["first_cause"][0]["cause"] == "the battery was empty");
    CHECK(json["first_cause"][0]["start_dates"] == 2);

    auto const path = (folder / "period.h5").string();
    // Ready to plot: the worst start hour by hour until the battery is full again, and other skies.
    auto const hour = sim::read_column(path, "worst", "hour");
    auto const level = sim::read_column(path, "worst", "battery_soc");
    REQUIRE(level.size() == hour.size());
    CHECK(hour.size() > 96);
    CHECK(level.back() >= 0.99);
    CHECK(*std::min_element(level.begin(), level.begin() + 96) == json["worst"]["soc_min"].get<double>());
    auto const wet = sim::read_column(path, "by_clearness", "share_held");
    REQUIRE(wet.size() == 11);
    CHECK(wet.front() <= wet.back());
    CHECK(sim::read_column(path, "survival", "share_held") == json["survival"].get<std::vector<double>>());
    auto const dry_h = sim::read_column(path, "starts", "first_shortage_h");
    REQUIRE(dry_h.size() == 2);
    CHECK(dry_h[0] == json["starts"][0]["first_shortage_h"].get<double>());

    auto const table = run_holdwater(folder, arguments);
    CHECK(table.exit_code == 0);
    CHECK(table.out.find("How long does the water last?") != std::string::npos);
    CHECK(table.out.find("would have been enough (now 5.0 kWh)") != std::string::npos);
    CHECK(run_holdwater(folder, arguments).out == table.out);
}

TEST_CASE("--require fails on a dry start date and on a battery that is never full again") {
    ScratchFolder folder;
    std::string const period = "autonomy --period " + demo("saltbush-livestock") +
                               " --start 12-20 --days 3 --clearness 0.1 --soc 1 ";
    auto const dry = run_holdwater(folder, period + "--require 3");
    CHECK(dry.exit_code == 1);
    CHECK(dry.err.find("requirement failed: 3 days without shortage required") != std::string::npos);
    CHECK(run_holdwater(folder, period + "--require 1").exit_code == 0);
    CHECK(run_holdwater(folder, period + "--require 5").exit_code == 2);
    // The same herd on a fifth of the array: from a full battery there is water for a day, and the battery is
    // never full again.
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    std::string const array = "rated_power = \"1.2 kW\"";
    text.replace(text.find(array), array.size(), "rated_power = \"0.25 kW\"");
    std::ofstream(folder / "poor.toml") << text;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    auto const never = run_holdwater(
        folder, "autonomy --period poor.toml --start 06-20 --days 1 --clearness 0.5 --soc 1 --require 1");
    CHECK(never.exit_code == 1);
    CHECK(never.err.find("NEVER full again") != std::string::npos);
    CHECK(never.out.find("NEVER within a year") != std::string::npos);
}

TEST_CASE("a backup that holds is named as such, and what holds without it") {
    ScratchFolder folder;
    std::string const arguments =
        "autonomy --period " + demo("juniper-bend-household") + " --worst --start 12-15";
    auto const with = run_holdwater(folder, arguments);
    CHECK(with.exit_code == 0);
    CHECK(with.out.find("backup: generator") != std::string::npos);
    CHECK(with.out.find("through all 10 days, from the one start date") != std::string::npos);
    CHECK(with.out.find("kWh is enough without the backup (now 10.2 kWh)") != std::string::npos);
    auto const without = run_holdwater(folder, arguments + " --no-backup --units us --plain");
    CHECK(without.exit_code == 0);
    CHECK(without.out.find("backup: none") != std::string::npos);
    CHECK(without.out.find("the weather file's cloudiest 10 days") != std::string::npos);
    CHECK(without.out.find("####") != std::string::npos);
}

TEST_CASE("--sun makes its own period; help shows an example") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "autonomy --period " + demo("saltbush-livestock") + " --sun 0.2 --start 12-15 --days 2");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("20 % of a clear sky") != std::string::npos);
    auto const help = run_holdwater(folder, "autonomy --period --help");
    CHECK(help.exit_code == 0);
    CHECK(help.out.find("Examples:\n  holdwater autonomy ") != std::string::npos);
}

TEST_CASE("a storm of 84 h from 18:00 at 60 %, days of different clearness, the grid away: one command") {
    ScratchFolder folder;
    std::string const storm = "autonomy --period " + demo("alder-flat-outages") +
                              " --hours 84 --start-hour 18 --sun 0.5,0.25 --soc 0.6 --start 12-15 --json ";
    auto const with = nlohmann::json::parse(run_holdwater(folder, storm + "--outage --out storm.h5").out);
    CHECK(with["hours"] == 84);
    CHECK(with["start_hour"] == 18);
    CHECK(with["cloudy_period"] ==
          "sun 50 % in the first 24 h, 25 % after, of a clear sky; the grid is away throughout");
    CHECK(with["begins_with"] == "battery at 60 %, as you gave");
    CHECK(with["survival"].size() == 4);
    CHECK(with["worst"]["start_soc"] == 0.6);
    CHECK(with["worst"]["grid_kwh"].get<double>() < 1e-9);
    // Noon of the first 24 h has twice the horizontal light of the next noon. At half of a December clear
    // sky, clearness 0.3, a tenth of it is beam, of which the steep array sees about three times as much: 2.2
    // to 2.6 on its plane; under a quarter all is diffuse. The third noon is like the second.
    auto const sun_kw = sim::read_column((folder / "storm.h5").string(), "worst", "pv_available_kw");
    CHECK(sun_kw[18] / sun_kw[42] == test::Near{2.4, 0.25, 0});
    CHECK(sun_kw[42] / sun_kw[66] == test::Near{1, 0.1, 0});
    // The grid is back after 30.5 h, or never fails.
    for (std::string const outage : {"--outage 30.5", ""}) {
        CAPTURE(outage);
        auto const grid = nlohmann::json::parse(run_holdwater(folder, storm + outage).out);
        CHECK(grid["worst"]["grid_kwh"].get<double>() > 0.1);
        CHECK(grid["worst"]["shortage_hours"].get<double>() <= with["worst"]["shortage_hours"].get<double>());
    }
}

// The cistern of the demo: the answer says with what it begins, and uses another level if one is given.
TEST_CASE("a period says what it begins with, and sizes the cistern as well") {
    ScratchFolder folder;
    std::string const period =
        "autonomy --period " + demo("alder-flat-cistern") + " --days 8 --clearness 0.05 --start 12-20 ";
    auto const json = nlohmann::json::parse(run_holdwater(folder, period + "--json").out);
    double const as_it_stands = json["worst"]["start_cistern_m3"].get<double>();
    CHECK(as_it_stands > 560 * 3.785411784e-3);
    CHECK(as_it_stands < 1450 * 3.785411784e-3);
    CHECK(json["cistern_m3"].get<double>() == test::Near{1500 * 3.785411784e-3, 1e-9, 0});
    CHECK(json.contains("cistern_needed_m3"));
    auto const table = run_holdwater(folder, period + "--units us").out;
    CHECK(test::one_line(table).find("where the design's typical year has them at that date and hour") !=
          std::string::npos);
    CHECK(table.find("  cistern  ") != std::string::npos);
    CHECK(table.find("battery and cistern at the latest") != std::string::npos);
    auto const full = run_holdwater(folder, period + "--units us --cistern 1 --soc 0.9").out;
    CHECK(test::one_line(full).find("battery at 90 %, cistern at 1,450 gal, as you gave") !=
          std::string::npos);
}

// The demo's well is drawn down by day and recovers during the night.
TEST_CASE("a period says at which level the well begins, and when the trough is full again") {
    ScratchFolder folder;
    std::string const period = "autonomy --period " + demo("saltbush-low-yield") +
                               " --days 2 --clearness 0.2 --start 07-01 --start-hour 17 ";
    auto const json = nlohmann::json::parse(run_holdwater(folder, period + "--json").out);
    auto const text = json["begins_with"].get<std::string>();
    CHECK(text.find("water in the well at ") != std::string::npos);
    CHECK(text.find(" m below the wellhead, where the design's typical year has them") != std::string::npos);
    CHECK(json["worst"]["start_well_level_m"].get<double>() > 0);
    CHECK(json["worst"]["start_battery_c"].is_null());
    CHECK(run_holdwater(folder, period).out.find("battery and trough at the latest") != std::string::npos);
}

TEST_CASE("what cannot be run is refused in words, with nothing written") {
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"--days 0", "--days"},
             {"--start 02-30", "'02-30' is not a day"},
             {"--clearness 0.9", "--clearness"},
             {"--soc 0.3", "0.3 is below the battery's minimum SOC 0.5"},
             {"--worst --clearness 0.1", "excludes"},
             {"--out nowhere/x.h5 --start 01-01 --days 1", "nowhere/x.h5: cannot be written"},
         }) {
        CAPTURE(arguments);
        ScratchFolder folder;
        auto const run =
            run_holdwater(folder, "autonomy --period " + demo("saltbush-livestock") + " " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
        CHECK(std::filesystem::is_empty(folder.text()));
    }
}

TEST_SUITE_END();
