#include "sim/water/well_side.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

namespace {

// Static level 10 m, bands of 2 m down to 16 m, 1 L/s for each meter of drawdown.
sim::WellSystem well() {
    sim::WellSystem w;
    w.casing.emplace();
    w.casing->static_level_m.fill(10);
    w.casing->intake_depth_m = 20;
    w.casing->specific_capacity_m2_s = 1e-3;
    w.band_edges_m = {10, 12, 14, 16};
    return w;
}

}  // namespace

TEST_SUITE_BEGIN("sim/well_side");

// At 13 m the pump has the curve of the band from 12 to 14 m. It keeps it until the level is half a band
// above that, at 11 m. With the pump at no flow the drawdown decays from 3 m to 1 m with the time constant
// casing area / specific capacity: tau ln 3. At 5 L/s it grows towards 5 m and reaches 4 m, at 14 m: tau ln
// ((5 - 3) / (5 - 4)).
TEST_CASE("a pump keeps its curve until the level has left the band, by half a band upward") {
    auto const w = well();
    sim::CarriedWell carried;
    carried.level_m = 13;
    sim::WellSide side(w, &carried);
    side.begin_hour(0);
    bool tripped = false;
    REQUIRE(side.look(false, tripped));
    REQUIRE(side.curve() == 1);
    double const tau_s = 3.14159265 / 4 * 0.1524 * 0.1524 / 1e-3;
    CHECK(side.event_s(true, 0) == Near{tau_s * std::log(3.0), 0, 1e-6});
    CHECK(side.event_s(true, 5e-3) == Near{tau_s * std::log(2.0), 0, 1e-6});
    sim::HourRecord r;
    side.advance(0, tau_s * std::log(3.0), r);
    CHECK(side.depth_m() == Near{11, 1e-6, 0});
    CHECK(side.look(true, tripped));
    CHECK(side.curve() == 0);
    CHECK_FALSE(tripped);
}

// The aquifer remembers each day's mean flow: 8.64 m3 in a day are 0.1 L/s.
TEST_CASE("a well carries the flow of the day that ended to the next run") {
    auto w = well();
    sim::HourRecord r;
    {
        sim::WellSide side(w, nullptr);
        side.begin_hour(0);
        side.advance(8.64, 3600, r);
        CHECK(side.carried()->day_flow_m3_s.empty());  // without an aquifer nothing is remembered
    }
    w.aquifer.emplace();
    w.aquifer->transmissivity_m2_s = 1e-4;
    w.aquifer->storativity = 1e-3;
    sim::WellSide side(w, nullptr);
    side.begin_hour(0);
    side.advance(8.64, 3600, r);
    for (int hour = 1; hour < 24; ++hour) side.begin_hour(hour);
    auto const carried = *side.carried();
    REQUIRE(carried.day_flow_m3_s.size() == 1);
    CHECK(carried.day_flow_m3_s[0] == Near{1e-4, 1e-12, 0});
}

TEST_SUITE_END();
