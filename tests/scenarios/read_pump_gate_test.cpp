#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::CheckScenario;

namespace {

scenarios::Scenario read(std::string const& gate) {
    CheckScenario s;
    s.set("zz", gate);
    return s.read();
}

std::string error_of(std::string const& gate) {
    try {
        (void)read(gate);
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/pump_gate");

TEST_CASE("hours, a level, or both") {
    CHECK(!read("").pump_gate);
    auto const hours = read("[pump_gate]\nfrom = \"09:30\"\nuntil = \"15:00\"").pump_gate;
    REQUIRE(hours);
    CHECK(hours->from_h == 9.5);
    CHECK(hours->until_h == 15);
    CHECK(std::isinf(hours->battery_above));
    auto const level = read("[pump_gate]\nbattery_above = 0.6\nbattery_band = 0.05").pump_gate;
    REQUIRE(level);
    CHECK(level->battery_above == 0.6);
    CHECK(level->battery_band == 0.05);
    auto const surplus = read("[pump_gate]\nsurplus_above = \"1.2 kW\"").pump_gate;
    REQUIRE(surplus);
    CHECK(surplus->surplus_above_w == Near{1200, 1e-9, 0});
    CHECK(std::isinf(surplus->battery_above));
    auto const both =
        read("[pump_gate]\nfrom = \"22:00\"\nuntil = \"06:00\"\nbattery_above = 0.05").pump_gate;
    REQUIRE(both);
    CHECK(both->battery_band == 0.05);  // no further than to an empty battery
    // The minimum SOC of this battery is 0.1.
    auto const never = read("[pump_gate]\nbattery_above = 0.15").warnings;
    CHECK(std::any_of(never.begin(), never.end(),
                      [](auto const& w) { return w.find("pump_gate.battery_above") != std::string::npos; }));
}

TEST_CASE("what cannot be is refused with its key and what is accepted") {
    struct Row {
        std::string text, key, reason;
    };
    for (auto const& r : {
             Row{"", "pump_gate.battery_above", "when may the well pump run?"},
             Row{"from = \"09:00\"", "pump_gate.from", "needs from and until"},
             Row{"from = \"9\"\nuntil = \"15:00\"", "pump_gate.from", "must be a time of day"},
             Row{"from = \"09:00\"\nuntil = \"09:00\"", "pump_gate.until", "same as from"},
             Row{"battery_above = 1.5", "pump_gate.battery_above", "out of range"},
             Row{"battery_above = 0.5\nbattery_band = 0", "pump_gate.battery_band", "out of range"},
             Row{"battery_above = 0.3\nbattery_band = 0.4", "pump_gate.battery_band",
                 "at most battery_above"},
             Row{"from = \"09:00\"\nuntil = \"15:00\"\nbattery_band = 0.1", "pump_gate.battery_band",
                 "needs battery_above"},
             Row{"from = \"09:00\"\nuntill = \"15:00\"", "pump_gate", "until"},
         }) {
        CAPTURE(r.text);
        std::string const error = error_of("[pump_gate]\n" + r.text);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

TEST_SUITE_END();

TEST_SUITE_BEGIN("scenarios/provenance");

TEST_CASE("provenance of any key that has a value; a key without one is refused") {
    auto const s = read(
        "[provenance]\n\"inverter.idle\" = \"measured\"\n\"demand.daily\" = \"assumed\"\n"
        "[assumed_range]\n\"demand.daily\" = [\"150 gal/day\", \"400 gal/day\"]");
    REQUIRE(s.provenance.size() == 2);
    CHECK(s.provenance[0].input == "demand.daily");
    CHECK(s.provenance[0].value == "225 gal/day");
    CHECK(s.provenance[0].low == "150 gal/day");
    CHECK(!s.provenance[0].range);  // check does not try it
    CHECK(s.provenance[1].value == "40 W");
    CHECK(s.provenance[1].provenance == scenarios::Provenance::measured);
    for (auto const& [text, reason] : {
             std::pair<std::string, std::string>{"[provenance]\n\"inverter.color\" = \"table\"",
                                                 "inverter.color"},
             {"[provenance]\n\"inverter\" = \"table\"", "provenance.inverter"},
             {"[provenance]\n\"inverter.idle\" = \"guessed\"",
              "accepted: nameplate, measured, table, assumed"},
             {"[assumed_range]\n\"inverter.idle\" = \"20 W\"", "must be a list of two values"},
             {"[provenance]\n\"inverter.idle\" = \"measured\"\n[assumed_range]\n\"inverter.idle\" = [\"20 "
              "W\", \"60 W\"]",
              "calls it \"measured\""},
         }) {
        CAPTURE(text);
        std::string const error = error_of(text);
        CAPTURE(error);
        CHECK(error.find(reason) != std::string::npos);
    }
}

TEST_SUITE_END();
