#include "sim/autonomy/outage_replay.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

// The grid first; a battery that carries so many hours of 100 W: capacity x 0.9 x 0.9 / 0.1.
sim::System grid_first(double carries_h) {
    auto s = plain_system();
    s.battery.capacity_kwh = carries_h * 0.1 / 0.81;
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

// The demand is 0.02 m3 of the tank's 0.08 m3 each hour, and 1.2 kW pump 0.6 L/s; with the pump's share the
// battery carries a little less than its hours of load. Outages well below and well above that.
TEST_CASE("outages the battery carries are kept, longer ones are not, and the gap is what is left over") {
    auto const s = grid_first(24);
    auto const in = steady_inputs(0, 90, 0.02, 2e-4);
    double const pump_w = 1200 * (0.02 / 3600 / 0.6e-3);
    double const carries_h = 24 * 100 / (90 + pump_w);
    auto const kept = sim::replay_outages(s, in, {{8, 0}, {12, 6}}, {0, 100, 364});
    REQUIRE(kept.size() == 2);
    for (auto const& length : kept) {
        CHECK(length.tried == 3);
        CHECK(length.kept == 3);
        CHECK(length.worst_gap_h == 0);
        CHECK(length.worst_short_m3 == 0);
    }
    auto const mixed = sim::replay_outages(s, in, {{8, 0}, {72, 6}}, {0, 100, 364});
    REQUIRE(mixed.size() == 2);
    CHECK(mixed[0].hours == 72);  // the worst comes first
    CHECK(mixed[0].kept == 0);
    CHECK(mixed[1].hours == 8);
    CHECK(mixed[1].kept == 3);
    // The tank supplies up to four hours more.
    CHECK(mixed[0].worst_gap_h >= std::floor(72 - carries_h - 5));
    CHECK(mixed[0].worst_gap_h <= std::ceil(72 - carries_h + 1));
    // Every hour of the shortage except the first lacks the hour's 0.02 m3.
    CHECK(mixed[0].worst_short_m3 > 0.02 * (mixed[0].worst_gap_h - 1) - 1e-9);
    CHECK(mixed[0].worst_short_m3 <= 0.02 * mixed[0].worst_gap_h + 1e-9);
    CHECK(std::fmod(mixed[0].worst_start_h, 24) == 6);
    // It begins when battery and tank are empty, and lasts until the end of the outage.
    CHECK(mixed[0].worst_first_short_h == mixed[0].worst_start_h + 72 - mixed[0].worst_gap_h);
}

// Fifty days at -20 deg C, then 25: a battery that follows slowly still has half of its capacity below reach
// when an outage begins on the first warm day, and does not carry 20 h of the 24 that it carries warm.
TEST_CASE("an outage begins with the temperature that the battery has in its own year") {
    auto s = grid_first(24);
    s.battery_behavior.thermal = models::BatteryThermalParameters{1000};
    s.battery_behavior.capacity_at = {{-20, 0.5}, {25, 1}};
    auto in = steady_inputs(0, 90, 0.02, 2e-4);
    in.ambient_c.assign(in.load_w.size(), 25);
    std::fill_n(in.ambient_c.edit().begin(), 24 * 50, -20.0);
    auto const cold = sim::replay_outages(s, in, {{20, 6}}, {50});
    REQUIRE(cold.size() == 1);
    CHECK(cold[0].kept == 0);
    s.battery_behavior.thermal = models::BatteryThermalParameters{1};
    CHECK(sim::replay_outages(s, in, {{20, 6}}, {51})[0].kept == 1);
}

// The storm as before; with ten short outages beside it, 30 of all 33 starts, 91 %, have no shortage, and
// that figure says nothing about the storm: 0 of its 3 starts. The old replay gave {33 tried, 30 kept}.
TEST_CASE("one storm of 84 h reads the same whether ten outages of 2 h stand beside it or not") {
    auto const s = grid_first(24);
    auto const in = steady_inputs(0, 90, 0.02, 2e-4);
    std::vector<sim::OutageToTry> listed{{84, 18}};
    auto const alone = sim::replay_outages(s, in, listed, {0, 100, 300});
    for (int i = 0; i < 10; ++i) listed.push_back({2, 2. * i});
    auto const beside = sim::replay_outages(s, in, listed, {0, 100, 300});
    REQUIRE(alone.size() == 1);
    REQUIRE(beside.size() == 2);
    CHECK(alone[0].kept == 0);
    CHECK(beside[0].hours == 84);
    CHECK(beside[0].listed == 1);
    CHECK(beside[0].tried == 3);
    CHECK(beside[0].kept == 0);
    CHECK(beside[0].worst_gap_h == alone[0].worst_gap_h);
    CHECK(beside[0].worst_short_m3 == alone[0].worst_short_m3);
    CHECK(beside[1].hours == 2);
    CHECK(beside[1].listed == 10);
    CHECK(beside[1].tried == 30);
    CHECK(beside[1].kept == 30);
}

// Charged by the sun alone, the battery is low by morning: the hour of the same outage decides.
TEST_CASE("the battery stands at an outage's beginning where the year has it") {
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
    CHECK(evening.at(0).kept == 3);
    CHECK(dawn.at(0).kept == 0);
}

// A cistern that was emptied in the days before begins as those days left it. 0.5 m3 are drawn in every hour,
// the filling gives 0.1 m3 an hour and never stops: 30 m3 last 30 / 0.4 = 75 h of the year. An outage on day
// 10 finds it empty, one on day 0 full.
TEST_CASE("cistern and troughs stand at an outage's beginning where the year has them") {
    auto s = grid_first(1000);
    sim::CisternSystem c;
    c.cistern.capacity_m3 = 40;
    c.cistern.fill_start_m3 = 30;
    c.cistern.fill_stop_m3 = 31;
    c.start_m3 = 30;
    c.resume_m3 = 0.1;
    c.gravity = true;
    c.filling = {{0.1 / 3600, 100}};
    s.cistern = c;
    auto const in = steady_inputs(0, 0, 0.5, 1e-3);
    CHECK(sim::replay_outages(s, in, {{8, 0}}, {0}).at(0).kept == 1);
    CHECK(sim::replay_outages(s, in, {{8, 0}}, {10}).at(0).kept == 0);
}

TEST_CASE("a design's own outages, or the usual ones; none without a grid") {
    auto const own = sim::outages_to_try({{30, 34.5}, {1000, 1000}, {2000, 2010}});
    REQUIRE(own.size() == 2);
    CHECK(own[0].hours == Near{4.5, 1e-12, 0});
    CHECK(own[0].begins_h == Near{6, 1e-12, 0});
    CHECK(sim::outages_to_try({}).size() == 20);
    CHECK(sim::replay_outages(plain_system(), steady_inputs(0, 0, 0, 1e-3), {{8, 0}}, {0, 100}).empty());
}

// Smaller loads around the second date: the battery carries longer there, so its shortage is shorter.
TEST_CASE("the worst start date is that of the longest shortage, in whatever order the dates are tried") {
    auto const s = grid_first(24);
    auto in = steady_inputs(0, 90, 0.02, 2e-4);
    for (std::size_t h = 24 * 195; h < 24 * 210; ++h) in.load_w[h] = 60;
    auto const first = sim::replay_outages(s, in, {{72, 6}}, {100})[0],
               second = sim::replay_outages(s, in, {{72, 6}}, {200})[0];
    REQUIRE(first.worst_gap_h > second.worst_gap_h);
    REQUIRE(second.worst_gap_h > 0);
    for (auto const& days : {std::vector{100, 200}, {200, 100}}) {
        auto const both = sim::replay_outages(s, in, {{72, 6}}, days)[0];
        CHECK(both.worst_gap_h == first.worst_gap_h);
        CHECK(both.worst_start_h == first.worst_start_h);
    }
}

TEST_SUITE_END();
