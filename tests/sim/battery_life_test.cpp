#include "sim/year/battery_life.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>

#include "sim/year/aging_years.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

// A lossless 10 kWh battery that goes 0.45 deep once a day, all year: 12 h of 0.375 kW out, 12 h in.
sim::System daily_cycle_system() {
    auto s = plain_system();
    s.battery.charge_efficiency = s.battery.discharge_efficiency = 1;
    s.start_soc = 1;
    s.inverter.k1 = 0;
    // Data sheet rows, invented: 4500, 1800 and 1100 cycles at 0.2, 0.5 and 0.8.
    s.battery_life.cycle_life = models::fit_cycle_life({{0.2, 4500}, {0.5, 1800}, {0.8, 1100}});
    s.battery_life.calendar_life_y = 8;
    return s;
}

sim::HourlyInputs daily_cycle_inputs() {
    auto in = steady_inputs(0, 0, 0, 1e-3);
    for (std::size_t h = 0; h < in.load_w.size(); ++h)
        (h % 24 < 12 ? in.load_w[h] : in.array_power_w[h]) = 375;
    return in;
}

}  // namespace

TEST_SUITE_BEGIN("sim/battery_life");

// One 0.45-deep cycle a day and 8 years of calendar life at 25 deg C: cycling 0.183984 a year, 5.43526 years;
// shortest 5.43526, additive 3.23641 years. Recomputed from Miner's rule and the power law N = a D^-b through
// the rows above; tolerance of the printed digits, and one half cycle of 365 is lost where the year ends.
TEST_CASE("years to replacement from a year of daily cycles") {
    auto s = daily_cycle_system();
    auto const in = daily_cycle_inputs();
    auto const run = sim::simulate(s, in, {0, sim::hours_per_year});
    CHECK(sim::year_of_use(run, s).cycling_damage == Near{0.183984, 1e-6, 0.0015});
    auto const life = sim::battery_life(run, s);
    CHECK(life.years == Near{5.43526, 1e-5, 0.0015});
    CHECK(life.rule == models::LifeRule::cycling);
    s.battery_life.combination = models::LifeCombination::additive;
    CHECK(sim::battery_life(run, s).years == Near{3.23641, 1e-5, 0.0015});
    CHECK(run.findings.battery_life_y == life.years);
    CHECK(run.findings.full_charges == 366);
    CHECK(run.findings.longest_without_full_h == Near{24, 2, 0});
}

TEST_CASE(
    "the rule that decides: calendar when little is cycled and it is warm, throughput when that is short") {
    auto s = daily_cycle_system();
    auto in = daily_cycle_inputs();
    s.battery_life.calendar_life_y = 2;
    auto run = sim::simulate(s, in, {0, sim::hours_per_year});
    CHECK(sim::battery_life(run, s).rule == models::LifeRule::calendar);
    CHECK(sim::battery_life(run, s).years == Near{2, 1e-9, 0});
    // 4.5 kWh a day against 4.5 x 365 kWh: a year.
    s.battery_life.throughput_life_kwh = 4.5 * 365;
    CHECK(sim::battery_life(run, s).rule == models::LifeRule::throughput);
    CHECK(sim::battery_life(run, s).years == Near{1, 1e-9, 0});
    auto const bare = plain_system();
    run = sim::simulate(bare, in, {0, 48});
    CHECK(std::isinf(sim::battery_life(run, bare).years));
    CHECK(run.findings.battery_life_y == 0);
}

// Life is halved per `calendar_halving_k` above 25 deg C: at 35 and 10 K, 4 years of 8.
TEST_CASE("a warm place shortens the calendar life") {
    auto s = daily_cycle_system();
    s.battery_life.cycle_life.reset();
    s.battery_behavior.thermal = models::BatteryThermalParameters{12};
    auto in = daily_cycle_inputs();
    in.ambient_c.assign(in.load_w.size(), 35);
    auto const run = sim::simulate(s, in, {0, sim::hours_per_year});
    CHECK(sim::battery_life(run, s).years == Near{4, 1e-9, 0});
}

// 5.435 years at 1/5.435 of the life a year: capacity falls by 0.2/5.435 = 3.68 % of new in the first year, a
// new battery comes after the sixth.
TEST_CASE("years on end: the level is carried, capacity fades, the battery is replaced at 80 %") {
    auto const s = daily_cycle_system();
    auto const first =
        sim::simulate_years(s, sim::CheckedInputs(daily_cycle_inputs()), {0, sim::hours_per_year}, 8);
    REQUIRE(first.years.size() == 8);
    CHECK(first.years[0].capacity_fraction == 1);
    CHECK(first.years[1].capacity_fraction == Near{1 - 0.2 * 0.183984, 1e-4, 0});
    // The energy of a day is the same, so the second year's lowest SOC is as much lower as its battery is
    // smaller.
    CHECK(1 - first.years[1].soc_min ==
          Near{(1 - first.years[0].soc_min) / first.years[1].capacity_fraction, 0, 1e-6});
    int replaced = 0;
    for (std::size_t y = 1; y < 8; ++y) {
        bool const is_new = first.years[y - 1].battery_replaced > 0;
        replaced += is_new ? 1 : 0;
        if (!is_new) CHECK(first.years[y].capacity_fraction < first.years[y - 1].capacity_fraction);
        // The same 4.5 kWh a day are a larger share of a smaller battery.
        if (!is_new) CHECK(first.years[y].soc_min < first.years[y - 1].soc_min);
        CHECK(first.years[y].capacity_fraction > 0.8);
    }
    CHECK(replaced == 1);
    auto const once = sim::simulate(s, daily_cycle_inputs(), {0, sim::hours_per_year});
    CHECK(first.summary.battery_out_kwh == once.summary.battery_out_kwh);
}

// A battery half full in the evening begins the next day half full.
TEST_CASE("years on end: without wear the second year begins where the first one ended") {
    auto s = daily_cycle_system();
    s.battery_life = {};
    auto in = daily_cycle_inputs();
    in.array_power_w.assign(in.array_power_w.size(), 0);
    for (double& w : in.load_w.edit()) w = 10;
    auto const two = sim::simulate_years(s, sim::CheckedInputs(in), {0, 240}, 2);
    CHECK(two.years[0].soc_min == Near{1 - 0.24, 1e-9, 0});
    CHECK(two.years[1].soc_min == Near{1 - 0.48, 1e-9, 0});
}

// Every hour of the year is the same here, so two runs of ten days are one of twenty: wells, warmth, fuel and
// water go over. Only the generator's own clock does not: it stands at both ends of the first run.
TEST_CASE("years on end: wells, temperature, fuel and water go over") {
    auto s = daily_cycle_system();
    s.battery_life = {};
    s.start_soc = 0.9;
    s.battery_behavior.store.kind = models::BatteryKind::two_well;
    s.battery_behavior.store.available_fraction = 0.4;
    s.battery_behavior.store.exchange_per_h = 0.05;
    s.battery_behavior.thermal = models::BatteryThermalParameters{100};
    s.battery_behavior.thermal->heater_w = 60;
    s.battery_behavior.thermal->heater_rise_k_per_w = 0.15;
    s.battery_behavior.thermal->heater_on_below_c = 3;
    s.battery_behavior.thermal->heater_off_above_c = 7;
    s.rules.backup = sim::Backup::generator;
    s.rules.transfer_below = 0.3;
    s.rules.return_above = s.rules.charge_to = 0.8;
    s.generator = models::GeneratorParameters{
        .rated_power_w = 6000, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4, .fuel_tank_l = 200};
    s.trough = models::TroughParameters{1, 0.4, 0.3e-3};
    auto in = steady_inputs(0, 150, 0.013, 0.2e-3);
    in.ambient_c.assign(in.load_w.size(), 0);
    constexpr int days = 11;
    auto const once = sim::simulate(s, in, {0, 48 * days});
    auto const half = sim::simulate(s, in, {0, 24 * days});
    auto second = s;
    second.carried_water = half.end_water;
    second.carried_supply = half.end_supply;
    auto const rest = sim::simulate(second, in, {0, 24 * days});
    REQUIRE(half.hours.back().backup_h == 0);
    CHECK(half.hours.back().trough_water_m3 < 0.99);
    CHECK(half.end_supply.fuel_l < 200);
    CHECK(half.end_supply.fuel_l > 100);
    for (std::size_t h = 0; h < 24 * days; ++h) {
        CAPTURE(h);
        auto const &a = once.hours[24 * days + h], &b = rest.hours[h];
        CHECK(b.battery_stored_kwh == Near{a.battery_stored_kwh, 1e-9, 0});
        CHECK(b.battery_temperature_c == Near{a.battery_temperature_c, 1e-9, 0});
        CHECK(b.tank_water_m3 == Near{a.tank_water_m3, 1e-9, 0});
        CHECK(b.trough_water_m3 == Near{a.trough_water_m3, 1e-9, 0});
    }
    CHECK(rest.end_supply.fuel_l == Near{once.end_supply.fuel_l, 1e-9, 0});
    CHECK(rest.end_supply.battery.available_kwh == Near{once.end_supply.battery.available_kwh, 1e-9, 0});
    auto const years = sim::simulate_years(s, sim::CheckedInputs(in), {0, 24 * days}, 2);
    CHECK(years.years[1].generator_run_h == Near{rest.summary.generator_run_h, 1e-12, 0});
    CHECK(years.years[1].soc_min == Near{rest.summary.soc_min, 1e-12, 0});
    CHECK(std::abs(rest.summary.energy_residual_kwh) < 1e-9);
    CHECK(std::abs(rest.summary.water_residual_m3) < 1e-9);
}

TEST_SUITE_END();
