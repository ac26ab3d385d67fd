#include <doctest/doctest.h>

#include <filesystem>
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

std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'";
std::string const lists =
    " --vary 'battery.capacity=5 kWh,8 kWh,12 kWh' --vary 'array.rated_power=1.2 kW,2.4 kW' ";

}  // namespace

TEST_SUITE_BEGIN("tools/size");

TEST_CASE("the choice is the smallest that a sweep over the same lists shows to do") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "size " + well + lists + "--years 0 --require shortage_hours=40 --json --out all.h5");
    REQUIRE(run.exit_code == 0);
    CHECK(run.err == "");
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["all_run"] == true);
    CHECK(json["combinations"] == 6);
    REQUIRE(run_holdwater(folder, "sweep " + well + lists + "--out sweep.h5").exit_code == 0);
    auto const dry = sim::read_column((folder / "all.h5").string(), "combinations", "shortage_hours");
    auto const swept = sim::read_column((folder / "sweep.h5").string(), "sweep", "shortage_hours");
    CHECK(dry == swept);
    std::size_t first = 0;
    while (swept[first] > 40) ++first;
    CHECK(json["choice"]["shortage_hours"] == swept[first]);
    CHECK(json["choice"]["requirements"]["shortage_hours"]["holds"] == true);
    CHECK(json["binding"].size() == 1);
    CHECK(json["frontier"].size() >= 2);
}

// Battery against tank in one search: the options of the scenario are the values of one list. The sweep over
// the same lists has the same figures, and `compare` those of each option.
TEST_CASE("options are one list of a choice: a tank and a larger battery against each other") {
    std::string const store = "'" HOLDWATER_SOURCE "/scenarios/alder-flat-store.toml'";
    std::string const axes =
        " --vary 'option=small battery,base design,large battery' --vary 'array.rated_power=1.8 kW,2.4 kW' ";
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "size " + store + axes + "--years 0 " +
                                  "--require demand_met=0.9999 --require cloudy_days=4 --json --out all.h5");
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["combinations"] == 6);
    REQUIRE(run_holdwater(folder, "sweep " + store + axes + "--out sweep.h5").exit_code == 0);
    auto const path = (folder / "all.h5").string(), swept = (folder / "sweep.h5").string();
    for (auto const* figure : {"shortage_hours", "soc_min", "battery_out_kwh"})
        CHECK(sim::read_column(path, "combinations", figure) == sim::read_column(swept, "sweep", figure));
    auto const out_kwh = sim::read_column(swept, "sweep", "battery_out_kwh");
    REQUIRE(out_kwh.size() == 6);
    for (auto const& [option, row] : {std::pair<std::string, std::size_t>{"--option 'small battery'", 1},
                                      {"", 3},
                                      {"--option 'large battery'", 5}}) {
        CAPTURE(option);
        auto const one = run_holdwater(folder, "simulate --years 0 " + store + " --json " + option);
        REQUIRE(one.exit_code == 0);
        CHECK(nlohmann::json::parse(one.out)["battery_out_kwh"].get<double>() ==
              Near{out_kwh[row], 1e-9, 1e-9});
    }
    auto const unknown =
        run_holdwater(folder, "size " + store + " --years 0 --vary 'option=tank' --require demand_met=0.9");
    CHECK(unknown.exit_code == 2);
    CHECK((unknown.out + unknown.err).find("there is no option \"tank\"") != std::string::npos);
}

TEST_CASE("the table says what was chosen, what decides and how it was found") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "size " + well + lists + "--years 0 " +
                                  "--require shortage_hours=40 --all-up-to 0 --more-never-hurts "
                                  "battery.capacity --more-never-hurts array.rated_power --out all.csv");
    REQUIRE(run.exit_code == 0);
    for (std::string const text :
         {"Choice: battery.capacity", "the smallest of 6 combinations to meet the requirement", " were run",
          "What decides hours short of water (at most 40 h): without it battery.capacity 5 kWh, "
          "array.rated_power 1.2 "
          "kW would be enough",
          "One step less", "Size against demand met", "the first list counts most", "Row by row: all.csv"}) {
        CAPTURE(text);
        CHECK(test::one_line(run.out).find(text.substr(text.front() == ' ' ? 1 : 0)) != std::string::npos);
    }
    auto const csv = test::file_text(folder / "all.csv");
    CHECK(csv.starts_with("battery.capacity,array.rated_power,meets_all,water_demand_m3"));
}

// The shipped lists of batteries and inverters, every pair; their prices are the lists'.
TEST_CASE("parts are chosen by name and priced by their lists; pruned and whole agree") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/parts", folder / "parts");
    std::string const demo = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const battery = demo.find("[battery]"), inverter = demo.find("[inverter]"),
               after = demo.find("[[load]]");
    std::ofstream(folder / "a.toml") << "parts = [\"parts\"]\n"
                                     << demo.substr(0, battery)
                                     << "[battery]\npart = \"lithium-5\"\n[inverter]\npart = \"inverter-4\"\n"
                                     << demo.substr(after)
                                     << "[prices]\nbesides_parts = 1000\nyears = 20\ndiscount_rate = 0.04\n";
    CHECK(inverter < after);
    std::string const arguments =
        "size a.toml --years 0 --vary 'battery.part=lithium-5,lithium-10,lithium-15' --vary "
        "'inverter.part=inverter-4,inverter-6' --more-never-hurts battery.part "
        "--require "
        "shortage_hours=60 --json";
    auto const whole = run_holdwater(folder, arguments),
               pruned = run_holdwater(folder, arguments + " --all-up-to 0");
    std::string const err = whole.err;
    CAPTURE(err);
    REQUIRE(whole.exit_code <= 1);
    auto const all = nlohmann::json::parse(whole.out), few = nlohmann::json::parse(pruned.out);
    CHECK(all["choice"] == few["choice"]);
    auto const& cheapest = all["frontier"][0];
    CHECK(cheapest["values"]["battery.part"] == "lithium-5");
    CHECK(cheapest["purchase"].get<double>() > 1000 + 1500);
}

// If its lists have no prices, every size costs the same, and a larger battery would be called the cheapest.
TEST_CASE("where no list has a price sizes are ranked, and it is said; asked for money it is refused") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::ofstream(folder / "a.toml") << test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml")
                                     << "[prices]\npurchase = 6000\nyears = 20\ndiscount_rate = "
                                        "0.04\n[search.require]\nshortage_hours = 60\n";
    auto const axis = [](std::string const& name, std::string const& values, std::string const& price) {
        return "[[search.axis]]\nname = \"" + name + "\"\n" + values + "\n" + price;
    };
    std::string const battery = "\"battery.capacity\" = [\"4 kWh\", \"6 kWh\", \"8 kWh\"]",
                      array = "\"array.rated_power\" = [\"1.2 kW\", \"2.4 kW\"]";
    std::string const plain = test::file_text(folder / "a.toml");

    std::ofstream(folder / "a.toml") << plain << axis("battery", battery, "");
    auto const by_size = run_holdwater(folder, "size a.toml --years 0");
    REQUIRE(by_size.exit_code == 0);
    CHECK(by_size.out.find("the smallest of 3 combinations") != std::string::npos);
    CHECK(by_size.out.find("Ranked by size, not by cost: no list has a price (battery).") !=
          std::string::npos);
    CHECK(by_size.out.find("cheapest of") == std::string::npos);
    auto const refused = run_holdwater(folder, "size a.toml --years 0 --least cost");
    CHECK(refused.exit_code == 2);
    CHECK(refused.out.empty());
    CHECK(refused.err.find(
              "\"cost\" compares money, but no list has a price, so every size would cost the same") !=
          std::string::npos);

    std::ofstream(folder / "a.toml") << plain << axis("battery", battery, "price = [0, 900, 1800]\n")
                                     << axis("array", array, "");
    auto const json = nlohmann::json::parse(run_holdwater(folder, "size a.toml --years 0 --json").out);
    CHECK(json["least"] == "cheapest");
    REQUIRE(json["notes"].size() == 2);
    CHECK(json["notes"][0] == "No price is given in: array. Their values count as costing the same.");
    // 0.97 of 2.4 kW against the demo's controller of 1.4 kW.
    std::string const note = json["notes"][1];
    CHECK(note.starts_with(
        "The charge controller does not grow with the array: with array 2.4 kW the array could "
        "give 2.3 kW, the controller passes on 1.4 kW."));

    std::ofstream(folder / "a.toml") << plain << axis("battery", battery, "price = [0, 900, 1800]\n")
                                     << axis(
                                            "array",
                                            array + "\n\"controller.power_limit\" = [\"1.4 kW\", \"2.6 kW\"]",
                                            "price = [0, 500]\n");
    CHECK(nlohmann::json::parse(run_holdwater(folder, "size a.toml --years 0 --json").out)["notes"].empty());
}

TEST_CASE("nothing that does is exit 1, with the nearest") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder,
        "size " + well + " --years 0 --vary 'battery.capacity=4 kWh,5 kWh' --require shortage_hours=0");
    CHECK(run.exit_code == 1);
    CHECK(run.out.find("Choice: none.") != std::string::npos);
    CHECK(run.out.find("Nearest: battery.capacity 5 kWh") != std::string::npos);
    CHECK(run.out.find("MISSED") != std::string::npos);
    CHECK(run.err.find("requirement failed") != std::string::npos);
}

TEST_CASE("bad input is refused with what is accepted") {
    ScratchFolder folder;
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"--require shortage_hours=0",
                                                 "there is nothing to choose from"},
             {"--vary 'battery.capacity=4 kWh'", "nothing is required"},
             {lists + "--require sunshine=1", "no such key; accepted here: battery_years"},
             {lists + "--require demand_met=3", "out of range; accepted: 0 to 1"},
             {lists + "--require shortage_hours=0 --least cost", "no table [prices]"},
             {lists + "--require shortage_hours=0 --more-never-hurts tank",
              "there is no list 'tank'; there are battery.capacity"},
             {lists + "--require shortage_hours=0 --out x.txt", "must end in .csv or .h5"},
             {lists + "--require shortage_hours=0 --out no/x.csv", "there is no such folder"},
             {"--vary 'battery.size=4 kWh,5 kWh' --require shortage_hours=0", "no such key"},
             {lists + "--require shortage_hours=0 --option B", "there is no option \"B\""},
         }) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "size " + well + " --years 0 " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
    }
}

TEST_SUITE_END();
