#include "models/water/variable_speed.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "models/numeric/parameter_error.hpp"
#include "tests/models/steady_demand.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

namespace {

MotorParameters drive_motor() {
    auto m = typical_submersible_motor(1, MotorWiring::drive);
    m.phases = 3;
    return m;
}

struct Site {
    PipingParameters pipes;
    LiftParameters lift;
    Water water;
};

// 100 ft, 250 ft of 1.360 in, 2.31 ft per psi, 10.44 form of Hazen-Williams.
Site first_site() {
    Site s{{{{250 * foot_m * us_over_si_hazen_williams, 1.360 * inch_m}}, FrictionLaw::hazen_williams},
           {},
           {psi_kpa * 1000 / (gravity_m_s2 * 2.31 * foot_m), 1.1e-3}};
    s.lift.static_level_m = 100 * foot_m;
    return s;
}

// 140 ft, 1.5 gpm/ft, 15 ft up, 200 ft of 1.380 in with K 12, 150 ft of 1.360 in, 1000 kg/m3.
Site second_site() {
    Site s{{{{200 * foot_m, 1.380 * inch_m, 1.5e-6, 150, 12}, {150 * foot_m, 1.360 * inch_m}},
            FrictionLaw::hazen_williams},
           {},
           {1000, 1.3e-3}};
    s.lift.static_level_m = 140 * foot_m;
    s.lift.elevation_m = 15 * foot_m;
    s.lift.specific_capacity_m2_s = 1.5 * gpm_m3_s / foot_m;
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("models/variable_speed");

TEST_CASE("12-stage invented pump holding 50 psi") {
    // Recomputed. gpm, head ft, speed ratio, Hz, shaft hp, pump efficiency (with 3960), full-speed shaft hp
    // at that flow
    auto const s = first_site();
    PumpCurve const pump(invented_pump(12));
    struct Row {
        double gpm, ft, ratio, hz, hp, eta, fixed_hp;
    };
    for (Row const r : {Row{2, 215.696625, 0.823877084, 49.4326, 0.419655, 0.2596, 0.733200},
                        Row{5, 216.573060, 0.851612796, 51.0968, 0.542895, 0.5037, 0.843697},
                        Row{8, 218.062443, 0.905386506, 54.3232, 0.746252, 0.5903, 0.974400}}) {
        auto const d =
            drive_point(pump, drive_motor(), {}, s.pipes, s.lift, s.water, r.gpm * gpm_m3_s, 50 * psi_kpa);
        CHECK(d.reached);
        CHECK(d.speed_ratio == Near{r.ratio, 1e-8, 0});
        CHECK(60 * d.speed_ratio == Near{r.hz, 5e-5, 0});
        CHECK(d.head_m / foot_m == Near{r.ft, 1e-5, 0});
        CHECK(d.shaft_w / hp_w == Near{r.hp, 1e-6, 0});
        CHECK(r.gpm * r.ft / 3960 / (d.shaft_w / hp_w) == Near{r.eta, 5e-5, 0});
        CHECK(pump.power_w(r.gpm * gpm_m3_s) / hp_w == Near{r.fixed_hp, 1e-6, 0});
        CHECK(d.electrical_w == Near{electrical_input_w(drive_motor(), d.shaft_w) / 0.95, 1e-9, 0});
    }
}

TEST_CASE("13-stage invented pump holding 50 psi, and at fixed lower speeds") {
    // Recomputed independently. gpm, ft, ratio, Hz, shaft W, hydraulic W
    auto const s = second_site();
    PumpCurve const pump(steep_pump(13));
    struct Row {
        double gpm, ft, ratio, hz, shaft_w, hydraulic_w;
    };
    for (Row const r : {Row{1, 271.081462, 0.836516118, 50.1910, 347.964323, 51.121},
                        Row{2, 271.965126, 0.842282480, 50.5369, 386.688135, 102.575},
                        Row{4, 274.091861, 0.860968603, 51.6581, 479.357399, 206.754},
                        Row{6, 276.665369, 0.889871736, 53.3923, 591.646841, 313.043},
                        Row{8, 279.662866, 0.929846091, 55.7908, 730.144094, 421.912},
                        Row{10, 283.069295, 0.981547559, 58.8929, 902.346687, 533.814}}) {
        auto const d =
            drive_point(pump, drive_motor(), {}, s.pipes, s.lift, s.water, r.gpm * gpm_m3_s, 50 * psi_kpa);
        CHECK(d.speed_ratio == Near{r.ratio, 0, 1e-8});
        CHECK(60 * d.speed_ratio == Near{r.hz, 5e-5, 0});
        CHECK(d.head_m / foot_m == Near{r.ft, 0, 1e-8});
        CHECK(d.shaft_w == Near{r.shaft_w, 0, 1e-8});
        CHECK(hydraulic_power_w(r.gpm * gpm_m3_s, d.head_m, s.water) == Near{r.hydraulic_w, 5.1e-4, 0});
        // The cube law from full speed alone would have the pump give out more than it takes in up to 8 gpm.
        double const naive_w = 963.848333 * std::pow(r.gpm / 10.625553, 3);
        if (r.gpm <= 8) CHECK(naive_w < r.hydraulic_w);
        CHECK(d.shaft_w > r.hydraulic_w);
    }
    auto const full =
        operating_point_at_speed(pump, drive_motor(), {}, s.pipes, s.lift, s.water, 1, 50 * psi_kpa);
    CHECK(full.flow_m3_s / gpm_m3_s == Near{10.625553, 1e-6, 0});
    CHECK(full.shaft_w == Near{963.848333, 1e-6, 0});
    auto const slow =
        operating_point_at_speed(pump, drive_motor(), {}, s.pipes, s.lift, s.water, 0.90, 50 * psi_kpa);
    CHECK(slow.flow_m3_s / gpm_m3_s == Near{6.562909373, 0, 1e-9});
    CHECK(slow.head_m / foot_m == Near{277.466902, 1e-6, 0});
    auto const mid =
        operating_point_at_speed(pump, drive_motor(), {}, s.pipes, s.lift, s.water, 0.95, 50 * psi_kpa);
    CHECK(mid.flow_m3_s / gpm_m3_s == Near{8.829593489, 0, 1e-9});
    CHECK(mid.shaft_w == Near{798.307793, 1e-6, 0});
    CHECK_FALSE(
        operating_point_at_speed(pump, drive_motor(), {}, s.pipes, s.lift, s.water, 0.83, 50 * psi_kpa)
            .reached);
}

TEST_CASE("frequency below which nothing flows, with static lift alone") {
    // Recomputed: lift 200 ft, shut-off 300 ft: 49.0 of 60 Hz. Without static head the plain powers hold: 50
    // and 45 Hz.
    PumpCurve const pump(PumpParameters{{{0, 300 * foot_m, 500}, {1e-3, 60 * foot_m, 900}}, false});
    LiftParameters lift;
    lift.static_level_m = 200 * foot_m;
    // Friction only: K v^2 is similar to the pump's own curve, so flow ~ s, head ~ s^2, power ~ s^3 exactly.
    PipingParameters const k{{{0, 0.03, 0, 150, 60}}};
    auto const at = [&](double s) {
        return operating_point_at_speed(pump, drive_motor(), {}, k, {}, {1000, 1e-3}, s, 0);
    };
    for (auto const& [hz, q, h, p] : {std::tuple{50., .833, .694, .579}, std::tuple{45., .75, .5625, .422}}) {
        double const s = hz / 60;
        CHECK(at(s).flow_m3_s / at(1).flow_m3_s == Near{s, 1e-9, 0});
        CHECK(at(s).flow_m3_s / at(1).flow_m3_s == Near{q, 5e-4, 0});
        CHECK(at(s).head_m / at(1).head_m == Near{h, 5e-4, 0});
        CHECK(at(s).shaft_w / at(1).shaft_w == Near{p, 5e-4, 0});
    }
}

TEST_CASE("drive never draws more shaft power than the throttled pump, and rises with flow") {
    auto const s = second_site();
    PumpCurve const pump(steep_pump(13));
    double before_w = 0;
    for (double q = 0.2; q < 10.6; q += 0.2) {
        auto const d =
            drive_point(pump, drive_motor(), {}, s.pipes, s.lift, s.water, q * gpm_m3_s, 50 * psi_kpa);
        CHECK(d.shaft_w <= pump.power_w(q * gpm_m3_s));
        CHECK(d.shaft_w > before_w);
        before_w = d.shaft_w;
    }
    CHECK_FALSE(
        drive_point(pump, drive_motor(), {}, s.pipes, s.lift, s.water, 11 * gpm_m3_s, 50 * psi_kpa).reached);
}

// Affinity: at 1.1 times the speed, 1.1 times the flow, 1.21 times the head and 1.331 times the power of the
// curve.
TEST_CASE(
    "a drive that turns faster than the mains: flow and power at full speed are those of the affinity laws") {
    auto const s = second_site();
    PumpCurve const pump(steep_pump(13));
    PressureTankParameters const tank{4 * gal_m3, 35 * psi_kpa, 45 * psi_kpa, 50 * psi_kpa};
    DriveParameters drive;
    drive.max_speed_ratio = 1.1;
    auto const c = make_drive_curve(tank, pump, drive_motor(), drive, s.pipes, s.lift, s.water).full_speed;
    double const flow = flow_at_m3_s(c, c.cut_out_m3);
    REQUIRE(flow > 1e-4);
    CHECK(pressure_of_head_kpa(
              1.21 * pump.head_m(flow / 1.1) - system_head_m(s.pipes, s.lift, s.water, flow, 0), s.water) ==
          Near{50 * psi_kpa, 0, 1e-5});
    CHECK(power_at_w(c, c.cut_out_m3) ==
          Near{electrical_input_w(drive_motor(), 1.331 * pump.power_w(flow / 1.1)) / drive.efficiency, 0,
               1e-5});
}

TEST_CASE("tank, sleep and wake: water and energy balance") {
    auto const s = second_site();
    PumpCurve const pump(steep_pump(13));
    PressureTankParameters const tank{4 * gal_m3, 35 * psi_kpa, 45 * psi_kpa, 50 * psi_kpa};
    DriveParameters const drive;
    auto const c = make_drive_curve(tank, pump, drive_motor(), drive, s.pipes, s.lift, s.water);
    // Holding power of the table against the point itself.
    std::mt19937_64 random(9);
    std::uniform_real_distribution<double> any(0.1, 10.5);
    for (int i = 0; i < 100; ++i) {
        double const q = any(random) * gpm_m3_s;
        CHECK(hold_power_w(c, q) ==
              Near{drive_point(pump, drive_motor(), drive, s.pipes, s.lift, s.water, q, 50 * psi_kpa)
                       .electrical_w,
                   0, 1e-3});
    }
    double const set_m3 = c.full_speed.cut_out_m3;
    SUBCASE("asleep without demand: standby only") {
        SwitchedTank state{set_m3, false};
        auto const t = run_constant_pressure(c, state, 0, 3600);
        CHECK(t.starts == 0);
        CHECK(t.energy_j == Near{15 * 3600, 1e-9, 0});
    }
    SUBCASE("ordinary tap: one wake-up, then holds the set point") {
        SwitchedTank state{set_m3, false};
        auto const t = run_constant_pressure(c, state, 5 * gpm_m3_s, 3600);
        CHECK(t.starts == 1);
        CHECK(state.water_m3 == set_m3);
        CHECK(t.unmet_m3 == 0);
        CHECK(t.pumped_m3 == Near{5 * gpm_m3_s * 3600, 1e-12, 0});
    }
    SUBCASE("trickle: many wake-ups") {
        SwitchedTank state{set_m3, false};
        auto const t = run_constant_pressure(c, state, 0.2 * gpm_m3_s, 3600);
        double const cycle_m3 = set_m3 - c.full_speed.cut_in_m3;
        CHECK(t.starts > 0.9 * 0.2 * gpm_m3_s * 3600 / cycle_m3);
        CHECK(t.pumped_m3 - 0.2 * gpm_m3_s * 3600 == Near{state.water_m3 - set_m3, 1e-12, 0});
    }
    SUBCASE("more than full speed gives: settles below the set point, or runs the tank empty") {
        SwitchedTank state{set_m3, true};
        auto const t = run_constant_pressure(c, state, 11 * gpm_m3_s, 3600);
        CHECK(t.unmet_m3 == 0);
        CHECK(flow_at_m3_s(c.full_speed, state.water_m3) / gpm_m3_s == Near{11, 1e-6, 0});
        SwitchedTank flooded{set_m3, true};
        CHECK(run_constant_pressure(c, flooded, 14 * gpm_m3_s, 3600).unmet_m3 > 0);
    }
}

TEST_CASE("drives that cannot be are refused") {
    PumpCurve const pump(steep_pump(13));
    CHECK_NOTHROW(validate(DriveParameters{}, drive_motor(), pump));
    CHECK_THROWS_AS(validate(DriveParameters{}, typical_submersible_motor(1, MotorWiring::two_wire), pump),
                    ParameterError);
    CHECK_THROWS_AS(validate(DriveParameters{}, drive_motor(), PumpCurve(steep_pump_13_by_input())),
                    ParameterError);
    DriveParameters d;
    d.efficiency = 1.1;
    CHECK_THROWS_AS(validate(d), ParameterError);
    d = {};
    d.min_speed_ratio = 1;
    CHECK_THROWS_AS(validate(d), ParameterError);
}

TEST_SUITE_END();
