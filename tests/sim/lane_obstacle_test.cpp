#include "sim/batch/lane_obstacle.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <vector>

#include "sim/batch/batch.hpp"
#include "tests/sim/plain_system.hpp"

using namespace holdwater;
using test::plain_system, test::steady_inputs;

namespace {

// The obstacle of a plain design with one thing changed, and that batch runs it alone for it.
std::string obstacle(std::function<void(sim::System&)> const& change, double load_w = 100) {
    auto system = plain_system();
    system.battery.capacity_kwh = 10;
    change(system);
    sim::CheckedInputs const inputs(steady_inputs(500, load_w, 0.01, 0.2e-3));
    sim::Clock const clock;
    auto const digest = sim::digest_of(inputs, clock, true);
    return std::string(sim::lane_obstacle({&system, &digest}));
}

}  // namespace

TEST_SUITE_BEGIN("sim/lane_obstacle");

// lane_obstacle.cpp names every setting of system, rules, battery, inverter and inputs in structured
// bindings, so a new one does not compile until it is considered. Here: each setting that lanes do not carry
// is refused.
TEST_CASE("lanes refuse what they do not carry, and say what") {
    CHECK(obstacle([](sim::System&) {}) == "");
    CHECK(obstacle([](sim::System& s) { s.battery_behavior.store.kind = models::BatteryKind::two_well; }) ==
          "");
    // A kind of battery that the lanes do not know.
    CHECK(obstacle([](sim::System& s) {
              s.battery_behavior.store.kind = static_cast<models::BatteryKind>(2);
          }) == "a battery of another kind");
    CHECK(obstacle([](sim::System& s) { s.battery_behavior.store.acceptance_per_h = 1; }) ==
          "a charge that tapers");
    CHECK(obstacle([](sim::System& s) { s.battery_behavior.thermal.emplace(); }) ==
          "a battery with a temperature");
    CHECK(obstacle([](sim::System& s) { s.battery.capacity_kwh = 0; }) == "no battery");
    CHECK(obstacle([](sim::System& s) { s.carried_supply.emplace(); }) == "a start from an earlier run");
    CHECK(obstacle([](sim::System& s) { s.carried_water.emplace(); }) == "a start from an earlier run");
    CHECK(obstacle([](sim::System& s) { s.pump_gate.emplace(); }) == "a pump gate");
    CHECK(obstacle([](sim::System& s) { s.well.emplace(); }) == "a well with a level of its own");
    CHECK(obstacle([](sim::System& s) { s.cistern.emplace(); }) == "a cistern");
    CHECK(obstacle([](sim::System& s) { s.trough.emplace(); }) == "a trough");
    CHECK(obstacle([](sim::System& s) { s.cutoff.emplace(); }) == "a low-pressure cutoff");
    CHECK(obstacle([](sim::System& s) { s.pump_at_level.resize(1); }) == "a drive");
    CHECK(obstacle([](sim::System& s) { s.constant_pressure = true; }) == "a drive");
    auto const sleepy = [](sim::System& s) { s.inverter.search_w = 1, s.inverter.search_wake_w = 50; };
    CHECK(obstacle(sleepy, 10) == "an inverter that sleeps");
    CHECK(obstacle(sleepy, 100) == "");
    auto const grid_first = [](sim::System& s) { s.rules.grid_first = true; };
    CHECK(obstacle(grid_first) == "");  // there is none
    CHECK(obstacle([&](sim::System& s) {
              grid_first(s);
              s.rules.backup = sim::Backup::grid;
          }) == "the grid first");
    CHECK(obstacle([](sim::System& s) { s.rules.second.emplace(); }) == "");
    CHECK(obstacle([&](sim::System& s) {
              grid_first(s);
              s.rules.backup = sim::Backup::grid;
              s.rules.second.emplace();
          }) == "the grid first");
    // An hour in which one of these applies is run alone (sim/batch compares them).
    for (auto const& carried : std::vector<std::function<void(sim::System&)>>{
             [](sim::System& s) { s.rules.by_hand = true; },
             [](sim::System& s) {
                 s.rules.bypass = {{5, 9}};
             },
             [](sim::System& s) { s.rules.trip_on_overload = true; },
             [](sim::System& s) { s.inverter.legs = 3; }})
        CHECK(obstacle([&](sim::System& s) {
                  s.rules.backup = sim::Backup::grid;
                  carried(s);
              }) == "");
    // Prices of the grid change no hour of the run.
    CHECK(obstacle([](sim::System& s) {
              s.rules.backup = sim::Backup::grid;
              s.rules.tariff.emplace();
          }) == "");
}

TEST_SUITE_END();
