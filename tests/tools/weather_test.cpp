#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const make =
    "weather --make --place 'Nowhere Ridge' --latitude 40 --longitude -105 --elevation-m 1500 --utc-offset-h "
    "-7 "
    "--clearness .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 .5 --temperature-c 0 0 0 0 0 0 0 0 0 0 0 0 ";

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
    CHECK(table.out.find("degF") != std::string::npos);
    auto const json = nlohmann::json::parse(run_holdwater(folder, "weather a.csv --json").out);
    CHECK(json["months"].size() == 12);
    CHECK(json["clearness"].get<double>() == Near{0.5, 0.01, 0});
    CHECK(json["repaired_h"] == 0);
}

TEST_CASE("the demos' weather is what the maker makes") {
    ScratchFolder folder;
    std::string const made = HOLDWATER_SOURCE "/scenarios/weather/";
    REQUIRE(test::run_shell(folder, "HOLDWATER='" HOLDWATER_COMMAND "' '" + made + "make' .").exit_code == 0);
    for (std::string const file : {"juniper-bend.csv", "alder-flat.csv", "saltbush-wells.csv"}) {
        CAPTURE(file);
        CHECK(test::file_text(folder / file) == test::file_text(made + file));
    }
}

TEST_SUITE_END();
