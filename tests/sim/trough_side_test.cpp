#include "sim/water/trough_side.hpp"

#include <doctest/doctest.h>

#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("sim/trough_side");

// Full at 2 m3, the float opens at 1 m3 and, with power to spare, 0.2 m3 below full. The cattle drink 0.15 m3
// an hour: 1 m3 in 24,000 s, 0.2 m3 in 4,800 s.
TEST_CASE(
    "the float valve opens when the cattle have drunk the fill band if there is power to spare, else at its "
    "low level") {
    models::TroughParameters p;
    p.full_m3 = 2;
    p.open_m3 = 1;
    p.float_flow_m3_s = 1e-3;
    p.fill_battery_above = 0.9;
    p.fill_band_m3 = 0.2;
    for (bool const spare : {false, true}) {
        CAPTURE(spare);
        sim::TroughSide trough(p, 2);
        trough.begin_hour(0.15);
        sim::SupplyView supply;
        supply.soc = spare ? 0.95 : 0.85;
        trough.judge_surplus(supply);
        CHECK(trough.look() == 0);
        double const seconds = spare ? 4800 : 24000;
        CHECK(trough.event_s() == Near{seconds, 1e-6, 0});
        CHECK(trough.advance(0, seconds) == Near{spare ? 0.2 : 1.0, 1e-9, 0});
        CHECK(trough.look() == 1e-3);
        // It closes at full: 1 L/s against 0.15 m3 an hour.
        CHECK(trough.event_s() == Near{(2 - trough.volume_m3()) / (1e-3 - 0.15 / 3600), 1e-3, 0});
    }
    // A fill band that is not given is half of what lies between the levels: 0.5 m3.
    p.fill_band_m3 = 0;
    sim::TroughSide trough(p, 2);
    trough.begin_hour(0.15);
    sim::SupplyView supply;
    supply.soc = 0.95;
    trough.judge_surplus(supply);
    CHECK(trough.event_s() == Near{0.5 / 0.15 * 3600, 1e-6, 0});
}

TEST_SUITE_END();
