#include "sim/water/cistern_side.hpp"

#include <doctest/doctest.h>

#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("sim/cistern_side");

// 10 m3, of which 1 m3 cannot be drawn; the booster that ran dry comes back at 2 m3.
TEST_CASE("a booster that ran the cistern dry draws again from the resume level on, and not below it") {
    sim::CisternSystem s;
    s.cistern.capacity_m3 = 10;
    s.cistern.dead_m3 = 1;
    s.cistern.fill_start_m3 = 5;
    s.cistern.fill_stop_m3 = 9;
    s.resume_m3 = 2;
    sim::CisternSide cistern(s, 1.5, false);
    sim::HourRecord r;
    cistern.look();
    CHECK(cistern.has_water());  // it has not run dry yet
    cistern.advance(0, 0.5, r);
    cistern.look();
    CHECK_FALSE(cistern.has_water());
    cistern.advance(0.5, 0, r);  // 1.5 m3 again, rising
    CHECK(cistern.look());       // the well pump fills
    CHECK_FALSE(cistern.has_water());
    cistern.advance(0.5, 0, r);
    cistern.look();
    CHECK(cistern.has_water());
    cistern.advance(0, 0.5, r);  // falling
    cistern.look();
    CHECK(cistern.has_water());
}

// Half a milliliter below the 1 m3 that cannot be drawn, with 1 L/s coming in and 1 L/s drawn: the taps get
// all of it.
TEST_CASE("within rounding of the end of its usable volume a cistern counts as at it") {
    sim::CisternSystem s;
    s.cistern.capacity_m3 = 10;
    s.cistern.dead_m3 = 1;
    s.cistern.fill_start_m3 = 5;
    s.cistern.fill_stop_m3 = 9;
    s.gravity = true;
    sim::CisternSide cistern(s, 1 - 5e-7, false);
    sim::HourRecord r;
    CHECK(cistern.advance_by_gravity(1e-3, 1e-3, 3600, r) == Near{3.6, 1e-9, 0});
    CHECK(cistern.volume_m3() == Near{1 - 5e-7, 1e-9, 0});
}

// Below 5 m3 the float fills with or without sun, up to 6 m3 without.
TEST_CASE("filling without sun ends where the cistern holds enough, within half a milliliter") {
    sim::CisternSystem s;
    s.cistern.capacity_m3 = 10;
    s.cistern.dead_m3 = 1;
    s.cistern.fill_start_m3 = 5;
    s.cistern.fill_stop_m3 = 9;
    s.cistern.fill_enough_m3 = 6;
    s.rule = models::FillRule::surplus_or_low;
    s.sun_above_w = 1e9;
    s.battery_above_soc = 2;
    sim::CisternSide cistern(s, 5, false);
    cistern.judge_surplus({});
    CHECK(cistern.look());
    sim::HourRecord r;
    cistern.advance(0.5, 0, r);
    CHECK(cistern.look());  // 5.5 m3
    cistern.advance(0.5 - 5e-7, 0, r);
    REQUIRE(cistern.volume_m3() < 6);
    CHECK_FALSE(cistern.look());
}

TEST_SUITE_END();
