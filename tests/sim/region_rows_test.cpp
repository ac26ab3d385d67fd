// The rows of a region: what is read from a block, the table, and the words where no battery is enough.
#include "sim/region/region_rows.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <limits>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "sim/region/region_plan.hpp"
#include "sim/region/region_run.hpp"
#include "tests/support/command.hpp"

using namespace holdwater;
using namespace holdwater::sim;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

// Two stations, two arrays, two demands: four rows for each station.
RegionPlan const& eight_rows() {
    static auto const plan = plan_region({.stations = 2,
                                          .arrays = "1 kW,3 kW",
                                          .demands = "100 L/day,300 L/day",
                                          .batteries = "4 kWh,10 kWh"});
    return plan;
}

// Rows first .. end - 1 of that plan, not filled.
SweepBlock empty_rows(std::size_t first, std::size_t end) {
    SweepBlock block;
    block.first = first;
    block.width = region_figures().size();
    for (auto i = first; i < end; ++i) block.settings.push_back(eight_rows().rows.row(i));
    block.figures.assign((end - first) * block.width, not_run);
    block.texts.assign(region_texts().size(), std::vector<std::string>(end - first));
    block.problems.resize(end - first);
    return block;
}

double& number_of(SweepBlock& block, std::size_t row, std::string const& name) {
    for (std::size_t k = 0; k < region_figures().size(); ++k)
        if (region_figures()[k].name == name) return block.figures_of(row)[k];
    FAIL("no figure " << name);
    return block.figures[0];
}
std::string& words_of(SweepBlock& block, std::size_t row, std::string const& name) {
    for (std::size_t k = 0; k < region_texts().size(); ++k)
        if (region_texts()[k].name == name) return block.texts[k][row];
    FAIL("no text " << name);
    return block.texts[0][0];
}

std::map<std::string, double> const some_numbers{{"latitude_deg", 33.5},   {"longitude_deg", -102.25},
                                                 {"elevation_m", 640},     {"water_temperature_c", 14.5},
                                                 {"albedo", 0.21},         {"array_power_w", 3000},
                                                 {"daily_demand_m3", 0.1}, {"winters", 50},
                                                 {"battery_kwh_90", 4},    {"battery_kwh_95", 10},
                                                 {"battery_kwh_99", never}};
std::map<std::string, std::string> const some_words{
    {"name", "Saltbush Wells"}, {"state", "NM"}, {"file", "saltbush.csv"}, {"remarks", "2 hours filled"}};

RegionRow served_row() {
    RegionRow row;
    row.station = 3;
    row.name = "Saltbush Wells";
    row.state = "NM";
    row.file = "saltbush.csv";
    row.remarks = "2 hours filled";
    row.latitude_deg = 33.5;
    row.longitude_deg = -102.25;
    row.elevation_m = 640;
    row.water_temperature_c = 14.5;
    row.albedo = 0.21;
    row.array_w = 3000;
    row.daily_demand_m3 = 0.1;
    row.winters = 50;
    row.battery_kwh = {4, 6, 10};
    return row;
}

}  // namespace

TEST_SUITE_BEGIN("sim/region_rows");

TEST_CASE("every figure and text of a region's row is read under its name") {
    REQUIRE(region_figures().size() == some_numbers.size());
    REQUIRE(region_texts().size() == some_words.size());
    auto block = empty_rows(5, 7);
    for (auto const& [name, value] : some_numbers) number_of(block, 0, name) = value;
    for (auto const& [name, words] : some_words) words_of(block, 0, name) = words;
    auto const rows = rows_of(block, eight_rows().rows_per_station());
    REQUIRE(rows.size() == 2);
    auto const& row = rows[0];
    CHECK(row.station == 2);
    CHECK(row.combination == 1);
    CHECK(row.latitude_deg == 33.5);
    CHECK(row.longitude_deg == -102.25);
    CHECK(row.elevation_m == 640);
    CHECK(row.water_temperature_c == 14.5);
    CHECK(row.albedo == 0.21);
    CHECK(row.array_w == 3000);
    CHECK(row.daily_demand_m3 == 0.1);
    CHECK(row.winters == 50);
    CHECK(row.battery_kwh == std::array<double, 3>{4, 10, never});
    CHECK(row.name == "Saltbush Wells");
    CHECK(row.state == "NM");
    CHECK(row.file == "saltbush.csv");
    CHECK(row.remarks == "2 hours filled");
    CHECK(row.problem.empty());
}

// Rows 3 to 6 of the plan, counted from 0: the last of the first station, and three of the second.
TEST_CASE("a region's row knows its station and its combination wherever its block begins") {
    auto const rows = rows_of(empty_rows(3, 7), eight_rows().rows_per_station());
    REQUIRE(rows.size() == 4);
    CHECK(rows[0].station == 1);
    CHECK(rows[0].combination == 3);
    CHECK(rows[1].station == 2);
    CHECK(rows[1].combination == 0);
    CHECK(rows[2].combination == 1);
    CHECK(rows[3].station == 2);
    CHECK(rows[3].combination == 2);
}

TEST_CASE("a station that could not be run keeps its place and its words, and has no winters") {
    auto block = empty_rows(0, 2);
    number_of(block, 1, "latitude_deg") = -45;
    words_of(block, 1, "name") = "Faint";
    block.problems[1] = "the weather file has 8,000 hours";
    auto const rows = rows_of(block, eight_rows().rows_per_station());
    CHECK(rows[0].problem.empty());
    CHECK(rows[1].problem == "the weather file has 8,000 hours");
    CHECK(rows[1].name == "Faint");
    CHECK(rows[1].latitude_deg == -45);
    CHECK(rows[1].winters == 0);
    CHECK(std::isnan(rows[1].array_w));
    for (std::size_t share = 0; share < winter_shares.size(); ++share) {
        CHECK(!rows[1].served(share));
        CHECK(rows[1].why_not(share, 60) == "the weather file has 8,000 hours");
    }
    CHECK(rows[1].reason(60) == "the weather file has 8,000 hours");
}

TEST_CASE("a row of a region says for which winters the largest battery is not enough") {
    auto row = served_row();
    CHECK(row.reason(60).empty());
    for (std::size_t share = 0; share < 3; ++share) {
        CHECK(row.served(share));
        CHECK(row.why_not(share, 60).empty());
    }
    row.battery_kwh[2] = never;
    CHECK(row.reason(60) == "for 99 % of winters even 60 kWh, the largest battery asked, is not enough");
    CHECK(row.served(1));
    CHECK(row.why_not(1, 60).empty());
    CHECK(!row.served(2));
    CHECK(row.why_not(2, 60) == "even 60 kWh, the largest battery asked, is not enough");
    row.battery_kwh[1] = never;
    CHECK(row.reason(12.5) ==
          "for 95 % and 99 % of winters even 12.5 kWh, the largest battery asked, is not enough");
    row.battery_kwh[0] = never;
    CHECK(row.reason(60).starts_with("for 90 % and 95 % and 99 % of winters even 60 kWh"));
    // A battery that is not known does not serve.
    row.battery_kwh = {not_run, not_run, not_run};
    CHECK(!row.served(0));
}

TEST_CASE("the table of a region has a line for each row and share of winters") {
    RegionAnswer answer;
    answer.batteries_kwh = {4, 60};
    auto second = served_row();
    second.station = 4;
    second.battery_kwh = {12, never, never};
    auto third = served_row();
    third.station = 5;
    third.name = "Faint";
    third.problem = "no light";
    third.battery_kwh = {1, 2, 3};
    answer.rows = {served_row(), second, third};
    auto const table = region_table(answer);
    CHECK(table.name == "region");
    std::set<std::string> names;
    for (auto const& column : table.columns) {
        CAPTURE(column.name);
        CHECK(names.insert(column.name).second);
        CHECK(std::visit([](auto const& values) { return values.size(); }, column.values) == 9);
    }
    CHECK(names.size() == 16);
    auto const column = [&](std::string const& name) -> TableColumn const& {
        for (auto const& c : table.columns)
            if (c.name == name) return c;
        FAIL("no column " << name);
        return table.columns[0];
    };
    auto const number = [&](std::string const& name, std::size_t line) {
        return std::get<std::vector<double>>(column(name).values).at(line);
    };
    auto const words = [&](std::string const& name, std::size_t line) {
        return std::get<std::vector<std::string>>(column(name).values).at(line);
    };
    for (auto const& [name, value] : std::map<std::string, double>{{"station_number", 3},
                                                                   {"latitude_deg", 33.5},
                                                                   {"longitude_deg", -102.25},
                                                                   {"elevation_m", 640},
                                                                   {"water_temperature_c", 14.5},
                                                                   {"albedo", 0.21},
                                                                   {"array_power_w", 3000},
                                                                   {"daily_demand_m3", 0.1},
                                                                   {"winters", 50}})
        for (std::size_t line = 0; line < 3; ++line) {
            CAPTURE(name);
            CHECK(number(name, line) == value);
        }
    CHECK(words("station", 2) == "Saltbush Wells");
    CHECK(words("state", 2) == "NM");
    CHECK(words("file", 2) == "saltbush.csv");
    CHECK(words("remarks", 2) == "2 hours filled");
    double const shares[] = {0.90, 0.95, 0.99}, batteries[] = {4, 6, 10};
    for (std::size_t line = 0; line < 9; ++line) CHECK(number("share_of_winters", line) == shares[line % 3]);
    for (std::size_t line = 0; line < 3; ++line) {
        CHECK(number("battery_kwh", line) == batteries[line]);
        CHECK(words("reason", line).empty());
    }
    // The largest battery that was asked for is named.
    CHECK(number("station_number", 3) == 4);
    CHECK(number("battery_kwh", 3) == 12);
    CHECK(words("reason", 3).empty());
    for (std::size_t line = 4; line < 6; ++line) {
        CHECK(std::isnan(number("battery_kwh", line)));
        CHECK(words("reason", line) == "even 60 kWh, the largest battery asked, is not enough");
    }
    for (std::size_t line = 6; line < 9; ++line) {
        CHECK(words("station", line) == "Faint");
        CHECK(std::isnan(number("battery_kwh", line)));
        CHECK(words("reason", line) == "no light");
    }
}

TEST_CASE("the units of a region's columns are those of its figures") {
    RegionAnswer answer;
    answer.batteries_kwh = {4};
    auto const table = region_table(answer);
    for (auto const& figure : region_figures())
        for (auto const& column : table.columns)
            if (column.name == figure.name) {
                CAPTURE(column.name);
                CHECK(column.unit == figure.unit);
            }
    CHECK(std::get<std::vector<double>>(table.columns[0].values).empty());
}

TEST_CASE("the hash of a region's inputs covers the scenario, its parts and each weather file") {
    test::ScratchFolder const folder;
    auto const put = [&](std::string const& name, std::string const& bytes) {
        std::ofstream(folder / name) << bytes;
        return (folder / name).string();
    };
    std::vector<std::string> const stations{put("a.csv", "a"), put("b.csv", "b")};
    auto const text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const design = [&](std::string const& of) {
        return scenarios::read_design_text(of, HOLDWATER_SOURCE "/scenarios/x.toml");
    };
    auto const hash = [&](scenarios::DesignFile file) {
        return RegionRun(std::move(file), {}, stations, eight_rows(), {}).inputs_hash();
    };
    auto const before = hash(design(text));
    CHECK(hash(design(text)) == before);
    CHECK(hash(design(text + "# measured again\n")) != before);
    auto with_part = design(text);
    with_part.parts = {{.path = "mine.toml", .about = "", .currency = "", .parts = {{}}}};
    with_part.parts[0].parts[0].text = "[[battery]]\n";
    CHECK(hash(with_part) != before);
    put("b.csv", "changed");
    CHECK(hash(design(text)) != before);
    put("b.csv", "b");
    CHECK(hash(design(text)) == before);
    put("c.csv", "not a station");
    CHECK(hash(design(text)) == before);
}

TEST_SUITE_END();
