#include "sim/year/supply_indices.hpp"

#include <doctest/doctest.h>

#include <stdexcept>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

TEST_SUITE_BEGIN("sim/supply_indices");

// By hand: 0.5 kW all year is 4,380 kWh. 1 kW of array is twice the load in every month. 9 kWh usable over
// 12 kWh a day.
TEST_CASE(
    "a supply that serves everything: no loss of load, twice the load from the array, 0.75 days stored") {
    auto const run = sim::simulate(plain_system(), steady_inputs(1000, 500, 0, 0), sim::Clock{});
    auto const x = sim::supply_indices(run, 9, 0, 0.7);
    CHECK(x.energy_demand_kwh == Near{4380, 1e-6, 0});
    CHECK(x.energy_deficit_kwh == 0);
    CHECK(x.loss_of_load_probability == 0);
    CHECK(x.availability == 1);
    CHECK(x.hours_short_fraction == 0);
    CHECK(x.array_ratio == Near{2, 1e-9, 0});
    CHECK(x.storage_ratio_days == Near{0.75, 1e-9, 0});
    CHECK(x.autonomy_by_hand_days == 0.7);
}

// By hand: no sun, 10 kWh at half charge, 0.9 out of the battery, 0.9 through the inverter: 4.05 kWh of
// 8,760. The load of 1 kW is whole in four hours; the other 8,756 are short.
TEST_CASE("a battery that is never charged serves four hours and 4.05 kWh of a year") {
    auto const run = sim::simulate(plain_system(), steady_inputs(0, 1000, 0, 0), sim::Clock{});
    auto const x = sim::supply_indices(run, 9, 0, 0);
    CHECK(x.energy_demand_kwh == Near{8760, 1e-6, 0});
    CHECK(x.loss_of_load_probability == Near{1 - 4.05 / 8760, 1e-9, 0});
    CHECK(x.availability == Near{4.05 / 8760, 1e-9, 0});
    CHECK(x.hours_short_fraction == Near{8756.0 / 8760, 1e-12, 0});
    CHECK(x.array_ratio == 0);
    CHECK(x.water_deficit_fraction == 0);
}

// By hand: 20 L an hour, pumped at 0.6 L/s with 1,200 W, take 20 / 0.6 s x 1.2 kW = 0.0111 kWh; 97.3 kWh a
// year, all of it missing when the supply has nothing, at the energy by hand.
TEST_CASE("water that is missing counts as energy, by volume and by hours") {
    double const kwh_per_m3 = 1.2 / 3600 / 0.6e-3;
    auto system = plain_system();
    system.start_soc = 0;
    auto const dead = sim::supply_indices(
        sim::simulate(system, steady_inputs(0, 0, 0.020, 0.3e-3), sim::Clock{}), 9, kwh_per_m3, 0);
    CHECK(dead.energy_demand_kwh == Near{8760 * 0.020 * kwh_per_m3, 0, 1e-3});
    CHECK(dead.loss_of_load_probability > 0.999);
    CHECK(dead.water_deficit_fraction > 0.999);
    CHECK(dead.water_hours_short_fraction > 0.999);
    CHECK(dead.hours_short_fraction == dead.water_hours_short_fraction);

    auto const fed = sim::supply_indices(
        sim::simulate(plain_system(), steady_inputs(2000, 0, 0.020, 0.3e-3), sim::Clock{}), 9, 0, 0);
    CHECK(fed.loss_of_load_probability == 0);
    CHECK(fed.energy_demand_kwh == Near{8760 * 0.020 * kwh_per_m3, 0, 1e-3});
    CHECK(fed.array_ratio == Near{2 / (0.020 * kwh_per_m3), 0, 0.01});
}

TEST_CASE("the month of the lowest ratio is found, and a part of a year is refused") {
    auto in = steady_inputs(1000, 500, 0, 0);
    for (std::size_t h = 334 * 24; h < in.array_power_w.size(); ++h) in.array_power_w[h] = 800;  // December
    auto const run = sim::simulate(plain_system(), in, sim::Clock{});
    auto const x = sim::supply_indices(run, 9, 0, 0);
    CHECK(x.array_ratio_month == 12);
    CHECK(x.array_ratio == Near{1.6, 1e-9, 0});
    sim::Clock month;
    month.hours = 24 * 31;
    CHECK_THROWS_AS(sim::supply_indices(sim::simulate(plain_system(), in, month), 9, 0, 0),
                    std::invalid_argument);
}

TEST_SUITE_END();
