#include "scenarios/sections/read_wiring.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::CheckScenario;

namespace {

std::string error_of(std::string const& text) {
    CheckScenario s;
    s.set("wiring", text);
    return s.error();
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/read_wiring");

TEST_CASE("wiring arrives in SI, with the size's resistance unless another is given") {
    CheckScenario s;
    s.set(
        "wiring",
        "[wiring]\nsource_sag = 0.05\ndc_cable_size = \"2/0\"\ndc_cable_length = \"2 m\"\nbreaker = \"20 "
        "A\"\n"
        "[[cable]]\nname = \"yard\"\nlength = \"100 ft\"\nsize = \"10\"\nambient = \"104 degF\"\n"
        "[[cable]]\nlength = \"50 m\"\nsize = \"8\"\nresistance = \"0.8 ohm/kft\"\ninsulation = \"90 degC\"\n"
        "[provenance]\n\"motor.locked_rotor\" = \"table\"\n"
        "[assumed_range]\n\"tank.precharge\" = [\"20 psi\", \"38 psi\"]\n"
        "[[waiver]]\ncheck = \"breaker\"\nreason = \"fused disconnect\"");
    auto const read = s.read();
    auto const& w = read.wiring;
    REQUIRE(w.cables.size() == 2);
    CHECK(w.source_sag == Near{0.05, 1e-15, 0});
    CHECK(w.cables[0].length_m == Near{30.48, 1e-12, 0});
    // AWG 10, 1.24 ohm/kft: from memory, as models/conductor says.
    CHECK(w.cables[0].ohm_per_m == Near{1.24 / 304.8, 0, 1e-12});
    CHECK(w.cables[0].ambient_c == Near{40, 1e-9, 0});
    CHECK(w.cables[1].ohm_per_m == Near{0.8 / 304.8, 0, 1e-12});
    CHECK(w.cables[1].insulation == models::Insulation::c90);
    // AWG 2/0, 0.0967 ohm/kft, both conductors.
    CHECK(w.dc_ohm == Near{4 * 0.0967 / 304.8, 0, 1e-12});
    REQUIRE(read.provenance.size() == 2);
    CHECK(read.provenance[0].provenance == scenarios::Provenance::table);
    CHECK_FALSE(read.provenance[0].range);
    REQUIRE(read.provenance[1].range);
    CHECK(read.provenance[1].range->high == Near{38 * 6.894757293168361, 0, 1e-12});
    REQUIRE(read.waivers.size() == 1);
    CHECK(read.waivers[0].reason == "fused disconnect");
}

// 2 conductors x 1.5 m x 0.017241 x 1.02 x 1.21615 / 70 mm2 = 9.1659e-4 ohm; 2.5 mm2: 8.554798e-3 ohm/m (by
// hand in models/conductor).
TEST_CASE("cable sizes are taken in mm2 and in every spelling of AWG") {
    CheckScenario s;
    s.set("wiring",
          "[wiring]\ndc_cable_size = \"70 mm²\"\ndc_cable_length = \"1.5 m\"\ndc_cable_ampacity = \"200 A\"\n"
          "generator_output = \"3-wire\"\n"
          "[[cable]]\nlength = \"30 m\"\nsize = \"2.5 mm2\"\nampacity = \"21 A\"\n"
          "[[cable]]\nlength = \"30 m\"\nsize = \"4 mm²\"\nresistance = \"5 ohm/km\"\n"
          "[[cable]]\nlength = \"30 m\"\nsize = \"12 AWG\"\n[check]\nleast_autonomy_days = \"5 days\"");
    auto const read = s.read();
    auto const& w = read.wiring;
    REQUIRE(w.cables.size() == 3);
    CHECK(w.cables[0].size == "2.5 mm2");
    CHECK(w.cables[0].computed);
    CHECK(w.cables[0].ohm_per_m == Near{8.554798e-3, 5e-10, 0});
    CHECK(w.cables[0].ampacity_a == 21);
    CHECK_FALSE(w.cables[1].computed);
    CHECK(w.cables[1].ohm_per_m == Near{0.005, 0, 1e-12});
    CHECK(w.cables[2].size == "12");
    CHECK_FALSE(w.cables[2].computed);
    CHECK(w.dc_size == "70 mm2");
    CHECK(w.dc_ohm == Near{9.1659e-4, 5e-8, 0});
    CHECK(w.dc_ampacity_a == 200);
    CHECK(*w.generator_three_wire);
    CHECK(*read.design_check.least_autonomy_d == 5);
}

// By hand: 17.241 ohm mm2/km x (1 + 0.00393 x 20) x 1.02 / 4 mm2 = 4.742016 ohm/km at 40 degC (constants from
// memory, as models/conductor says).
TEST_CASE("a metric cable has the temperature of its conductor, and values have their sources") {
    CheckScenario s;
    s.set("wiring",
          "[wiring]\nbreaker = \"16 A\"\nbreaker_curve = \"C\"\nmotor_protection = \"9 A\"\n"
          "motor_protection_class = \"10A\"\ndc_cable_size = \"70 mm2\"\ndc_cable_length = \"1 m\"\n"
          "dc_cable_ampacity = \"250 A\"\ndc_cable_ampacity_source = \"data sheet\"\n"
          "[[cable]]\nlength = \"30 m\"\nsize = \"4 mm2\"\nconductor_temperature = \"40 degC\"\n"
          "ampacity = \"30 A\"\nampacity_source = \"national table 3\"\n[check]\nrun_drop = 0.04\n"
          "run_drop_source = \"motor manual\"");
    auto const read = s.read();
    auto const& w = read.wiring;
    CHECK(w.cables[0].ohm_per_m == Near{17.241e-3 * 1.0786 * 1.02 / 4, 0, 1e-12});
    CHECK(w.cables[0].ohm_per_m == Near{4.742016e-3, 5e-9, 0});
    CHECK(w.cables[0].ampacity_source == "national table 3");
    CHECK(w.breaker_curve == models::BreakerCurve::c);
    CHECK(w.motor_protection_a == 9);
    CHECK(w.trip_class == models::TripClass::c10a);
    CHECK(w.dc_ampacity_source == "data sheet");
    CHECK(w.dc_computed);
    CHECK(read.design_check.run_drop_source == "motor manual");
    CHECK(w.rules == scenarios::WiringRules::us);
}

TEST_CASE("what is wrong is named with key and reason") {
    struct Row {
        std::string text, key, reason;
    };
    std::string const cable = "[[cable]]\nlength = \"10 m\"\n";
    for (auto const& r : std::vector<Row>{
             {"[wiring]\nsource_sag = 0.7", "wiring.source_sag", "out of range"},
             {"[wiring]\nsource_sag = 0.1\nsource_resistance = \"0.2 ohm\"", "wiring.source_resistance",
              "not both"},
             {"[wiring]\nsag = 0.1", "wiring.sag", "no such key"},
             {"[wiring]\nbreaker = 20", "wiring.breaker", "has no unit"},
             {"[wiring]\ndc_cable_length = \"2 m\"", "wiring.dc_cable_length", "needs dc_cable_size"},
             {"[wiring]\naccepted_frequency = [\"63 Hz\", \"57 Hz\"]", "wiring.accepted_frequency",
              "a range"},
             {"[wiring]\ngenerator_frequency = [\"63 Hz\"]", "wiring.generator_frequency", "a list of 2"},
             {cable, "cable", "'size' is missing"},
             {cable + "size = \"10\"\nconductor_temperature = \"40 degC\"", "cable.conductor_temperature",
              "changes nothing"},
             {cable + "size = \"4 mm2\"\nampacity_source = \"a table\"", "cable.ampacity_source",
              "needs ampacity"},
             {cable + "size = \"4 mm2\"\nampacity = \"30 A\"\nampacity_source = \" \"",
              "cable.ampacity_source", "must say where"},
             {"[wiring]\nbreaker_curve = \"C\"", "wiring.breaker_curve", "needs breaker"},
             {"[wiring]\nbreaker = \"16 A\"\nbreaker_curve = \"K\"", "wiring.breaker_curve",
              "accepted: B, C, D"},
             {"[wiring]\nmotor_protection_class = \"20\"", "wiring.motor_protection_class",
              "needs motor_protection"},
             {"[check]\nrun_drop_source = \"a table\"", "check.run_drop_source", "needs run_drop"},
             {cable + "size = \"11\"", "cable.size", "is not one of 14 12 10"},
             {cable + "size = \"11\"", "cable.size", "nor a cross section such as 2.5 mm2"},
             {cable + "size = \"0.2 mm2\"", "cable.size", "is not a cross section of 0.5 to 1000 mm2"},
             {"[wiring]\ndc_cable_ampacity = \"200 A\"", "wiring.dc_cable_ampacity", "needs dc_cable_size"},
             {"[check]\nleast_autonomy_days = \"5 kWh\"", "check.least_autonomy_days",
              "a number of days such as 5 or \"5 days\""},
             {"[check]\nleast_autonomy_days = \"90 days\"", "check.least_autonomy_days",
              "90 days is out of range; accepted: 0 to 60 days"},
             {cable + "size = \"10\"\nmaterial = \"aluminium\"", "cable.material", "accepted: copper"},
             {cable + "size = \"10\"\ncurrent_carrying = 2.5", "cable.current_carrying", "whole number"},
             {"[[cable]]\nlength = \"9000 ft\"\nsize = \"10\"", "cable.length", "out of range"},
             {"[check]\nleast_motor_volts = 1.2", "check.least_motor_volts", "out of range"},
             {"[check]\nbattery_soc = 0.5\nresting_voltage = \"48 V\"", "check.resting_voltage", "not both"},
             {"[check]\nmeasured_start_on_inverter = \"yes\"", "check.measured_start_on_inverter",
              "accepted: not tried, succeeded, failed"},
             {"[provenance]\n\"motor.locked_rotor\" = \"guessed\"", "provenance.motor.locked_rotor",
              "accepted: nameplate, measured, table, assumed"},
             {"[provenance]\n\"motor.color\" = \"table\"", "provenance.motor.color", "no such key"},
             {"[provenance]\n\"motor.locked_rotor\" = \"nameplate\"\n[assumed_range]\n\"motor.locked_rotor\" "
              "= "
              "[\"25 A\", \"48 A\"]",
              "assumed_range.motor.locked_rotor", "[provenance] calls it \"nameplate\""},
             {"[assumed_range]\n\"motor.locked_rotor\" = [\"48 A\", \"25 A\"]",
              "assumed_range.motor.locked_rotor", "must be below the second"},
             {"[[waiver]]\ncheck = \"everything\"\nreason = \"hurry\"", "waiver.check",
              "is not a check; accepted: "},
             {"[[waiver]]\ncheck = \"breaker\"\nreason = \" \"", "waiver.reason", "must say why"},
         }) {
        CAPTURE(r.text);
        std::string const error = error_of(r.text);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

TEST_SUITE_END();
