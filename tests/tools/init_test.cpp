#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "models/electric/motor.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/settings/scenario.hpp"
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
        std::string hp, depth, people, backup, more;
    };
    for (auto const& [hp, depth, people, backup, more] :
         {Row{"0.5", "60 ft", "1", "none", ""}, Row{"0.75", "30 m", "2", "grid", "--wiring 2-wire"},
          Row{"1", "120 ft", "3", "generator", ""}, Row{"1.5", "0 ft", "4", "none", "--wiring 2-wire"},
          Row{"2", "300 ft", "5", "generator", "--switch '30/50 psi'"},
          Row{"3", "100 m", "8", "grid", "--units metric"},
          Row{"5", "10 m", "30", "generator", "--units metric --switch '2/4 bar'"},
          Row{"5", "250 m", "2", "none", ""}, Row{"0.5", "10 ft", "0", "none", "--units metric"},
          Row{"1", "80 ft", "4", "generator",
              "--generator '7 kW' --battery-place unheated --tank '2 x 85 gal'"},
          Row{"1.5", "50 m", "4", "generator", "--wiring 2-wire --units metric --ac '230 V 50 Hz'"},
          Row{"1", "40 m", "3", "none", "--switch '20/40 psi' --ac '120/240 V 60 Hz'"}}) {
        CAPTURE(more);
        CAPTURE(hp);
        CAPTURE(depth);
        ScratchFolder folder;
        auto const init = run_holdwater(folder, "init well.toml --weather " + demo_weather + " --pump-hp " +
                                                    hp + " --depth '" + depth + "' --people " + people +
                                                    " --backup " + backup + " " + more);
        CAPTURE(init.err);
        REQUIRE(init.exit_code == 0);
        auto const s = scenarios::read_scenario((folder / "well.toml").string());
        // The defaults of the starter give no warning; an unusual answer may.
        for (std::string const& warning : s.warnings) {
            CAPTURE(warning);
            CHECK((warning.starts_with("well.static_level") || warning.starts_with("demand.daily") ||
                   (warning.starts_with("tank.precharge") && more.find("2/4 bar") != std::string::npos)));
        }
        CHECK(s.motor.rated_power_w == Near{std::stod(hp) * 745.69987, 0.01, 0});
        // Written in whole gallons, or in steps of 5 L.
        CHECK(s.demand.daily_m3 == Near{std::stod(people) * 75 * 3.785411784e-3, 0.003, 0});
        // The pump does not need more power than the motor's service factor allows.
        double most_w = 0;
        for (auto const& point : s.pump.curve) most_w = std::max(most_w, point.power_w);
        CHECK(most_w <= s.motor.rated_power_w * s.motor.service_factor * 1.001);
        CHECK(most_w >= 0.5 * s.motor.rated_power_w);
        // Every template in it can be used as it is: without the #, options and search can be run.
        std::istringstream lines(test::file_text(folder / "well.toml"));
        std::string used;
        for (std::string line; std::getline(lines, line);)
            used +=
                (line.starts_with("#") && line.size() > 1 && line[1] != ' ' ? line.substr(1) : line) + "\n";
        CHECK(used.find("\n[prices]") != std::string::npos);
        CHECK(used.find("\n[[option]]") != std::string::npos);
        CHECK(used.find("\n[search.require]") != std::string::npos);
        std::ofstream(folder / "used.toml") << used;
        auto const compared = run_holdwater(folder, "compare used.toml --years 0 --json");
        CAPTURE(compared.err);
        CHECK(compared.exit_code == 0);
        CHECK(nlohmann::json::parse(compared.out)["designs"].size() == 3);
        auto const chosen = run_holdwater(folder, "size used.toml --json");
        CAPTURE(chosen.err);
        CHECK(chosen.exit_code <= 1);
        CHECK(nlohmann::json::parse(chosen.out)["combinations"] == 4);
        auto const run = run_holdwater(folder, "simulate well.toml --from 07-01 --days 4 --json");
        CAPTURE(run.err);
        REQUIRE(run.exit_code == 0);
        auto const json = nlohmann::json::parse(run.out);
        CHECK(json["demand_met_fraction"].get<double>() == Near{1, 1e-9, 0});
        CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
        auto const design_check = run_holdwater(folder, "check well.toml --json");
        REQUIRE(design_check.exit_code == 0);
        auto const checks = nlohmann::json::parse(design_check.out)["checks"];
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
    // Nothing is overwritten ...
    auto const again = run_holdwater(folder, line);
    CHECK(again.exit_code == 2);
    CHECK(again.err.find("sub/well.toml: is there already; give another name, or --force") == 0);
    // ... unless the user asks for it.
    auto const forced = run_holdwater(folder, line + " --force --json");
    CHECK(forced.exit_code == 0);
    CHECK(nlohmann::json::parse(forced.out)["weather"] == "sub/well-weather.csv");
    CHECK(test::file_text(folder / "sub/well-weather.csv") == csv);
    // There, summer is at the turn of the year.
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
          Row{"--latitude 80 --longitude 0", "--latitude: 80 is out of range; accepted: -65 to 65"},
          Row{"--latitude x --longitude 0", "--latitude: \"x\" is not a number"},
          Row{"--latitude 44 --longitude 0 --depth 120", "--depth: \"120\" has no unit"},
          Row{"--latitude 44 --longitude 0 --depth '900 m'", "--depth: 900 m is out of range"},
          Row{"--latitude 44 --longitude 0 --units imperial",
              "--units: \"imperial\" is not a choice; accepted: us, metric"},
          Row{"--latitude 44 --longitude 0 --wiring 4-wire",
              "--wiring: \"4-wire\" is not a choice; accepted: 2-wire, 3-wire"},
          Row{"--latitude 44 --longitude 0 --pump-hp 3 --wiring 2-wire",
              "a 2-wire motor is 1.5 hp (1.1 kW) or less"},
          Row{"--latitude 44 --longitude 0 --switch 40", "is not cut-in and cut-out"},
          Row{"--latitude 44 --longitude 0 --switch '60/40 psi'", "at least 5 psi (0.35 bar) above cut-in"},
          Row{"--latitude 44 --longitude 0 --switch '40/60 gal'",
              "--switch: \"60 gal\" is not the right kind"},
          Row{"--latitude 44 --longitude 0 --tank '85 psi'", "--tank: \"85 psi\" is not the right kind"},
          Row{"--latitude 44 --longitude 0 --tank '1.5 x 85 gal'", "number of tanks must be whole"},
          Row{"--latitude 44 --longitude 0 --generator '7 kW'", "--generator: needs --backup generator"},
          Row{"--latitude 44 --longitude 0 --battery-place barn", "accepted: heated, unheated"},
          Row{"--latitude 44 --longitude 0 --ac '230 V'", "is not volts and hertz"},
          Row{"--latitude 44 --longitude 0 --ac '120 V 60 Hz'", "120 V (for a 230 V motor) is out of range"},
          Row{"--latitude 44 --longitude 0 --pump-kw 0.8", "0.8 is not a usual size; accepted: 0.37, 0.55"},
          Row{"--latitude 44 --longitude 0 --pump-hp 0.5 --depth '600 ft'",
              "a 0.5 hp motor does not lift water from 600 ft to 60 psi; it does from "},
          Row{"--latitude 44 --longitude 0 --pump-hp 0.6", "--pump-hp"},
          Row{"--latitude 44 --longitude 0 --backup sun", "accepted: none, grid, generator"},
          Row{"--latitude 44 --longitude 0 --place \"$(printf 'a\\nb')\"", "--place: must be one line"},
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

TEST_CASE("metric answers are written as metric, with metric cables and the voltage and frequency given") {
    ScratchFolder folder;
    auto const init = run_holdwater(folder, "init m.toml --units metric --weather " + demo_weather +
                                                " --pump-kw 0.75 --depth '40 m' --backup generator");
    CAPTURE(init.err);
    REQUIRE(init.exit_code == 0);
    std::string const text = test::file_text(folder / "m.toml");
    for (auto const* const expected :
         {"rated_power          = \"0.75 kW\"", "static_level      = \"40 m\"", "cut_in    = \"2.8 bar\"",
          "cut_out   = \"4.1 bar\"", "precharge = \"2.6 bar\"", "size   = \"4 mm2\"",
          "dc_cable_size   = \"95 mm2\"", "output_voltage = \"230 V\"      # 50 Hz", "split_phase    = false",
          "rules     = \"IEC\"", "daily    = \"850 L/day\"", "volume    = \"300 L\"",
          "tap_flow = \"11 L/min\"", "those are of 60 Hz motors"}) {
        CAPTURE(expected);
        CHECK(text.find(expected) != std::string::npos);
    }
    for (auto const* const us : {" psi\"", " gal\"", " gpm\"", " ft\"", " hp\"", "AWG", "gal/day\""}) {
        CAPTURE(us);
        CHECK(text.find(us) == std::string::npos);
    }
    auto const s = scenarios::read_scenario((folder / "m.toml").string());
    CHECK(s.motor.rated_power_w == 750);
    CHECK(s.inverter.legs == 1);
    CHECK(s.inverter.output_v == 230);
    CHECK(init.out.find("--units us") == std::string::npos);
    // US answers stay in US units.
    REQUIRE(
        run_holdwater(folder, "init u.toml --weather " + demo_weather + " --backup generator").exit_code ==
        0);
    std::string const us_text = test::file_text(folder / "u.toml");
    for (auto const* const metric : {" bar\"", " L\"", "L/min", "L/h\"", " m\"", "mm2", " mm\""}) {
        CAPTURE(metric);
        CHECK(us_text.find(metric) == std::string::npos);
    }
}

TEST_CASE("a 2-wire motor gets its own start current, and it is said where that is from") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "init a.toml --wiring 2-wire --weather " + demo_weather).exit_code == 0);
    auto const s = scenarios::read_scenario((folder / "a.toml").string());
    CHECK(s.motor.wiring == models::MotorWiring::two_wire);
    CHECK(s.motor.locked_rotor_a == 48.7);
    CHECK(test::file_text(folder / "a.toml").find("of a 2-wire motor, from memory") != std::string::npos);
}

TEST_CASE("switch, tank, generator and the place of the battery are written as answered") {
    ScratchFolder folder;
    auto const init = run_holdwater(folder, "init a.toml --weather " + demo_weather +
                                                " --switch 30/50 --tank '2 x 44 gal' --backup generator "
                                                "--generator '5 kW' --battery-place unheated");
    CAPTURE(init.err);
    CHECK(init.exit_code == 0);
    auto const s = scenarios::read_scenario((folder / "a.toml").string());
    CHECK(s.tank.cut_in_kpa == Near{30 * 6.894757293168361, 1e-9, 0});
    CHECK(s.tank.cut_out_kpa == Near{50 * 6.894757293168361, 1e-9, 0});
    CHECK(s.tank.precharge_kpa == Near{28 * 6.894757293168361, 1e-9, 0});
    CHECK(s.tank.total_volume_m3 == Near{88 * 3.785411784e-3, 1e-12, 0});
    CHECK(s.generator->rated_power_w == 5000);
    CHECK(s.charger.dc_power_limit_w == 1000);  // what the start of the 1 hp motor leaves of it: 5 kW - 4 kW
    REQUIRE(s.battery_behavior.thermal);
    CHECK(s.battery_behavior.place_offset_k == 3);
    REQUIRE(run_holdwater(folder, "init b.toml --weather " + demo_weather).exit_code == 0);
    CHECK(!scenarios::read_scenario((folder / "b.toml").string()).battery_behavior.thermal);
}

namespace {

// script (1) gives the command a terminal; the answers, one a line, are typed into that.
test::CommandResult typed(ScratchFolder const& folder, std::string const& answers,
                          std::string const& arguments) {
    return run_shell(folder, "printf '%s\\n' " + answers + " | script -qec \"'" +
                                 std::string(HOLDWATER_COMMAND) + "' init " + arguments + "\" /dev/null");
}

}  // namespace

TEST_CASE("on a terminal it asks for what is not given") {
    ScratchFolder folder;
    auto const run =
        typed(folder, "'' 'Upper farm' '' 44 -114 '' 0.75 2-wire 30/50 '30 m' '' 2 generator '8' unheated ''",
              "asked.toml");
    CAPTURE(run.out);
    CHECK(run.out.find("Name of the place [My place]:") != std::string::npos);
    // Sized for this pump: 1.3 x 10 gpm x 1 min from 28 psi of charge.
    CHECK(run.out.find("Pressure tank, total volume (or such as 2 x 120 gal) [45 gal]:") !=
          std::string::npos);
    REQUIRE(std::filesystem::exists(folder / "asked.toml"));
    auto const s = scenarios::read_scenario((folder / "asked.toml").string());
    CHECK(s.place == "Upper farm");
    CHECK(s.motor.rated_power_w == Near{0.75 * 745.69987, 0.01, 0});
    CHECK(s.motor.locked_rotor_a == 40.7);
    CHECK(s.tank.cut_in_kpa == Near{30 * 6.894757293168361, 1e-9, 0});
    CHECK(s.rules.backup == scenarios::Backup::generator);
    CHECK(s.generator->rated_power_w == 8000);
    CHECK(s.battery_behavior.thermal.has_value());
    CHECK(s.lift.static_level_m == Near{30, 0.16, 0});  // written in whole feet
}

TEST_CASE(
    "a wrong answer is asked again, with what was wrong; a motor too small is asked again with the depth") {
    ScratchFolder folder;
    auto const run = typed(folder,
                           "imperial us 'Upper farm' nowhere.csv none 99 44 x -114 '' "
                           "0.6 0.5 4-wire 3-wire 60/40 40/60 '900 ft' "  // too deep for half a horsepower
                           "2 '' '' 400 lots '' many 2 sun generator 0 '' garage heated '' ",
                           "again.toml");
    CAPTURE(run.out);
    for (auto const* const said :
         {"\"imperial\" is not a choice; accepted: us, metric", "nowhere.csv", "99 is out of range",
          "\"x\" is not a number", "0.6 is not a usual size", "\"4-wire\" is not a choice", "above cut-in",
          "a 0.5 hp motor does not lift water from 900 ft to 60 psi", "\"lots\" does not start with a number",
          "\"many\" is not a number", "\"sun\" is not a choice", "0 kW is out of range",
          "\"garage\" is not a choice"}) {
        CAPTURE(said);
        CHECK(run.out.find(said) != std::string::npos);
    }
    REQUIRE(std::filesystem::exists(folder / "again.toml"));
    auto const s = scenarios::read_scenario((folder / "again.toml").string());
    CHECK(s.motor.rated_power_w == Near{2 * 745.69987, 0.01, 0});
    CHECK(s.lift.static_level_m == Near{400 * 0.3048, 1e-9, 0});
    // Answers that end before the questions do: nothing is written.
    auto const cut = typed(folder, "us 'Upper farm'", "cut.toml");
    CHECK(cut.out.find("the questions were not answered") != std::string::npos);
    CHECK(!std::filesystem::exists(folder / "cut.toml"));
}

TEST_SUITE_END();
