// Properties that hold for every pump and tank, in addition to the worked examples of pump_cycle_test.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "models/water/pump_cycle.hpp"
#include "tests/models/steady_demand.hpp"
#include "tests/support/fill_examples.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

TEST_SUITE_BEGIN("models/pump_cycle");

TEST_CASE(
    "starts peak at half the pump flow; twice the tank, half the starts; a tenth of the air, ten times") {
    for (double const gallons : {20., 44., 119.}) {
        auto const c = constant_flow(tank_gal(gallons), 10 * gpm_m3_s),
                   twice = constant_flow(tank_gal(2 * gallons), 10 * gpm_m3_s);
        double const peak = steady_cycle(c, 5 * gpm_m3_s).starts_per_h;
        CHECK(peak == Near{3600 * 10 * gpm_m3_s / (4 * drawdown_m3(tank_gal(gallons))), 0, 1e-12});
        auto logged = tank_gal(gallons);
        logged.air_fraction = 0.1;
        auto const sick = constant_flow(logged, 10 * gpm_m3_s);
        for (double q = 0.25; q < 10; q += 0.25) {
            double const starts = steady_cycle(c, q * gpm_m3_s).starts_per_h;
            CHECK(starts <= peak * (1 + 1e-12));
            CHECK(steady_cycle(twice, q * gpm_m3_s).starts_per_h == Near{starts / 2, 0, 1e-12});
            CHECK(steady_cycle(sick, q * gpm_m3_s).starts_per_h == Near{starts * 10, 0, 1e-12});
        }
    }
    // Also for a real curve, because the tank only enters with its volume.
    LiftParameters lift;
    lift.static_level_m = 30;
    auto const motor = typical_submersible_motor(1, MotorWiring::three_wire);
    auto const one = make_fill_curve(tank_gal(44), invented_pump(12), motor, {}, lift);
    auto const two = make_fill_curve(tank_gal(88), invented_pump(12), motor, {}, lift);
    for (double q = 1; q < 9; q += 1) {
        CHECK(steady_cycle(two, q * gpm_m3_s).starts_per_h ==
              Near{steady_cycle(one, q * gpm_m3_s).starts_per_h / 2, 0, 1e-9});
        CHECK(steady_cycle(two, q * gpm_m3_s).run_fraction ==
              Near{steady_cycle(one, q * gpm_m3_s).run_fraction, 0, 1e-9});
    }
}

TEST_CASE("steps join up, water is never made, and the time to a level is the time it takes") {
    std::mt19937_64 random(23);
    std::uniform_real_distribution<double> any(0, 1);
    for (auto const& c : {example_curve(), second_curve(), constant_flow(tank_gal(44), 5e-4)}) {
        double const top = c.nodes.back().water_m3;
        for (int i = 0; i < 500; ++i) {
            double const from = i % 10 == 0 ? 0 : top * any(random), q = 1.5e-3 * any(random) * (i % 7 != 0);
            double const a = 200 * any(random), b = 400 * any(random);
            auto const one = advance(c, from, q, a + b), first = advance(c, from, q, a),
                       then = advance(c, first.water_m3, q, b);
            CHECK(then.water_m3 == Near{one.water_m3, 1e-13, 1e-11});
            CHECK(first.energy_j + then.energy_j == Near{one.energy_j, 1e-7, 1e-11});
            CHECK(first.unmet_m3 + then.unmet_m3 == Near{one.unmet_m3, 1e-13, 1e-10});
            CHECK(one.water_m3 - from == Near{one.pumped_m3 - (q * (a + b) - one.unmet_m3), 1e-14, 0});
            CHECK(one.water_m3 >= 0);
            CHECK(one.water_m3 <= top);
            CHECK(one.unmet_m3 >= 0);
            CHECK(one.pumped_m3 <= c.nodes.front().flow_m3_s * (a + b) * (1 + 1e-12));
            double const to = c.cut_in_m3 + (c.cut_out_m3 - c.cut_in_m3) * any(random);
            double const t = time_to_reach_s(c, from, to, q);
            auto const aimed = advance_to(c, from, to, q, a + b);
            if (std::isfinite(t) && t <= (a + b) * (1 - 1e-12)) {
                CHECK(aimed.water_m3 == to);  // lands on the target exactly
                CHECK(aimed.seconds == Near{t, 1e-12, 1e-12});
                CHECK(aimed.energy_j == Near{advance(c, from, q, t).energy_j, 1e-7, 1e-9});
            } else if (t > (a + b) * (1 + 1e-12)) {
                CHECK(aimed.water_m3 == one.water_m3);
                CHECK(aimed.seconds == a + b);
            }
            if (std::isfinite(t))
                CHECK(advance(c, from, q, t).water_m3 == Near{to, 1e-12, 1e-10});
            else
                CHECK(std::abs(advance(c, from, q, 3600).water_m3 - from) <=
                      std::abs(settling_water_m3(c, std::min(q, c.nodes.front().flow_m3_s)) - from) + 1e-12);
        }
    }
}

TEST_CASE("short cycling of a dying tank") {
    // Recomputed story: pump 10 gpm, draw 5 gpm; drawdown gal, starts per hour, run s
    struct Row {
        double gallons, starts_h, run_s;
    };
    for (Row const r :
         {Row{10, 15, 120}, Row{3, 50, 36}, Row{0.3, 500, 3.6}, Row{13, 11.5, 156}, Row{1, 150, 12}}) {
        auto tank = tank_gal(1);
        tank.total_volume_m3 *= r.gallons * gal_m3 / drawdown_m3(tank);
        auto const s = steady_cycle(constant_flow(tank, 10 * gpm_m3_s), 5 * gpm_m3_s);
        CHECK(s.starts_per_h == Near{r.starts_h, 0, 5e-3});
        CHECK(s.run_s == Near{r.run_s, 0, 1e-9});
        CHECK(s.run_fraction == Near{0.5, 0, 1e-9});  // the water costs the same energy; the starts add to it
    }
}

TEST_CASE("edges: nothing asked, nothing flowing, and a pump that never reaches cut-out") {
    auto const c = example_curve();
    CHECK(time_to_reach_s(c, 0.01, 0.01, 1e-4) == 0);
    CHECK(advance(c, 0.01, 1e-4, 0).water_m3 == 0.01);
    CHECK(advance(c, 0.01, 1e-4, 0).energy_j == 0);
    CHECK(std::isinf(time_to_reach_s(c, c.cut_in_m3, 0, 0)));  // cannot fall without demand
    CHECK(drain(0.01, 1e-3, 100).water_m3 == 0);
    CHECK(drain(0.01, 1e-3, 100).unmet_m3 == Near{0.09, 1e-15, 0});
    CHECK(std::isinf(drain_time_s(0.01, 0, 0)));
    // A flow equal to the demand holds the level forever.
    auto const flat = constant_flow(tank_gal(44), 5e-4);
    CHECK(advance(flat, 0.02, 5e-4, 1e6).water_m3 == 0.02);
    CHECK(advance(flat, 0.02, 5e-4, 1e6).pumped_m3 == Near{500, 1e-9, 0});
    // Above cut-out the pump may be kept running by its shortest run: the pressure rises toward shut-off,
    // never beyond it.
    CHECK(advance(c, c.cut_out_m3, 0, 1e5).water_m3 == Near{c.nodes.back().water_m3, 1e-6, 0});
    CHECK(c.reaches_cut_out);
    // Shut-off below cut-out.
    LiftParameters deep;
    deep.static_level_m = 45;
    auto const motor = typical_submersible_motor(0.75, MotorWiring::three_wire);
    auto const weak = make_fill_curve(tank_gal(44), invented_pump(9), motor, {}, deep);
    CHECK_FALSE(weak.reaches_cut_out);
    CHECK(std::isinf(time_to_reach_s(weak, weak.cut_in_m3, weak.cut_out_m3, 0)));
    SwitchedTank state{weak.cut_in_m3, true};
    auto const t = run_switched(weak, state, 0, 36000);
    CHECK(t.run_s == 36000);
    CHECK(state.closed);
    CHECK(t.energy_j > 36000 * 500);
    // The pump does not lift the water at all: no flow, and the tank only empties.
    deep.static_level_m = 90;
    auto const stuck = make_fill_curve(tank_gal(44), invented_pump(9), motor, {}, deep);
    CHECK(flow_at_m3_s(stuck, 0) == 0);
    SwitchedTank dry{stuck.cut_in_m3, true};
    CHECK(run_switched(stuck, dry, 1e-4, 36000).pumped_m3 == Near{0, 1e-12, 0});
    CHECK(dry.water_m3 == 0);
    // A start that falls due exactly at the end of the span belongs to the next span.
    auto const ten = constant_flow(tank_gal(44), 10 * gpm_m3_s);
    SwitchedTank full{ten.cut_out_m3, false};
    double const until = drain_time_s(ten.cut_out_m3, ten.cut_in_m3, 1e-4);
    long const starts = run_switched(ten, full, 1e-4, until).starts + run_switched(ten, full, 1e-4, 1).starts;
    CHECK(starts == 1);
}

TEST_CASE("any plausible plant gives a usable curve") {
    std::mt19937_64 random(77);
    std::uniform_real_distribution<double> any(0, 1);
    int unreachable = 0, beyond = 0;
    for (int i = 0; i < 400; ++i) {
        CAPTURE(i);
        double const on = 100 + 300 * any(random), off = on + 20 + 300 * any(random);
        PressureTankParameters const tank{
            0.01 + 2 * any(random), i % 9 == 0 ? on : on * any(random),       on, off,
            70 + 31 * any(random),  i % 5 == 0 ? 0.02 + any(random) * 0.9 : 1};
        LiftParameters lift;
        lift.static_level_m = 150 * any(random) * any(random);
        lift.elevation_m = 20 * (any(random) - 0.5);
        lift.specific_capacity_m2_s =
            i % 3 == 0 ? std::numeric_limits<double>::infinity() : 1e-5 + 1e-3 * any(random);
        PipingParameters const pipes{{{100 * any(random), 0.02 + 0.03 * any(random)}}};
        auto const motor = typical_submersible_motor(1, MotorWiring::three_wire);
        PumpCurve const pump(invented_pump(4 + 30 * any(random)));
        auto const w = water_at(20 * any(random));
        auto const c = make_fill_curve(tank, pump, motor, pipes, lift, w);
        unreachable += !c.reaches_cut_out;
        beyond += c.beyond_curve;
        CHECK(c.reaches_cut_out == (shut_off_pressure_kpa(pump, lift, w) > off));
        CHECK(c.nodes.back().water_m3 >= c.cut_out_m3);
        for (std::size_t k = 1; k < c.nodes.size(); ++k) {
            CHECK(c.nodes[k].flow_m3_s <= c.nodes[k - 1].flow_m3_s);
            CHECK(c.nodes[k].water_m3 > c.nodes[k - 1].water_m3);
        }
        // Flow of the curve against the operating point between the nodes.
        double const p = on + (off - on) * any(random);
        CHECK(flow_at_m3_s(c, stored_water_m3(tank, p)) ==
              Near{operating_point(pump, motor, pipes, lift, w, p).flow_m3_s, 4e-5, 1e-2});
        SwitchedTank state{c.cut_out_m3 * any(random), any(random) < 0.5};
        double const before = state.water_m3, q = 1e-3 * any(random) * (i % 4 != 0);
        auto const t = run_switched(c, state, q, 7200);
        CHECK(t.pumped_m3 - (7200 * q - t.unmet_m3) == Near{state.water_m3 - before, 1e-11, 0});
        CHECK(t.run_s <= 7200 * (1 + 1e-12));
        CHECK(t.energy_j >= 0);
        CHECK(t.unmet_m3 >= 0);
        // Twice or half the time step: the same run.
        SwitchedTank again{before, false}, once{before, false};
        auto const whole = run_switched(c, once, q, 3600);
        double energy = 0;
        long starts = 0;
        for (int k = 0; k < 12; ++k) {
            auto const part = run_switched(c, again, q, 300);
            energy += part.energy_j;
            starts += part.starts;
        }
        CHECK(starts == whole.starts);
        CHECK(energy == Near{whole.energy_j, 1e-3, 1e-8});
    }
    CHECK(unreachable > 20);
    CHECK(beyond > 20);
}

TEST_CASE("an all but flat curve is as exact as a flat one") {
    // Flow falls by a few parts in 1e9 over the tank, so the logarithm turns into its series. To second order
    // the time is that at the mean flow.
    for (double const fall : {0., 1e-12, 1e-9, 8e-9, 2e-8, 1e-6}) {
        auto const c =
            fill_curve_from_nodes({{0, 1e-3, 1000}, {0.1, 1e-3 * (1 - fall), 1000 * (1 + fall)}}, 0.02, 0.08);
        double const mean = 1e-3 * (1 - fall / 2), q = 4e-4;
        double const t = time_to_reach_s(c, 0, 0.1, q);
        CHECK(t == Near{0.1 / (mean - q), 0, 1e-12});
        CHECK(advance(c, 0, q, 100).water_m3 ==
              Near{(1e-3 - q) * 100 - 0.5 * 1e-2 * fall * (1e-3 - q) * 1e4, 0, 1e-12});
        CHECK(advance(c, 0, q, t).energy_j == Near{1000 * (1 + fall / 2) * t, 0, 1e-12});
    }
}

TEST_CASE("nodes that cannot be are refused") {
    CHECK_THROWS_AS(fill_curve_from_nodes({{0, 1e-3, 100}}, 0.01, 0.02), ParameterError);
    CHECK_THROWS_AS(fill_curve_from_nodes({{0.1, 1e-3, 100}, {0.2, 1e-3, 100}}, 0.01, 0.02), ParameterError);
    CHECK_THROWS_AS(fill_curve_from_nodes({{0, 1e-3, 100}, {0, 1e-3, 100}}, 0.01, 0.02), ParameterError);
    CHECK_THROWS_AS(fill_curve_from_nodes({{0, 1e-3, 100}, {0.2, 2e-3, 100}}, 0.01, 0.02), ParameterError);
    CHECK_THROWS_AS(fill_curve_from_nodes({{0, -1e-3, 100}, {0.2, -2e-3, 100}}, 0.01, 0.02), ParameterError);
    CHECK_THROWS_AS(make_fill_curve(
                        tank_gal(44),
                        [](double q) {
                            return DeliveredAt{500 - 1e5 * q, 1};
                        },
                        0),
                    ParameterError);
}

TEST_SUITE_END();
