#include "sim/supply/battery_side.hpp"

#include <doctest/doctest.h>

#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("sim/battery_side");

// A fifth of 10 kWh is available at once, with a rapid exchange and a large self-discharge. The bound well is
// full and gives to the available one, which is full after some minutes and below full again within the hour.
TEST_CASE("an available well that is full for a part of the hour only ends the step when it becomes full") {
    constexpr double capacity_kwh = 10, c = 0.2, exchange_per_h = 10, self_per_h = 0.09;
    constexpr double store_kw = 3 * self_per_h * c * capacity_kwh;
    auto s = test::plain_system();
    s.battery = {capacity_kwh, 1, 1, 0, 1e3, 1e3, self_per_h};
    s.battery_behavior.store.kind = models::BatteryKind::two_well;
    s.battery_behavior.store.available_fraction = c;
    s.battery_behavior.store.exchange_per_h = exchange_per_h;
    s.carried_supply.emplace();
    s.carried_supply->battery = {0.99 * c * capacity_kwh, (1 - c) * capacity_kwh};

    // By Euler's method in steps of a hundred-thousandth of an hour.
    double available_kwh = 0.99 * c * capacity_kwh, bound_kwh = (1 - c) * capacity_kwh, full_h = 0,
           below_h = 0;
    constexpr double dt_h = 1e-5;
    for (int i = 0; i < 100000; ++i) {
        double const over_kw = exchange_per_h * ((1 - c) * available_kwh - c * bound_kwh);
        available_kwh += dt_h * (store_kw - self_per_h * available_kwh - over_kw);
        bound_kwh += dt_h * (over_kw - self_per_h * bound_kwh);
        if (full_h == 0 && available_kwh >= c * capacity_kwh) full_h = (i + 1) * dt_h;
        if (full_h > 0 && below_h == 0 && available_kwh < c * capacity_kwh) below_h = (i + 1) * dt_h;
    }
    REQUIRE(full_h > 0);
    REQUIRE(below_h > full_h);
    CHECK(sim::Battery(s).hours_until_limit({-store_kw, false}, 1) == Near{full_h, 1e-4, 0});
}

// A full battery takes what it loses by itself: 1 % of 10 kWh an hour.
TEST_CASE("charging tapers from the power on that a full battery accepts") {
    auto s = test::plain_system();
    s.battery = {10, 1, 1, 0, 1e3, 1e3, 0.01};
    s.start_soc = 1;
    sim::Battery const battery(s);
    CHECK(battery.accepted_kw() == Near{0.1, 1e-12, 0});
    CHECK(battery.tapers_at(battery.accepted_kw()));
    CHECK_FALSE(battery.tapers_at(0.999 * battery.accepted_kw()));
}

TEST_SUITE_END();
