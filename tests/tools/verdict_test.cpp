// One design has one verdict, whichever command gives it; and what is said of the years.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using holdwater::test::file_text, holdwater::test::run_holdwater, holdwater::test::ScratchFolder;
using nlohmann::json;

namespace {

std::string const demo = HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml";

json answer(ScratchFolder const& folder, std::string const& arguments) {
    CAPTURE(arguments);
    auto const run = run_holdwater(folder, arguments + " --json");
    REQUIRE_MESSAGE(run.exit_code == 0, run.err);
    return json::parse(run.out);
}

// The demo in the folder, with this text at its end.
void write_demo(ScratchFolder const& folder, std::string const& more) {
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::ofstream(folder / "a.toml") << file_text(demo) << more;
}

}  // namespace

TEST_SUITE_BEGIN("tools/verdict");

TEST_CASE("every command gives a design the same verdict") {
    ScratchFolder folder;
    write_demo(folder, "\n[required]\nhours_short_allowed = \"100 h\"\nlongest_shortage_limit = \"60 h\"\n");
    auto const simulated = answer(folder, "simulate a.toml --years 8")["verdict"];
    auto const& verdict = simulated["end_of_life"]["made"];
    // With what is allowed more years hold than have no shortage at all.
    auto const dry = verdict["hours_short"].get<std::vector<double>>();
    CHECK(verdict["held"] == std::count_if(dry.begin(), dry.end(), [](double h) { return h <= 100; }));
    CHECK(std::count(dry.begin(), dry.end(), 0.0) < verdict["held"].get<int>());
    auto const equal = [](json const& other, json const& expected) {
        for (auto const* key : {"years", "held", "held_low", "held_high", "needed", "met", "limit_met",
                                "shortage_hours_one_in_ten", "worst_shortage_hours", "hours_short"})
            CHECK_MESSAGE(other.at(key) == expected.at(key), key);
    };
    auto const same = [&](json const& other) { equal(other, verdict); };
    same(answer(folder, "compare a.toml --years 8")["designs"][0]["years"]);
    auto const sensitivity =
        answer(folder, "sensitivity a.toml --years 8 --input \"inverter.idle=20 W,60 W\"");
    same(sensitivity["base_design"]["years"]["made"]);
    equal(sensitivity["base_design_at_other_age"]["made"], simulated["new"]["made"]);
    CHECK(simulated["new"]["made"]["hours_short"] != verdict["hours_short"]);
    auto const report = answer(folder, "report a.toml --years 8");
    same(report["figures"]["years"]["verdict"]["end_of_life"]["made"]);
    std::string const note = report["answer"]["years"]["note"];
    CHECK(note.find("and no shortage above 60 h") != std::string::npos);
    CHECK(report["answer"]["asked"][0]["wanted"].get<std::string>().find("none above 60 h") !=
          std::string::npos);
    // No combination may be good enough: exit code 1, and the nearest one is shown.
    auto const sized = json::parse(
        run_holdwater(folder,
                      "size a.toml --years 8 --json --require demand_met=0.5 --vary battery.capacity='5 kWh'")
            .out);
    same(sized["choice"].is_null() ? sized["nearest"]["years"] : sized["choice"]["years"]);
    // The worst year is the one that is plotted, with its date.
    CHECK(simulated["worst"]["longest_shortage_h"].get<double>() <=
          verdict["worst_shortage_hours"].get<double>());
    CHECK(report["charts"]["year"]["short"].size() == verdict["worst_shortage_hours"].get<std::size_t>());
}

TEST_CASE("years that cannot be run are left out, and said") {
    ScratchFolder folder;
    std::string const years = HOLDWATER_SHARED "/weather/years/";
    if (!std::filesystem::exists(years)) {
        std::cout << "SKIPPED recorded years: not found below HOLDWATER_SHARED\n";
        return;
    }
    std::string const record = " --temperature-file " + years + "724915TY.csv --weather " + years +
                               "724915_2000_solar.csv " + years + "724915_2002_solar.csv";
    auto const run = run_holdwater(folder, "compare '" + demo + "' --years 4" + record);
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("No recorded year by SUNY light could be run: a year needs two consecutive") !=
          std::string::npos);
    // Without made years the choice is made on the recorded ones.
    std::string const chain = " --temperature-file " + years + "724915TY.csv --weather " + years +
                              "724915_2000_solar.csv " + years + "724915_2001_solar.csv";
    auto const sized = answer(
        folder, "size '" + demo +
                    "' --years 0 --require demand_met=0.2 --vary battery.capacity='500 kWh' --least size" +
                    chain);
    CHECK(sized["years"] == 1);
    CHECK(sized["recorded"].size() == 1);  // the other light
}

TEST_CASE("a command that does not exist is answered with the nearest one") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "simulat a.toml");
    CHECK(run.exit_code == 2);
    CHECK(run.err.find("\"simulat\" is not a command; did you mean simulate?") != std::string::npos);
    auto const last = run_holdwater(folder, "simulate --weather a.csv b.csv '" + demo + "'");
    CHECK(last.exit_code == 2);
    CHECK(last.err.find("Put SCENARIO before --weather") != std::string::npos);
}

TEST_CASE("no line of an answer is wider than 100 columns") {
    ScratchFolder folder;
    std::vector<std::string> const commands{
        "simulate '" + demo + "' --years 6",
        "compare '" + demo + "' --years 6",
        "autonomy '" + demo + "'",
        "check '" + demo + "'",
        "autonomy '" + demo + "' --period --days 5",
        "years '" + demo + "' --years 6",
        "sensitivity '" + demo + "' --years 6 --input \"inverter.idle=20 W,60 W\"",
        "report '" + demo + "' --years 6",
        "size '" + demo + "' --years 6 --require demand_met=0.5 --vary 'battery.capacity=5 kWh,8 kWh'",
        "simulate '" HOLDWATER_SOURCE "/scenarios/tamarack-gulch-lead-acid.toml' --years 6"};
    for (auto const& arguments : commands) {
        auto const run = run_holdwater(folder, arguments);
        std::istringstream lines(run.out);
        for (std::string line; std::getline(lines, line);)
            CHECK_MESSAGE(
                static_cast<std::ptrdiff_t>(line.size()) <=
                    100 + std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) == 0x80; }),
                arguments << ": " << line);
    }
}

// The demo is a finished design: it keeps the promise of its [required], 48 of its 50 made winters, and
// prints metric.
TEST_CASE("the farm with 40 cattle holds over its made winters") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "simulate '" HOLDWATER_SOURCE "/scenarios/hollerbrook-cattle.toml' --json");
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    auto const verdict = nlohmann::json::parse(run.out)["verdict"]["end_of_life"]["made"];
    CHECK(verdict["years"] == 50);
    CHECK(verdict["needed"] == 48);
    CHECK(verdict["held"].get<int>() >= 48);
    CHECK(verdict["met"] == true);
}

TEST_SUITE_END();
