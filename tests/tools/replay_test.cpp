#include <doctest/doctest.h>
#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'";

// Ten days in June of a meter in gallons that counts 30 gal an hour, and a battery that falls and rises.
void write_meter_log(ScratchFolder const& folder, std::string const& header = "time,Meter (gal),soc (%)") {
    std::ofstream log(folder / "site.csv");
    log << header << '\n';
    for (int h = 0; h <= 240; ++h) {
        int const soc = 60 + (h % 24 < 12 ? h % 24 : 24 - h % 24);
        log << fmt::format("2025-06-{:02} {:02}:00,{},{}\n", 1 + h / 24, h % 24, 30 * h, soc);
    }
}

}  // namespace

TEST_SUITE_BEGIN("tools/replay");

TEST_CASE("replay fits what the columns tell, says what they do not, and judges the stored result") {
    ScratchFolder folder;
    write_meter_log(folder);
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + well + " --out r.h5").exit_code == 0);
    auto const run = run_holdwater(
        folder,
        "replay " + well + " site.csv --units us --column water_meter=Meter --result r.h5 --out days.csv");
    CAPTURE(run.out);
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    for (std::string const line :
         {"Log site.csv: 10.0 days from 2025-06-01, a row every 60 min",
          "  water use                           720 gal/day (720 to 720)",
          "not determined by this log: needs the column pump_power", "Logged and modeled",
          "Promises of r.h5 for these dates", "Inputs to correct\n  demand: "}) {
        CAPTURE(line);
        CHECK(run.out.find(line) != std::string::npos);
    }
    auto const days = test::file_text(folder / "days.csv");
    CHECK(days.starts_with("date,logged_water_m3 [m3],modeled_water_m3 [m3],"));
    CHECK(days.find("2025-06-10,") != std::string::npos);
    // Its own table may be written again; the log, which it reads, never.
    CHECK(run_holdwater(folder, "replay " + well + " site.csv --column water_meter=Meter --out days.csv")
              .exit_code == 0);
    CHECK(run_holdwater(folder, "replay " + well + " site.csv --column water_meter=Meter --out site.csv")
              .exit_code == 2);

    auto const json = nlohmann::json::parse(
        run_holdwater(folder, "replay " + well + " site.csv --column water_meter=Meter --result r.h5 --json")
            .out);
    CHECK(json["fitted"][0]["value"].get<double>() > 2.7);
    CHECK(json["fitted"][1]["not_determined"] == "needs the column pump_power");
    CHECK(!json["fitted"][1].contains("value"));
    CHECK(json["by_day"].size() == 10);
    CHECK(json["by_day"][0]["pump_energy"]["logged"].is_null());
    CHECK(json["promises"].size() >= 6);
    CHECK(json["promises"][1]["held"].is_null());
}

TEST_CASE("replay refuses what it cannot use, with exit code 2") {
    ScratchFolder folder;
    write_meter_log(folder);
    for (auto const& [arguments, says] : std::vector<std::pair<std::string, std::string>>{
             {"site.csv --column meter=Meter", "quantities: time, soc, battery_volts"},
             {"site.csv --column water_meter", "is not QUANTITY=NAME or QUANTITY=NAME:UNIT"},
             {"site.csv --column water_meter=Meter --column water_meter=Meter", "water_meter is given twice"},
             {"site.csv --column water_meter=Meter:furlong", "site.csv:1: column \"Meter (gal)\""},
             {"site.csv --column water_meter=Flow", "site.csv:1: no column \"Flow\""},
             {"none.csv", "none.csv"},
             {"site.csv --result site.csv", "site.csv"},
             {"site.csv --out days.txt", "days.txt"}}) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "replay " + well + " " + arguments);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.err.find(says) != std::string::npos);
        CHECK(run.out.empty());
    }
}

TEST_SUITE_END();
