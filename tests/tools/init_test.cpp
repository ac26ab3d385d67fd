#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "models/motor.hpp"
#include "scenarios/design.hpp"
#include "scenarios/scenario.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string const demo_weather = HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv";

}  // namespace

TEST_SUITE_BEGIN("tools/init");

TEST_CASE("a starter for any answers is read without a warning of its own and runs at once") {
    struct Row {
        std::string hp, depth, people, backup;
    };
    for (auto const& [hp, depth, people, backup] :
         {Row{"0.5", "60 ft", "1", "none"}, Row{"0.75", "30 m", "2", "grid"},
          Row{"1", "120 ft", "3", "generator"}, Row{"1.5", "0 ft", "4", "none"},
          Row{"2", "300 ft", "5", "generator"}, Row{"3", "100 m", "8", "grid"},
          Row{"5", "10 m", "30", "generator"}, Row{"5", "250 m", "2", "none"},
          Row{"0.5", "10 ft", "0", "none"}}) {
        CAPTURE(hp);
        CAPTURE(depth);
        ScratchFolder folder;
        auto const init =
            run_holdwater(folder, "init well.toml --weather " + demo_weather + " --pump-hp " + hp +
                                      " --depth '" + depth + "' --people " + people + " --backup " + backup);
        CAPTURE(init.err);
        REQUIRE(init.exit_code == 0);
        auto const s = scenarios::read_scenario((folder / "well.toml").string());
        // What the starter puts in warns of nothing; an answer that is unusual may.
        for (std::string const& warning : s.warnings) {
            CAPTURE(warning);
            CHECK((warning.starts_with("well.static_level") || warning.starts_with("demand.daily")));
        }
        CHECK(s.motor.rated_power_w == Near{std::stod(hp) * 745.69987, 0.01, 0});
        CHECK(s.demand.daily_m3 == Near{std::stod(people) * 75 * 3.785411784e-3, 1e-9, 0});
        // The pump does not ask more of the motor than its service factor allows.
        double most_w = 0;
        for (auto const& point : s.pump.curve) most_w = std::max(most_w, point.power_w);
        CHECK(most_w <= s.motor.rated_power_w * s.motor.service_factor * 1.001);
        CHECK(most_w >= 0.5 * s.motor.rated_power_w);
        auto const run = run_holdwater(folder, "simulate well.toml --from 07-01 --days 4 --json");
        CAPTURE(run.err);
        REQUIRE(run.exit_code == 0);
        auto const json = nlohmann::json::parse(run.out);
        CHECK(json["water_kept_fraction"].get<double>() == Near{1, 1e-9, 0});
        CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
        auto const preflight = run_holdwater(folder, "preflight well.toml --json");
        REQUIRE(preflight.exit_code == 0);
        auto const checks = nlohmann::json::parse(preflight.out)["checks"];
        CHECK(checks.size() > 15);
        for (auto const& check : checks) {
            CAPTURE(check.dump());
            CHECK(check["verdict"].get<std::string>() != "FAIL");
        }
    }
}

TEST_CASE("without a weather file a year is made beside it, the same each time, and says that it is made") {
    ScratchFolder folder;
    std::string const line = "init sub/well.toml --latitude -33 --longitude 150 --place 'Dry \"Creek\"'";
    std::filesystem::create_directory(folder / "sub");
    auto const first = run_holdwater(folder, line);
    CAPTURE(first.err);
    REQUIRE(first.exit_code == 0);
    CHECK(first.out.find("no quote should rest on it") != std::string::npos);
    auto const csv = test::file_text(folder / "sub/well-weather.csv");
    auto const scenario = scenarios::read_scenario((folder / "sub/well.toml").string());
    CHECK(scenario.place == "Dry \"Creek\"");
    CHECK(scenario.plane.azimuth_deg == 0);  // south of the equator it faces north
    CHECK(run_holdwater(folder, "simulate sub/well.toml --days 3 --json").exit_code == 0);
    // Nothing is written over ...
    auto const again = run_holdwater(folder, line);
    CHECK(again.exit_code == 2);
    CHECK(again.err.find("sub/well.toml: is there already; give another name, or --force") == 0);
    // ... unless it is asked for.
    auto const forced = run_holdwater(folder, line + " --force --json");
    CHECK(forced.exit_code == 0);
    CHECK(nlohmann::json::parse(forced.out)["weather"] == "sub/well-weather.csv");
    CHECK(test::file_text(folder / "sub/well-weather.csv") == csv);
    // The summer is at the turn of the year there.
    auto const weather = run_holdwater(folder, "weather sub/well-weather.csv --json");
    auto const months = nlohmann::json::parse(weather.out)["months"];
    CHECK(months[0]["temperature_mean_c"].get<double>() > months[6]["temperature_mean_c"].get<double>() + 10);
}

TEST_CASE("where the figures come from is written down, and an assumed start can be UNKNOWN") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "init a.toml --weather " + demo_weather).exit_code == 0);
    auto const s = scenarios::read_scenario((folder / "a.toml").string());
    auto const of = [&](std::string const& input) {
        for (auto const& p : s.provenance)
            if (p.input == input) return p;
        FAIL("no provenance of " << input);
        return scenarios::InputProvenance{};
    };
    CHECK(of("motor.full_load").provenance == scenarios::Provenance::table);
    CHECK(of("motor.locked_rotor").provenance == scenarios::Provenance::assumed);
    REQUIRE(of("motor.locked_rotor").range);
    CHECK(of("motor.locked_rotor").range->low == Near{0.75 * 41.8, 0.06, 0});
    // Each reading of motor figures agrees with the model's defaults they are taken from.
    auto const usual = models::typical_submersible_motor(1, models::MotorWiring::three_wire);
    CHECK(s.motor.locked_rotor_a == usual.locked_rotor_a);
    CHECK(s.motor.input_slope == Near{usual.input_slope, 0, 1e-3});
}

TEST_CASE("bad answers are said with what is accepted, and nothing is written") {
    struct Row {
        std::string arguments, message;
    };
    for (auto const& [arguments, message] :
         {Row{"", "give --weather FILE, or --latitude and --longitude"},
          Row{"--latitude 44", "give --weather FILE, or --latitude and --longitude"},
          Row{"--latitude 80 --longitude 0", "--latitude 80 is out of range; accepted: -65 to 65"},
          Row{"--latitude 44 --longitude 0 --depth 120", "--depth: "},
          Row{"--latitude 44 --longitude 0 --depth '900 m'", "--depth (m) 900 is out of range"},
          Row{"--latitude 44 --longitude 0 --pump-hp 0.5 --depth '600 ft'",
              "a pump of 0.5 hp does not lift water from 600 ft (183 m) to 60 psi; it does from "},
          Row{"--latitude 44 --longitude 0 --pump-hp 0.6", "--pump-hp"},
          Row{"--latitude 44 --longitude 0 --backup sun", "accepted: none, grid, generator"},
          Row{"--latitude 44 --longitude 0 --place \"$(printf 'a\\nb')\"", "--place must be one line"},
          Row{"--weather nowhere.csv", "nowhere.csv"},
          Row{"no/such/folder/x.toml --latitude 44 --longitude 0", "cannot be written"}}) {
        CAPTURE(arguments);
        ScratchFolder folder;
        auto const run = run_holdwater(folder, "init " + arguments);
        CHECK(run.exit_code == 2);
        CAPTURE(run.err);
        CHECK(run.err.find(message) != std::string::npos);
        CHECK(std::filesystem::is_empty(folder.text()));
    }
}

TEST_CASE("on a terminal it asks for what is not given") {
    ScratchFolder folder;
    // script (1) gives it a terminal; the answers are typed into that.
    auto const run =
        run_shell(folder, "printf '%s\\n' 'Upper farm' '' 44 -114 0.75 '30 m' 2 generator | script -qec \"'" +
                              std::string(HOLDWATER_COMMAND) + "' init asked.toml\" /dev/null");
    CAPTURE(run.out);
    CHECK(run.out.find("Name of the place [My place]:") != std::string::npos);
    REQUIRE(std::filesystem::exists(folder / "asked.toml"));
    auto const s = scenarios::read_scenario((folder / "asked.toml").string());
    CHECK(s.place == "Upper farm");
    CHECK(s.motor.rated_power_w == Near{0.75 * 745.69987, 0.01, 0});
    CHECK(s.rules.backup == scenarios::Backup::generator);
    CHECK(s.lift.static_level_m == Near{30, 0.16, 0});  // written in whole feet
}

TEST_SUITE_END();
