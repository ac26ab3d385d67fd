#include "sim/designs/starter_design.hpp"

#include <doctest/doctest.h>

#include <stdexcept>

#include "models/numeric/trade_units.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using models::MotorWiring;
using test::Near;

namespace {

constexpr double ft = models::m_per_ft, psi = models::kpa_per_psi, gal = models::m3_per_gal;

// The house of starter_sizing_test, as it is answered.
StarterAnswers house() {
    StarterAnswers a;
    a.latitude_deg = 44;
    a.motor = typical_starter_motor(1, false, MotorWiring::three_wire);
    a.depth_m = 120 * ft;
    a.cut_in_kpa = 40 * psi, a.cut_out_kpa = 60 * psi;
    a.backup = scenarios::Backup::generator;
    return a;
}

}  // namespace

TEST_SUITE_BEGIN("sim/starter_design");

TEST_CASE("what is assumed of a site is round in its own units") {
    auto const us = starter_site(house());
    CHECK(us.daily_m3 == Near{225 * gal, 1e-12, 0});  // 3 persons at 75 gal
    CHECK(us.small_loads_w == Near{72.5, 1e-12, 0});  // 15 + 12 + 0.35 x 130
    CHECK(us.lift_to_tank_m == Near{15 * ft, 1e-12, 0});
    CHECK(us.precharge_kpa == Near{38 * psi, 1e-12, 0});
    auto metric = house();
    metric.metric = true;
    CHECK(starter_site(metric).lift_to_tank_m == 5);
    CHECK(starter_site(metric).precharge_kpa == Near{40 * psi - 20, 1e-12, 0});  // 0.2 bar
    metric.cut_in_kpa = 15;
    CHECK(starter_site(metric).precharge_kpa == 0);
}

// starter_sizing_test has this house's tank at the size its motor's shortest run needs; the next usual one
// is taken, and of a motor that needs more than the largest, several of those.
TEST_CASE("the tank is the smallest usual one, or the one that is there") {
    auto const d = starter_design(house()).value();
    double const needed_m3 = starter_tank_m3(d.site, d.pump);
    CHECK(d.tank.count == 1);
    CHECK(d.tank.each_m3 >= needed_m3);
    CHECK(d.tank.each_m3 == Near{(needed_m3 <= 45 * gal   ? 45
                                  : needed_m3 <= 85 * gal ? 85
                                                          : 120) *
                                     gal,
                                 1e-12, 0});
    auto large = house();
    large.motor = typical_starter_motor(5, false, MotorWiring::three_wire);
    large.depth_m = 20 * ft;
    auto const several = starter_design(large).value();
    CHECK(several.tank.count > 1);
    CHECK(several.tank.each_m3 == Near{120 * gal, 1e-12, 0});
    CHECK(several.tank.count * several.tank.each_m3 >= starter_tank_m3(several.site, several.pump));
    CHECK((several.tank.count - 1) * several.tank.each_m3 < starter_tank_m3(several.site, several.pump));
    auto own = house();
    own.tank = StarterTank{2, 20 * gal};
    CHECK(starter_design(own)->tank.count == 2);
}

TEST_CASE("what follows from the sizes") {
    auto const d = starter_design(house()).value();
    CHECK(d.tilt_deg == 54);
    CHECK(d.controller_kw == Near{1.1 * d.sizes.array_kw, 1e-12, 0});
    CHECK(d.drop_m == Near{160 * ft, 1e-9, 0});
    CHECK(d.yard_m == Near{100 * ft, 1e-9, 0});
    // 6 kW: 1.25 x 6000 / 0.93 / 44 = 183 A, so 200; 18 kW: 550 A on the step itself.
    CHECK(d.battery_fuse_a == Near{200, 1e-9, 0});
    auto north = house();
    north.latitude_deg = -64;
    CHECK(starter_design(north)->tilt_deg == 65);
}

TEST_CASE("no pump, no design; sizes of motors are those that are sold") {
    auto deep = house();
    deep.depth_m = 300;
    CHECK(!starter_design(deep));
    CHECK(starter_generator_kw(deep) == 0);
    auto own = house();
    own.generator_w = 2000;
    CHECK(starter_generator_kw(own) == starter_design(house())->sizes.generator_kw);
    CHECK(typical_starter_motor(0.75, true, MotorWiring::three_wire).rated_power_w == 750);
    CHECK_THROWS_WITH_AS(typical_starter_motor(1.2, false, MotorWiring::three_wire),
                         "1.2 is not a usual size; accepted: 0.5, 0.75, 1, 1.5, 2, 3, 5 hp",
                         std::invalid_argument);
    CHECK_THROWS_AS(typical_starter_motor(2, false, MotorWiring::two_wire), std::invalid_argument);
}

// Clearness 0.5 +/- 0.08 and temperature 28 - 0.45 x 44 +/- 0.25 x 44 at sea level, July warmest; south of
// the equator January.
TEST_CASE("the made year turns round south of the equator") {
    auto a = house();
    auto const north = starter_weather(a, -116);
    CHECK(north.temperature_c[6] == Near{28 - 0.45 * 44 + 11, 1e-9, 0});
    CHECK(north.temperature_c[0] == Near{28 - 0.45 * 44 - 11, 1e-9, 0});
    CHECK(north.clearness[6] == Near{0.58, 1e-9, 0});
    CHECK(north.site.utc_offset_h == -8);
    a.latitude_deg = -44;
    CHECK(starter_weather(a, -116).clearness[0] == Near{0.58, 1e-9, 0});
}

TEST_SUITE_END();
