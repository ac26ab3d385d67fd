#include "sim/inputs/make_loads.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

scenarios::ScenarioLoad load_of(std::string name, double power_w, double duty = 1) {
    scenarios::ScenarioLoad l;
    l.load.name = std::move(name);
    l.load.power_w = power_w;
    l.load.profile.fill(duty);
    return l;
}

weather::WeatherYear at(double temperature_c) {
    weather::WeatherYear year;
    year.temperature_c.assign(8760, temperature_c);
    return year;
}

sim::HourlyInputs made(std::vector<scenarios::ScenarioLoad> loads, double temperature_c = 20, int legs = 2) {
    scenarios::Scenario s;
    s.loads = std::move(loads);
    s.inverter.legs = legs;
    sim::HourlyInputs in;
    sim::add_loads(s, at(temperature_c), in);
    return in;
}

}  // namespace

TEST_SUITE_BEGIN("sim/make_loads");

// By hand: 120 W at a duty of 0.35 at 20 deg C and 0.015 more per kelvin; 0.35 + 15 x 0.015 = 0.575 at 35.
TEST_CASE("a refrigerator runs more on a hot day, at most all the time, and not below nothing") {
    auto fridge = load_of("refrigerator", 120, 0.35);
    fridge.duty_per_k = 0.015;
    CHECK(made({fridge}, 20).load_w[100] == Near{42, 1e-12, 0});
    CHECK(made({fridge}, 35).load_w[100] == Near{0.575 * 120, 1e-12, 0});
    CHECK(made({fridge}, 80).load_w[100] == Near{120, 1e-12, 0});
    CHECK(made({fridge}, -20).load_w[100] == Near{0, 1e-12, 0});
}

// By hand: 100 W a quarter of the time and 4 W for the rest; at a power factor of 0.8 the running 25 W mean
// come with 18.75 var, the phantom draw with none.
TEST_CASE("phantom draw, reactive power and starts") {
    auto tv = load_of("screen", 100, 0.25);
    tv.load.phantom_w = 4;
    tv.load.power_factor = 0.8;
    tv.load.surge_va = 300;
    auto freezer = load_of("freezer", 90, 0.5);
    freezer.load.surge_va = 900;
    for (std::size_t h = 0; h < 12; ++h) freezer.load.profile[h] = 0;
    auto const in = made({tv, freezer});
    CHECK(in.load_w[5] == Near{25 + 3, 1e-12, 0});
    CHECK(in.load_w[15] == Near{25 + 3 + 45, 1e-12, 0});
    CHECK(in.load_var[15] == Near{18.75, 1e-12, 0});
    CHECK(in.load_start_va[5] == 300);
    CHECK(in.load_start_va[15] == 900);
    auto const plain = made({load_of("lamp", 10)});
    CHECK(plain.load_var.empty());
    CHECK(plain.load_start_va.empty());
}

TEST_CASE("legs: what one carries more than the other, on a split-phase inverter only") {
    auto a = load_of("on leg 1", 300), b = load_of("on leg 2", 120), c = load_of("across", 500);
    a.leg = 1;
    b.leg = 2;
    CHECK(made({a, b, c}).leg_imbalance_w[9] == Near{180, 1e-12, 0});
    CHECK(made({b, c}).leg_imbalance_w[9] == Near{120, 1e-12, 0});
    CHECK(made({a, b, c}, 20, 1).leg_imbalance_w[9] == 0);
}

// By hand, 9 kVA: 1200 W on L1 and 300 W on L2: 3 x 1200 - 1500 = 2100; a three-phase load of 900 W changes
// nothing; a start of 1 kVA on L1 needs as much as 3 kVA on all phases.
TEST_CASE("three phases: how much the fullest one takes from what the inverter carries") {
    auto a = load_of("on L1", 1200), b = load_of("on L2", 300), c = load_of("three-phase", 900);
    a.leg = 1;
    b.leg = 2;
    a.load.surge_va = 1000;
    c.load.surge_va = 2500;
    scenarios::Scenario s;
    s.inverter.legs = 3;
    s.inverter.rated_power_w = 9000;
    auto const made_of = [&](std::vector<scenarios::ScenarioLoad> loads) {
        s.loads = std::move(loads);
        sim::HourlyInputs in;
        sim::add_loads(s, at(20), in);
        return in;
    };
    CHECK(made_of({a, b, c}).leg_imbalance_w[9] == Near{2100, 1e-9, 0});
    CHECK(made_of({c}).leg_imbalance_w[9] == 0);
    CHECK(made_of({c}).load_start_va[9] == 2500);
    CHECK(made_of({a, b, c}).load_start_va[9] == 3000);
    a.load.power_factor = 0.8;  // 900 var on L1: |3600 - 1500, 2700 - 900| = |2100, 1800|
    CHECK(made_of({a, b}).leg_imbalance_w[9] == Near{std::hypot(2100, 1800), 1e-9, 0});
}

TEST_CASE("classes are shed from the highest number on, and for the highest level first") {
    auto a = load_of("keep", 10), b = load_of("soon", 20), c = load_of("first", 40), d = load_of("level", 80);
    b.load.priority = 2;
    c.load.priority = 5;
    d.load.priority = 2;
    d.shed_below = 0.4;
    auto const in = made({a, b, c, d});
    CHECK(in.load_w[0] == 10);
    REQUIRE(in.shed_first.size() == 3);
    CHECK(in.shed_first[0].power_w[0] == 40);
    CHECK(in.shed_first[1].power_w[0] == 80);
    CHECK(in.shed_first[1].shed_below == 0.4);
    CHECK(in.shed_first[2].power_w[0] == 20);
}

// A 10 kWh battery without losses. By level: 1000 W of which 500 W go at 0.4; from 0.5 that is 1 h, then 500
// W through the remaining 4 kWh; on the way up they come back at 0.5, 0.1 above.
TEST_CASE("loads go at their level of the battery and come back a tenth above it") {
    auto s = plain_system();
    s.battery = {10, 1, 1, 0, 1e3, 1e3, 0};
    s.inverter.k1 = 0;
    s.start_soc = 0.5;
    auto in = steady_inputs(0, 500, 0, 1e-3);
    sim::LoadClass extra;
    extra.power_w.assign(in.load_w.size(), 500);
    extra.shed_below = 0.4;
    in.shed_first.push_back(extra);
    for (std::size_t h = 3; h < 24; ++h) in.array_power_w[h] = 1500;  // 0.3 at 3 h, then 1 kW up
    auto const r = sim::simulate(s, in, {0, 8});
    CHECK(r.hours[0].load_unserved_kw == Near{0, 1e-12, 0});
    CHECK(r.hours[1].load_unserved_kw == Near{0.5, 1e-12, 0});
    CHECK(r.hours[1].limit_reason == static_cast<double>(sim::LimitReason::load_shed));
    CHECK(r.hours[2].battery_soc == Near{0.3, 1e-12, 0});
    CHECK(r.hours[4].load_unserved_kw == Near{0.5, 1e-12, 0});
    CHECK(r.hours[4].battery_soc == Near{0.5, 1e-9, 0});
    CHECK(r.hours[5].load_unserved_kw == Near{0, 1e-9, 0});
    CHECK(r.hours[5].battery_soc == Near{0.55, 1e-9, 0});
}

// A 1500 W inverter: the 1200 W pump leaves 300 W. Of 200 W kept, 150 W and then 80 W that go first, the 80 W
// go and 50 W are still too much, so the 150 W go too.
TEST_CASE("beside the pump whole classes go in their order") {
    auto s = plain_system();
    s.battery.capacity_kwh = 100;
    s.inverter.rated_power_w = 1500;
    s.inverter.k1 = 0;
    auto in = steady_inputs(0, 200, 0.72, 0.2e-3);
    for (double const w : {80., 150.}) {
        sim::LoadClass c;
        c.power_w.assign(in.load_w.size(), w);
        in.shed_first.push_back(c);
    }
    auto const r = sim::simulate(s, in, {0, 6});
    CHECK(r.summary.load_unserved_kwh == Near{0.230 * r.summary.pump_run_h, 1e-9, 0});
    in.shed_first[1].power_w.assign(in.load_w.size(), 100);
    auto const fits = sim::simulate(s, in, {0, 6});
    CHECK(fits.summary.load_unserved_kwh == Near{0.080 * fits.summary.pump_run_h, 1e-9, 0});
}

TEST_CASE("a load follows the water if it takes energy for each cubic meter, and only then") {
    auto treatment = load_of("softener", 300, 0);
    CHECK_FALSE(sim::follows_water({treatment}));
    treatment.energy_wh_per_m3 = 250;
    CHECK(sim::follows_water({load_of("modem", 12), treatment}));
    CHECK_FALSE(sim::follows_water({}));
}

TEST_SUITE_END();
