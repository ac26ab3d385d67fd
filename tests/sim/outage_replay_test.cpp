#include "sim/outage_replay.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

// The grid first; a bank that carries so many hours of 100 W: capacity x 0.9 x 0.9 / 0.1.
sim::System grid_first(double carries_h) {
    auto s = plain_system();
    s.bank.capacity_kwh = carries_h * 0.1 / 0.81;
    s.start_soc = 1;
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.charge_to = 1;
    s.rules.backup_limit_w = 1e5;
    s.charger = {3000, 1, 1};
    s.rules.restart_above = 1;
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("sim/outage_replay");

// 0.02 m3 of the tank's 0.08 m3 are wanted each hour and 1.2 kW pump 0.6 L/s; with the pump's share the bank
// carries a little less than its hours of load. Outages well under and well over that.
TEST_CASE("outages the bank carries are kept, longer ones are not, and the gap is what is left over") {
    auto const s = grid_first(24);
    auto const in = steady_inputs(0, 90, 0.02, 2e-4);
    double const pump_w = 1200 * (0.02 / 3600 / 0.6e-3);
    double const carries_h = 24 * 100 / (90 + pump_w);
    auto const kept = sim::replay_outages(s, in, {{8, 0}, {12, 6}}, {0, 100, 364});
    CHECK(kept.outages == 6);
    CHECK(kept.kept == 6);
    CHECK(kept.worst_gap_h == 0);
    auto const mixed = sim::replay_outages(s, in, {{8, 0}, {72, 6}}, {0, 100, 364});
    CHECK(mixed.outages == 6);
    CHECK(mixed.kept == 3);
    CHECK(mixed.worst.hours == 72);
    // The tank gives up to four hours more.
    CHECK(mixed.worst_gap_h >= std::floor(72 - carries_h - 5));
    CHECK(mixed.worst_gap_h <= std::ceil(72 - carries_h + 1));
    CHECK(mixed.dry_hours == Near{3 * mixed.worst_gap_h, 3, 0});
}

// Topped up by sun alone the bank is low by morning: the same outage at its hour of day decides.
TEST_CASE("the bank stands at an outage's beginning where the year has it") {
    auto s = grid_first(12);
    s.rules.grid_first = false;
    s.rules.transfer_below = 0.2;
    s.rules.return_above = 0.4;
    s.rules.charge_to = 0.4;
    s.rules.restart_above = 0.3;
    auto in = steady_inputs(0, 90, 0.02, 2e-4);
    for (std::size_t h = 0; h < 8760; ++h)
        if (h % 24 >= 10 && h % 24 < 16) in.array_power_w[h] = 700;
    auto const evening = sim::replay_outages(s, in, {{10, 16}}, {50, 150, 250});
    auto const dawn = sim::replay_outages(s, in, {{10, 0}}, {50, 150, 250});
    CHECK(evening.kept == 3);
    CHECK(dawn.kept == 0);
}

TEST_CASE("a design's own outages, or the usual ones; none without a grid") {
    auto const own = sim::outages_to_try({{30, 34.5}, {1000, 1000}, {2000, 2010}});
    REQUIRE(own.size() == 2);
    CHECK(own[0].hours == Near{4.5, 1e-12, 0});
    CHECK(own[0].begins_h == Near{6, 1e-12, 0});
    CHECK(sim::outages_to_try({}).size() == 20);
    auto const none = sim::replay_outages(plain_system(), steady_inputs(0, 0, 0, 1e-3), {{8, 0}}, {0, 100});
    CHECK(none.outages == 0);
}

TEST_SUITE_END();
