#include <doctest/doctest.h>

#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::CheckScenario;

namespace {

CheckScenario with_cutoff(std::string const& keys) {
    CheckScenario s;
    s.set("tank",
          "[tank]\nvolume = \"85 gal\"\ncut_in = \"40 psi\"\ncut_out = \"60 psi\"\nprecharge = \"38 psi\"\n" +
              keys);
    return s;
}

std::string cutoff_error(std::string const& keys) {
    try {
        (void)with_cutoff(keys).read();
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/low_pressure_cutoff");

TEST_CASE("by hand with hours or visits, or by itself") {
    CHECK(!with_cutoff("").read().cutoff);
    auto const home = with_cutoff(
                          "low_pressure_cutoff = \"30 psi\"\nattended_from = \"18:00\"\nattended_to = "
                          "\"07:00\"")
                          .read()
                          .cutoff;
    REQUIRE(home);
    CHECK(home->cutoff_kpa == Near{30 * 6.894757, 1e-4, 0});
    CHECK(home->by_hand);
    CHECK(home->reset_after_h == 0.5);
    CHECK(home->attended_from_h == 18);
    CHECK(home->attended_to_h == 31);
    CHECK(home->visit_every_h == 24);
    auto const cabin =
        with_cutoff("low_pressure_cutoff = \"30 psi\"\nvisit_every = \"1 week\"").read().cutoff;
    REQUIRE(cabin);
    CHECK(cabin->visit_every_h == 168);
    CHECK(cabin->attended_from_h == 12);
    CHECK(cabin->attended_to_h == 13);
    auto const itself =
        with_cutoff("low_pressure_cutoff = \"30 psi\"\nlow_pressure_reset = \"automatic\"").read().cutoff;
    REQUIRE(itself);
    CHECK(!itself->by_hand);
    CHECK(itself->reset_after_h == Near{1.0 / 12, 1e-12, 0});
}

TEST_CASE("what cannot be is refused with its key and what is accepted") {
    struct Row {
        std::string text, key, reason;
    };
    std::string const cutoff = "low_pressure_cutoff = \"30 psi\"\n";
    for (auto const& r : {
             Row{cutoff, "tank.low_pressure_cutoff", "needs someone: give attended_from"},
             Row{"low_pressure_cutoff = \"40 psi\"\nvisit_every = \"1 day\"", "tank.low_pressure_cutoff",
                 "must be below cut_in"},
             Row{"visit_every = \"72 h\"", "tank.visit_every", "needs low_pressure_cutoff"},
             Row{cutoff + "attended_from = \"08:00\"", "tank.attended_from", "give attended_from and"},
             Row{cutoff + "visit_every = \"2 h\"", "tank.visit_every", "out of range"},
             Row{cutoff + "low_pressure_reset = \"automatic\"\nvisit_every = \"72 h\"", "tank.visit_every",
                 "this one resets itself"},
             Row{cutoff + "low_pressure_reset = \"never\"", "tank.low_pressure_reset",
                 "accepted: by-hand, automatic"},
         }) {
        CAPTURE(r.text);
        std::string const error = cutoff_error(r.text);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

TEST_CASE("with a drive the message says why, what to leave out and what to give instead") {
    auto s = with_cutoff("low_pressure_cutoff = \"30 psi\"\nvisit_every = \"72 h\"");
    s.set("motor",
          "[motor]\nrated_power = \"1 hp\"\nrated_input = \"1250 W\"\nvolts = \"230 V\"\nphases = 3\n"
          "wiring = \"drive\"\nrunning_power_factor = 0.75\n[drive]\nefficiency = 0.95\n");
    auto const error = s.error();
    CAPTURE(error);
    for (auto const* part : {"tank.low_pressure_cutoff", "a drive holds the pressure by itself",
                             "leave it out", "visit_every", "give well.intake_depth"})
        CHECK(error.find(part) != std::string::npos);
}

TEST_SUITE_END();
