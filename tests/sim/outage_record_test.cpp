#include "sim/year/outage_record.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

TEST_SUITE_BEGIN("sim/outage_record");

// Twenty hours from hour 100 on with a demand of 1 m3 in each; short of 0.25 m3 in hours 101, 104, 106 to
// 109 and 115. The grid is down from 103.5 to 107.5 (hours 103 to 107), from 108 to 110 and from 112 to 113.
TEST_CASE("a shortage counts to the outage it began in until it ends, and to no other") {
    std::vector<sim::HourRecord> hours(20);
    for (auto& h : hours) h.water_demand_m3 = 1, h.battery_soc = 0.8;
    for (std::size_t const i : {1, 4, 6, 7, 8, 9, 15}) hours[i].water_short_m3 = 0.25;
    hours[2].battery_soc = 0.7, hours[5].battery_soc = 0.3;
    auto const records =
        sim::outage_records({{50, 60}, {103.5, 107.5}, {108, 110}, {112, 113}, {300, 310}}, {100, 20}, hours);
    REQUIRE(records.size() == 3);
    CHECK(records[0].start_h == 103.5);
    CHECK(records[0].length_h == 4);
    CHECK(records[0].shortage_hours == 5);  // 104, 106, 107, and 108 and 109, which go on from there
    CHECK(records[0].water_short_m3 == Near{5 * 0.25, 1e-12, 0});
    CHECK(records[0].first_short_h == 104);
    CHECK(records[0].soc_at_start == 0.7);  // at the end of hour 102
    CHECK(records[0].soc_min == 0.3);
    CHECK(records[1].shortage_hours == 0);
    CHECK(records[1].water_short_m3 == 0);
    CHECK(records[1].first_short_h == -1);
    // Hour 115 is short two hours after it, so the outage is not the cause.
    CHECK(records[2].shortage_hours == 0);
    // Short in its first hour alone, and again after it is over: the second time is another shortage.
    auto const again = sim::outage_records({{104, 106}}, {100, 20}, hours);
    REQUIRE(again.size() == 1);
    CHECK(again[0].shortage_hours == 1);
    // If there is no demand in between, it is the same shortage.
    hours[5].water_demand_m3 = 0;
    CHECK(sim::outage_records({{104, 106}}, {100, 20}, hours)[0].shortage_hours == 5);
}

// No battery and a demand of 0.05 m3 an hour; the tank holds S m3 at cut-out and 0.08 less at cut-in. So a
// tank lasts between (S - 0.08) / 0.05 and S / 0.05 hours, and the rest of the 40 h is short.
TEST_CASE(
    "a year says which outage left the water short, when and by how much, and events and figures agree") {
    auto s = plain_system();
    s.battery.capacity_kwh = 0;
    s.start_soc = 0;
    s.rules.backup = sim::Backup::grid;
    s.rules.backup_limit_w = 1e5;
    s.rules.transfer_below = 0.1;
    s.outages = {{1000, 1000.5}, {2000, 2040}, {5000.25, 5000.5}};
    auto const r = sim::simulate(s, steady_inputs(0, 0, 0.05, 0.5e-3), {});
    REQUIRE(r.outages.size() == 3);
    CHECK(r.outages[0].shortage_hours == 0);
    CHECK(r.outages[2].shortage_hours == 0);
    auto const& storm = r.outages[1];
    double const full_m3 = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    CHECK(storm.water_short_m3 >= 40 * 0.05 - full_m3 - 1e-9);
    CHECK(storm.water_short_m3 <= 40 * 0.05 - (full_m3 - 0.08) + 1e-9);
    CHECK(storm.water_short_m3 == Near{r.summary.water_short_m3, 1e-12, 0});
    CHECK(storm.shortage_hours == r.summary.shortage_hours);
    CHECK(storm.first_short_h == 2040 - storm.shortage_hours);
    auto const event = [&](sim::EventKind kind, double time_h) {
        auto const at = std::find_if(r.events.begin(), r.events.end(),
                                     [&](auto const& e) { return e.kind == kind && e.time_h == time_h; });
        return at == r.events.end() ? -1 : at->value;
    };
    CHECK(event(sim::EventKind::grid_failed, 2000) == 40);
    CHECK(event(sim::EventKind::grid_returned, 2040) == storm.water_short_m3);
    CHECK(event(sim::EventKind::grid_returned, 1000.5) == 0);
    CHECK(event(sim::EventKind::grid_failed, 5000.25) == 0.25);
    s.rules.backup = sim::Backup::none;
    CHECK(sim::simulate(s, steady_inputs(0, 0, 0.05, 0.5e-3), {}).outages.empty());
}

TEST_SUITE_END();
