#include "scenarios/design/record_shelf.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "scenarios/design/design.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::RecordShelf, scenarios::Scenario;

namespace {

// The demo's year as two recorded years.
void put_record(std::filesystem::path const& path) {
    std::istringstream demo(test::file_text(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv"));
    std::string head, rows, line;
    while (std::getline(demo, line)) (line.starts_with("2023,") ? rows : head) += line + "\n";
    std::ofstream out(path);
    out << head;
    for (std::string const year : {"2021", "2022"}) {
        std::istringstream in(rows);
        while (std::getline(in, line)) out << year << line.substr(4) << "\n";
    }
}

Scenario livestock() {
    return scenarios::base_design(
               scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"))
        .scenario;
}

bool has_place(weather::RecordedYears const& record) {
    for (auto const& finding : record.findings)
        if (finding.kind == "place") return true;
    return false;
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/record_shelf");

TEST_CASE("recorded years are read once, and again when the rules of reading change") {
    test::ScratchFolder folder;
    auto const path = folder / "record.csv";
    put_record(path);
    auto scenario = livestock();
    scenarios::OtherYears other;
    other.paths = {path.string()};
    RecordShelf shelf;
    CHECK(shelf.is_record(scenario, other));
    auto const read = shelf.of(scenario, other);
    REQUIRE(read.lights.size() == 1);
    CHECK(read.lights[0].year_count() == 2);
    CHECK(read.lights[0].chains[0].years[1].weather.ghi_w_m2 ==
          scenarios::read_scenario_years(scenario, other).lights[0].chains[0].years[1].weather.ghi_w_m2);

    // The file is gone: what was read is kept, whatever the array.
    std::filesystem::remove(path);
    scenario.plane.tilt_deg += 10;
    CHECK(shelf.is_record(scenario, other));
    CHECK(shelf.of(scenario, other).lights[0].year_count() == 2);
    auto other_rules = scenario;
    other_rules.albedo += 0.1;
    CHECK_THROWS(shelf.of(other_rules, other));
}

TEST_CASE("the place is looked at for each scenario") {
    test::ScratchFolder folder;
    put_record(folder / "record.csv");
    auto scenario = livestock();
    scenarios::OtherYears other;
    other.paths = {(folder / "record.csv").string()};
    RecordShelf shelf;
    CHECK_FALSE(has_place(shelf.of(scenario, other)));
    scenario.elevation_m += 500;
    CHECK(has_place(shelf.of(scenario, other)));
    scenario.elevation_m -= 500;
    CHECK_FALSE(has_place(shelf.of(scenario, other)));
}

TEST_SUITE_END();
