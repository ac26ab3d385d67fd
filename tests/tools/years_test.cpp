#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "models/numeric/statistics.hpp"
#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {
std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'";
std::string const weather = "'" HOLDWATER_SOURCE "/scenarios/weather/";
}  // namespace

TEST_SUITE_BEGIN("tools/years");

TEST_CASE("the ranges are those of the years in the table, and the number of years is said") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "years " + well + " --draws 12 --seed 5 --json --out y.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["years"] == 12);
    for (std::string const name : {"shortage_hours", "demand_met_fraction", "pv_available_kwh"}) {
        CAPTURE(name);
        auto const values = sim::read_column((folder / "y.h5").string(), "years", name);
        REQUIRE(values.size() == 12);
        auto const& f = json["figures"][name];
        CHECK(f["low"] == models::quantile(values, 0.1));
        CHECK(f["high"] == models::quantile(values, 0.9));
        CHECK(f["median"] == models::quantile(values, 0.5));
        CHECK(f["low"] <= f["high"]);
    }
    auto const dry = sim::read_column((folder / "y.h5").string(), "years", "shortage_hours");
    CHECK(json["figures"]["shortage_hours"]["worst"] == *std::max_element(dry.begin(), dry.end()));
    CHECK(json["figures"]["shortage_hours"]["one_in_ten"] == json["figures"]["shortage_hours"]["high"]);
    auto const wet = static_cast<int>(std::count(dry.begin(), dry.end(), 0.0));
    CHECK(json["no_shortage"]["years"] == wet);
    CHECK(json["no_shortage"]["share_high"] == models::clopper_pearson_interval(wet, 12).high);
    // "As written" is simulate's own year.
    auto const simulate = nlohmann::json::parse(run_holdwater(folder, "simulate " + well + " --json").out);
    CHECK(json["figures"]["shortage_hours"]["as_written"] == simulate["shortage_hours"]);
    // The same bytes again, whatever the threads.
    auto const again = run_holdwater(folder, "years " + well + " --draws 12 --seed 5 --json --threads 1");
    CHECK(again.out == run.out);
}

TEST_CASE("years on record stand in for made ones") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "years " + well + " --weather " + weather + "saltbush-wells.csv' " + weather +
                                  "alder-flat.csv' --out y.csv --units us");
    REQUIRE(run.exit_code == 0);
    CHECK(run.out.find("2 years from 2 weather files") != std::string::npos);
    CHECK(run.out.find("first file") != std::string::npos);
    CHECK(run.out.find("Made years") == std::string::npos);
    CHECK(run.out.find("of 2 years") != std::string::npos);
    auto const csv = test::file_text(folder / "y.csv");
    CHECK(csv.starts_with("year,water_demand_m3 [m3]"));
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 3);
    // One file stands in for the scenario's own: made years are like it.
    auto const one =
        run_holdwater(folder, "years " + well + " --draws 2 --weather " + weather + "alder-flat.csv'");
    REQUIRE(one.exit_code == 0);
    CHECK(one.out.find("2 made years like the weather file") != std::string::npos);
}

TEST_CASE("a share of years can be required, and bad input is refused") {
    ScratchFolder folder;
    auto const missed = run_holdwater(folder, "years " + well + " --draws 2 --require 0.9");
    CHECK(missed.exit_code == 1);
    CHECK(missed.err.find("requirement failed: the whole demand was met in 0.0000 of the years") !=
          std::string::npos);
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"--draws 0", "--draws"},
             {"--draws x", "--draws"},
             {"--require 2", "--require"},
             {"--weather no.csv", "no.csv"},
             {"--out x.txt", "must end in .csv or .h5"},
             {"--option B", "there is no option \"B\""},
         }) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "years " + well + " " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CHECK(err.find(message) != std::string::npos);
    }
}

TEST_SUITE_END();
