#include <doctest/doctest.h>

#include <vector>

#include "sim/inputs/make_loads.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

// Three phases of 3 kVA, no losses, a battery that is never the limit.
sim::System three_phases(double pump_w) {
    auto s = plain_system();
    s.battery = {1000, 1, 1, 0, 1e3, 1e3, 0};
    s.inverter.legs = 3;
    s.inverter.rated_power_w = 9000;
    s.inverter.k1 = 0;
    auto nodes = s.fill.nodes;
    for (auto& n : nodes) n.power_w = pump_w;
    s.fill = models::fill_curve_from_nodes(nodes, s.fill.cut_in_m3, s.fill.cut_out_m3);
    return s;
}

scenarios::ScenarioLoad on_phase(int phase, double power_w, double surge_va = 0) {
    scenarios::ScenarioLoad l;
    l.load.name = "load";
    l.load.power_w = power_w;
    l.load.surge_va = surge_va;
    l.load.profile.fill(1);
    l.leg = phase;
    return l;
}

sim::HourlyInputs inputs_of(sim::System const& s, std::vector<scenarios::ScenarioLoad> const& loads) {
    auto in = steady_inputs(0, 0, 0.72, 0.2e-3);
    weather::WeatherYear year;
    year.temperature_c.assign(8760, 20);
    sim::add_loads(loads, s.inverter, year, in);
    return in;
}

}  // namespace

TEST_SUITE_BEGIN("sim/three_phase_run");

// 1200 W on L1 leave 1800 W for a third of the motor: 5400 W. The pump has precedence, so beside a larger one
// the loads are short.
TEST_CASE("motor and loads together fit on the fullest phase, or something is shed") {
    for (double const pump_w : {5399., 5401.}) {
        CAPTURE(pump_w);
        auto const s = three_phases(pump_w);
        auto const r = sim::simulate(s, inputs_of(s, {on_phase(1, 1200), on_phase(2, 300)}), {0, 3});
        CHECK((r.summary.load_unserved_kwh < 1e-9) == (pump_w < 5400));
        CHECK(r.summary.water_short_m3 == Near{0, 1e-9, 0});
    }
    // The same loads spread evenly: 500 W on each leave 7500 W.
    auto const s = three_phases(7499);
    auto const even =
        sim::simulate(s, inputs_of(s, {on_phase(1, 500), on_phase(2, 500), on_phase(3, 500)}), {0, 3});
    CHECK(even.summary.load_unserved_kwh == Near{0, 1e-9, 0});
}

// 9001 W are 3000.3 W on each phase.
TEST_CASE("a motor above the phases' rating does not run, and the water is short") {
    for (double const pump_w : {8999., 9001.}) {
        CAPTURE(pump_w);
        auto const s = three_phases(pump_w);
        auto const r = sim::simulate(s, inputs_of(s, {}), {0, 3});
        CHECK((r.summary.water_short_m3 < 1e-9) == (pump_w < 9000));
    }
}

TEST_CASE("a load above the rating of its phase is not served, although the inverter could carry it in all") {
    auto const s = three_phases(600);
    auto const fits = sim::simulate(s, inputs_of(s, {on_phase(3, 2700)}), {0, 3});
    CHECK(fits.summary.load_unserved_kwh == Near{0, 1e-9, 0});
    auto const over = sim::simulate(s, inputs_of(s, {on_phase(3, 3200)}), {0, 3});
    CHECK(over.summary.load_unserved_kwh > 1);
    CHECK(over.hours[1].limit_reason == static_cast<double>(sim::LimitReason::inverter_limit));
    auto spread = three_phases(600);
    auto const balanced = sim::simulate(spread, inputs_of(spread, {on_phase(0, 3200)}), {0, 3});
    CHECK(balanced.summary.load_unserved_kwh == Near{0, 1e-9, 0});
}

// Surge 2 x 3 kVA on a phase; 1200 W on L1 leave 4800 VA, a start of 14,400 VA at a power factor of 1.
TEST_CASE("a start that overloads one phase trips the inverter") {
    for (double const start_va : {14390., 14410.}) {
        CAPTURE(start_va);
        auto s = three_phases(1000);
        s.inverter.surge = {{2, 5}};
        s.rules.trip_on_overload = true;
        s.pump_start.apparent_kva = 1e-3 * start_va;
        s.pump_start.power_w = start_va;
        s.pump_start.seconds = 0.5;
        auto const r = sim::simulate(s, inputs_of(s, {on_phase(1, 1200), on_phase(2, 300)}), {0, 5});
        CHECK((r.findings.inverter_trips > 0) == (start_va > 14400));
    }
}

// 300 W run on L1; its start of 5600 VA fits into 6000 VA of the phase, 5800 VA do not.
TEST_CASE("the start of a single-phase load counts on its phase") {
    for (double const surge_va : {5600., 5800.}) {
        CAPTURE(surge_va);
        auto s = three_phases(600);
        s.inverter.surge = {{2, 5}};
        s.rules.trip_on_overload = true;
        auto const in = inputs_of(s, {on_phase(1, 300, surge_va)});
        auto const r = sim::simulate(s, in, {0, 2});
        CHECK((r.findings.inverter_trips > 0) == (surge_va > 5700));
    }
}

TEST_SUITE_END();
