#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const demo = HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml";

// The livestock demo with lines appended, in the folder, next to its weather.
void write_scenario(ScratchFolder const& folder, std::string const& lines) {
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::ofstream(folder / "a.toml") << test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml")
                                     << lines;
}

// The demo compared, once for all tests.
nlohmann::json const& demo_json() {
    static nlohmann::json const json = [] {
        ScratchFolder folder;
        auto const run = run_holdwater(folder, "compare '" + demo + "' --json --years 0");
        REQUIRE(run.exit_code == 0);
        return nlohmann::json::parse(run.out);
    }();
    return json;
}

nlohmann::json design(nlohmann::json const& all, std::string const& name) {
    for (auto const& d : all["designs"])
        if (d["name"] == name) return d;
    FAIL("no design " << name);
    return {};
}

}  // namespace

TEST_SUITE_BEGIN("tools/compare");

TEST_CASE("every figure is that of the option simulated alone") {
    ScratchFolder folder;
    auto const& json = demo_json();
    REQUIRE(json["designs"].size() == 4);
    for (auto const& d : json["designs"]) {
        std::string const name = d["name"];
        CAPTURE(name);
        auto const alone = run_holdwater(
            folder, "simulate --years 0 '" + demo + "' --option '" + name + "' --json --out x.h5");
        REQUIRE(alone.exit_code == 0);
        auto const year = nlohmann::json::parse(alone.out);
        for (char const* key : {"demand_met_fraction", "shortage_hours", "longest_shortage_h", "soc_min",
                                "generator_run_h", "generator_fuel_l", "grid_kwh"})
            CHECK(d[key] == year[key]);
        CHECK(d["starts_per_day"].get<double>() == Near{year["pump_starts"].get<double>() / 365, 0, 1e-15});
    }
    auto const period =
        run_holdwater(folder, "autonomy --period '" + demo +
                                  "' --option 'more battery' --worst --days 7 --no-backup --json");
    CHECK(design(json, "more battery")["site_period_held"] ==
          nlohmann::json::parse(period.out)["survival"][6]);
}

// By pencil, recomputed: annuity over 20 years at 4 % (1 - 1.04^-20)/0.04; batteries of 1500 at years 7 and
// 14; salvage of the last: 1 of its 7 years.
TEST_CASE("costs are the pencil's") {
    auto const& json = demo_json();
    double const annuity = (1 - std::pow(1.04, -20)) / 0.04;
    double const batteries = 1500 * (std::pow(1.04, -7) + std::pow(1.04, -14)),
                 left = 1500.0 / 7 * std::pow(1.04, -20);
    auto const base = design(json, "base design"), generator = design(json, "generator");
    CHECK(base["life_cycle_cost"].get<double>() == Near{6200 + 90 * annuity + batteries - left, 1e-6, 0});
    double const running =
        generator["generator_fuel_l"].get<double>() * 1.6 + generator["generator_run_h"].get<double>() * 0.5;
    CHECK(generator["life_cycle_cost"].get<double>() ==
          Near{8100 + (90 + running) * annuity + batteries - left, 1e-6, 0});
    double const water_m3 = 900 * 3.785411784e-3 * 365 * base["demand_met_fraction"].get<double>();
    CHECK(base["cost_per_m3"].get<double>() ==
          Near{base["life_cycle_cost"].get<double>() / annuity / water_m3, 0, 1e-6});
}

TEST_CASE("what comes first keeps the most water, and the best of a row is marked") {
    ScratchFolder folder;
    auto const& json = demo_json();
    auto const first = design(json, json["first"]);
    for (auto const& d : json["designs"])
        CHECK(first["shortage_hours"].get<double>() <= d["shortage_hours"].get<double>());
    CHECK(json["best"]["autonomy_days"] == nlohmann::json({"more battery"}));
    CHECK(json["best"]["purchase"] == nlohmann::json({"base design"}));
    CHECK(!json["best"].contains("grid_kwh"));  // the same for all
    auto const table = run_holdwater(folder, "compare '" + demo + "' --years 0").out;
    CHECK(table.find("First: generator.\nOrder: fewest hours short of water, then lowest cost.") !=
          std::string::npos);
    CHECK(table.find("  more battery: ") != std::string::npos);
    CHECK(table.find(" h more short of water") != std::string::npos);
    CHECK(table.find("\n  grid  ") == std::string::npos);
    auto const us = run_holdwater(folder, "compare '" + demo + "' --units us --options-only --years 0").out;
    CHECK(us.find("water, per 1,000 gal") != std::string::npos);
    CHECK(us.find("base design") == std::string::npos);
}

TEST_CASE("all options run through the same years and show their ranges") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "compare '" + demo + "' --years 6 --seed 4 --json --out c.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["years_note"].get<std::string>().find("6 made years like the weather file, seed 4") !=
          std::string::npos);
    CHECK(
        json["order"] ==
        "most winters without a shortage, then fewest hours short of water in a bad year (1 in 10), then in "
        "the typical year, then lowest cost");
    for (std::string const name : {"base design", "more array"}) {
        CAPTURE(name);
        std::string const option = name == "base design" ? "" : " --option '" + name + "'";
        auto const odds = nlohmann::json::parse(
            run_holdwater(folder, "years '" + demo + "'" + option + " --years 6 --seed 4 --json").out);
        auto const years = design(json, name)["years"];
        CHECK(years["years"] == 6);
        CHECK(years["held"] == odds["no_shortage"]["years"]);
        CHECK(years["shortage_hours"]["low"] == odds["figures"]["shortage_hours"]["low"]);
        CHECK(years["shortage_hours"]["high"] == odds["figures"]["shortage_hours"]["high"]);
        CHECK(design(json, name)["shortage_hours_one_in_ten"] ==
              odds["figures"]["shortage_hours"]["one_in_ten"]);
    }
    auto const table = run_holdwater(folder, "compare '" + demo + "' --years 6").out;
    for (std::string const text :
         {"hours short of water, 10-90 %", "demand met, 10-90 %", "generator, 10-90 %",
          "winters without a shortage", " of 6", "one mark a year: ", " h more short of water in a bad year",
          "Different in each year: weather."}) {
        CAPTURE(text);
        CHECK(table.find(text) != std::string::npos);
    }
    CHECK(sim::read_column((folder / "c.h5").string(), "designs", "shortage_hours").size() == 4);
}

// Cycle table alone: a battery of twice the size cycles half as deep and lasts longer.
// What [required] does not judge: 100 % of the battery instead of 80 %. The same with the battery judged as
// new, the other way round, and `simulate` has both.
TEST_CASE("with --detail the years held stand there for both ages of the battery") {
    ScratchFolder folder;
    auto const detailed =
        nlohmann::json::parse(run_holdwater(folder, "compare '" + demo + "' --years 12 --detail --json").out);
    auto const plain =
        nlohmann::json::parse(run_holdwater(folder, "compare '" + demo + "' --years 12 --json").out);
    for (auto const& d : detailed["designs"]) {
        std::string const name = d["name"];
        CAPTURE(name);
        CHECK(d["years_held"] == design(plain, name)["years_held"]);
        CHECK(design(plain, name).count("years_held_as_new") == 0);
        auto const alone = nlohmann::json::parse(
            run_holdwater(folder, "simulate '" + demo + "' --years 12 --option '" + name + "' --json").out);
        CHECK(d["years_held_as_new"] == alone["verdict"]["new"]["made"]["held"]);
        CHECK(d["years_held"] == alone["verdict"]["end_of_life"]["made"]["held"]);
    }
    auto const table = run_holdwater(folder, "compare '" + demo + "' --years 12 --detail").out;
    CHECK(table.find("\n    battery as it is now ") != std::string::npos);
}

TEST_CASE("batteries are replaced at the life the run reckons where the prices give none") {
    ScratchFolder folder;
    write_scenario(
        folder,
        "[battery.life]\ndepths = [0.1, 0.5]\ncycles = [6000, 900]\n[prices]\npurchase = 5000\nyears = "
        "20\ndiscount_rate = 0\nbattery_replacement = 1000\n"
        "[[option]]\nname = \"B\"\n\"battery.capacity\" = \"10 kWh\"\n");
    auto const run = run_holdwater(folder, "compare a.toml --years 0 --json");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    for (auto const& d : json["designs"]) {
        double const life = d["battery_life_y"];
        CHECK(life > 0);
        // At no interest every year of the 20 costs a share of a battery, the first one's is paid with the
        // purchase.
        CHECK(d["life_cycle_cost"].get<double>() == Near{5000 + 1000 * (20 / life - 1), 0, 1e-9});
        CHECK(d["replacement_cost"].get<double>() == Near{1000 * (20 / life - 1), 0, 1e-9});
    }
    CHECK(design(json, "B")["battery_life_y"] > design(json, "base design")["battery_life_y"]);
    auto const table = run_holdwater(folder, "compare a.toml --years 0").out;
    CHECK(table.find("battery lasts") != std::string::npos);
    CHECK(table.find("years longer") != std::string::npos);
}

TEST_CASE("without prices only what is physical is compared, and it says so") {
    ScratchFolder folder;
    write_scenario(folder,
                   "[[option]]\nname = \"B\"\n\"battery.capacity\" = \"8 kWh\"\n"
                   "[[option]]\nname = \"C\"\n\"battery.capacity\" = \"8 kWh\"\n");
    auto const run = run_holdwater(folder, "compare a.toml --years 0");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("Cost: not compared, there is no table [prices] for base design, B, C.") !=
          std::string::npos);
    CHECK(run.out.find("purchase") == std::string::npos);
    CHECK(run.out.find("First: B.\n") != std::string::npos);
    CHECK(run.out.find("  B: same water as \"C\", and the same in all that decides.") != std::string::npos);
    auto const json = nlohmann::json::parse(run_holdwater(folder, "compare a.toml --json --years 0").out);
    CHECK(!design(json, "B").contains("life_cycle_cost"));
}

TEST_CASE("prices over different years or in two currencies are not compared") {
    ScratchFolder folder;
    write_scenario(folder,
                   "[prices]\ncurrency = \"EUR\"\npurchase = 5000\nyears = 20\ndiscount_rate = 0.04\n"
                   "[[option]]\nname = \"B\"\n\"prices.years\" = 10\n");
    auto const run = run_holdwater(folder, "compare a.toml --years 0");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("Cost: not compared, the options differ in currency, years or discount rate.") !=
          std::string::npos);
}

TEST_CASE("what cannot be compared is refused in words") {
    for (auto const& [lines, message] : {
             std::pair<std::string, std::string>{"", "has no [[option]] to compare"},
             {"[[option]]\nname = \"B\"\n\"battery.capacity\" = \"8 kg\"\n",
              "option \"B\": key 'battery.capacity'"},
             {"[[option]]\nname = \"B\"\n\"weather.file\" = \"no.csv\"\n", "no.csv"},
             {"[prices]\npurchase = -1\n[[option]]\nname = \"B\"\n",
              "key 'prices.purchase': -1 is out of range"},
             {"[prices]\npurchase = 1\nyears = 20\ndiscount_rate = 0\nbattery_replacement = "
              "5\n[[option]]\nname "
              "= "
              "\"B\"\n",
              "the key 'battery_life_years' is missing"},
         }) {
        CAPTURE(lines);
        ScratchFolder folder;
        write_scenario(folder, lines);
        auto const run = run_holdwater(folder, "compare a.toml --years 0");
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
    }
    ScratchFolder folder;
    auto const unknown = run_holdwater(folder, "simulate --years 0 '" + demo + "' --option X");
    CHECK(unknown.exit_code == 2);
    CHECK(unknown.err.find("there is no option \"X\"; there are \"more battery\"") != std::string::npos);
    CHECK(run_holdwater(folder, "compare --help").out.find("Example:  holdwater compare ") !=
          std::string::npos);
}

TEST_SUITE_END();
