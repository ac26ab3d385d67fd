#include "models/water/operating_point.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

namespace {

MotorParameters one_hp() { return typical_submersible_motor(1, MotorWiring::three_wire); }

}  // namespace

TEST_SUITE_BEGIN("models/operating_point");

TEST_CASE("worked total dynamic head, 10 gpm at 10 degC") {
    // Recomputed: static 120 ft, 1 gpm/ft, elevation 15 ft, 50 psi, 160 ft of 1.029 in with K 2.5, 140 ft
    // of 1.360 in with K 7.7, Hazen-Williams C 150.
    PipingParameters const pipes{
        {{160 * foot_m, 1.029 * inch_m, 1.5e-6, 150, 2.5}, {140 * foot_m, 1.360 * inch_m, 1.5e-6, 150, 7.7}},
        FrictionLaw::hazen_williams};
    LiftParameters lift;
    lift.static_level_m = 120 * foot_m;
    lift.specific_capacity_m2_s = gpm_m3_s / foot_m;
    lift.elevation_m = 15 * foot_m;
    Water const w = water_at(10);
    double const q = 10 * gpm_m3_s;
    CHECK(w.density_kg_m3 == Near{999.6996, 5e-5, 0});
    CHECK(head_of_pressure_m(50 * psi_kpa, w) == Near{35.164041, 1e-5, 0});
    CHECK(hazen_williams_loss_m(pipes.segments[0], q) == Near{2.939935, 1e-5, 0});
    CHECK(hazen_williams_loss_m(pipes.segments[1], q) == Near{0.661341, 1e-5, 0});
    double const head = system_head_m(pipes, lift, w, q, 50 * psi_kpa);
    CHECK(head == Near{83.315478, 1e-5, 0});
    CHECK(head / foot_m == Near{273.34474, 1e-4, 0});
    CHECK(hydraulic_power_w(q, head, w) == Near{515.32093, 1e-3, 0});
    CHECK(hydraulic_power_w(q, head, w) / hp_w == Near{0.691057, 1e-6, 0});
}

TEST_CASE("second worked head, and the operating points of an invented 1 hp pump") {
    // Recomputed independently, 1000 kg/m3: static 140 ft, 1.5 gpm/ft, elevation 15 ft, 200 ft of 1.380 in
    // with K 12, 150 ft of 1.360 in, Hazen-Williams C 150.
    PipingParameters const pipes{
        {{200 * foot_m, 1.380 * inch_m, 1.5e-6, 150, 12}, {150 * foot_m, 1.360 * inch_m, 1.5e-6, 150, 0}},
        FrictionLaw::hazen_williams};
    LiftParameters lift;
    lift.static_level_m = 140 * foot_m;
    lift.specific_capacity_m2_s = 1.5 * gpm_m3_s / foot_m;
    lift.elevation_m = 15 * foot_m;
    Water const w{1000, 1.3e-3};
    CHECK(system_head_m(pipes, lift, w, 10 * gpm_m3_s, 50 * psi_kpa) / foot_m == Near{283.069295, 1e-6, 0});
    PumpCurve const pump(steep_pump_13_by_input());
    // psi, gpm, ft, input W, wire to water, kWh/m3
    struct Row {
        double psi, gpm, ft, w, eta, kwh;
    };
    for (Row const r : {Row{0, 14.262205833, 176.311887258, 1507.403766845, 0.314584, 0.465349},
                        Row{30, 12.294033688, 241.332584899, 1503.486410878, 0.372142, 0.538444},
                        Row{40, 11.503668977, 262.826239669, 1496.170619298, 0.381085, 0.572638},
                        Row{50, 10.625552982, 284.216860601, 1474.752867140, 0.386171, 0.611087},
                        Row{60, 9.609254369, 305.438783335, 1442.956609003, 0.383582, 0.661149}}) {
        auto const o = operating_point(pump, one_hp(), pipes, lift, w, r.psi * psi_kpa);
        CHECK(o.reached);
        CHECK(o.flow_m3_s / gpm_m3_s == Near{r.gpm, 0, 1e-9});
        // Stated tolerance 1e-6. The 50 psi head is printed 8e-7 ft off the pump curve at its own flow,
        // whose other figures agree to 1e-10: a slip in its last digits, the others agree to 1e-9.
        CHECK(o.head_m / foot_m == Near{r.ft, 0, r.psi == 50 ? 1e-6 : 1e-9});
        CHECK(o.electrical_w == Near{r.w, 0, 1e-9});
        CHECK(hydraulic_power_w(o.flow_m3_s, o.head_m, w) / o.electrical_w == Near{r.eta, 1e-6, 0});
        CHECK(o.electrical_w / 3.6e6 / o.flow_m3_s == Near{r.kwh, 1e-6, 0});
    }
}

TEST_CASE("operating points of the 12-stage invented pump at four pressures") {
    // Recomputed with lift = 100 ft, 2.31 ft per psi and the 10.44 form of Hazen-Williams over 250 ft
    // of 1.360 in, C 150; the water below has the density that makes 1 psi 2.31 ft, and the length carries
    // the ratio of the two forms.
    PipingParameters const pipes{{{250 * foot_m * us_over_si_hazen_williams, 1.360 * inch_m}},
                                 FrictionLaw::hazen_williams};
    Water const w{psi_kpa * 1000 / (gravity_m_s2 * 2.31 * foot_m), 1.1e-3};
    LiftParameters lift;
    lift.static_level_m = 100 * foot_m;
    PumpCurve const pump(invented_pump(12));
    // psi, gpm, ft, shaft hp, input W, wire to water (with 3960), Wh/gal
    struct Row {
        double psi, gpm, ft, hp, w, eta, wh_gal;
    };
    for (Row const r : {Row{30, 13.019301933, 175.614632, 1.071028, 1279.25, 0.33656, 1.63764},
                        Row{40, 12.231735965, 198.025480, 1.074966, 1283.09, 0.35548, 1.74831},
                        Row{50, 11.317895915, 220.371982, 1.069310, 1277.58, 0.36762, 1.88135},
                        Row{60, 10.249316402, 242.654512, 1.046240, 1255.08, 0.37315, 2.04092}}) {
        auto const o = operating_point(pump, one_hp(), pipes, lift, w, r.psi * psi_kpa);
        CHECK(o.flow_m3_s / gpm_m3_s == Near{r.gpm, 1e-7, 0});
        CHECK(o.head_m / foot_m == Near{r.ft, 1e-5, 0});
        CHECK(o.shaft_w / hp_w == Near{r.hp, 1e-6, 0});
        CHECK(o.electrical_w == Near{r.w, 0.1, 0});
        CHECK(r.gpm * r.ft / 3960 * hp_w / o.electrical_w == Near{r.eta, 2e-5, 0});
        CHECK(o.electrical_w / 60 / r.gpm == Near{r.wh_gal, 1e-4, 0});
    }
}

TEST_CASE("more head, less flow; extra drawdown never raises flow; a longer pipe never raises flow") {
    std::mt19937_64 random(17);
    std::uniform_real_distribution<double> any(0, 1);
    for (int i = 0; i < 60; ++i) {
        PumpCurve const pump(invented_pump(6 + 28 * any(random)));
        PipingParameters pipes{{{20 + 100 * any(random), 0.02 + 0.02 * any(random)}}};
        LiftParameters lift;
        lift.static_level_m = pump.shut_off_head_m * 0.6 * any(random);
        lift.specific_capacity_m2_s = 1e-4 + 1e-3 * any(random);
        Water const w = water_at(12);
        double before = 1;
        for (double p_kpa = 0; p_kpa < 900; p_kpa += 15) {
            auto const o = operating_point(pump, one_hp(), pipes, lift, w, p_kpa);
            CHECK(o.flow_m3_s <= before);
            if (o.reached && !o.beyond_curve)
                CHECK(o.head_m == Near{system_head_m(pipes, lift, w, o.flow_m3_s, p_kpa), 1e-9, 1e-12});
            CHECK(hydraulic_power_w(o.flow_m3_s, o.head_m, w) < o.shaft_w);
            CHECK(o.shaft_w < o.electrical_w);
            before = o.flow_m3_s;
        }
        auto const plain = operating_point(pump, one_hp(), pipes, lift, w, 200);
        auto deeper = lift;
        deeper.drawdown_m += 10 * any(random);
        CHECK(operating_point(pump, one_hp(), pipes, deeper, w, 200).flow_m3_s <= plain.flow_m3_s);
        auto lossy = lift;
        lossy.well_loss_s2_m5 = 1e6;
        CHECK(operating_point(pump, one_hp(), pipes, lossy, w, 200).flow_m3_s <= plain.flow_m3_s);
        pipes.segments[0].length_m *= 2;
        CHECK(operating_point(pump, one_hp(), pipes, lift, w, 200).flow_m3_s <= plain.flow_m3_s);
    }
}

TEST_CASE("a pump that cannot reach says so, and what to do") {
    PumpCurve const pump(invented_pump(6));  // 162 ft
    LiftParameters lift;
    lift.static_level_m = 100 * foot_m;
    Water const w = water_at(10);
    CHECK(shut_off_pressure_kpa(pump, lift, w) / psi_kpa == Near{62 / 2.307352, 1e-4, 0});
    auto const o = operating_point(pump, one_hp(), {}, lift, w, 40 * psi_kpa);
    CHECK_FALSE(o.reached);
    CHECK(o.flow_m3_s == 0);
    CHECK(o.electrical_w ==
          Near{electrical_input_w(one_hp(), 6 * 0.052 * hp_w), 1e-9, 0});  // it still draws power
    CHECK_NOTHROW(require_reaches_cut_out(pump, lift, w, 20 * psi_kpa));
    try {
        require_reaches_cut_out(pump, lift, w, 60 * psi_kpa);
        FAIL("accepted");
    } catch (ParameterError const& e) {
        CHECK(e.field() == "cut_out_kpa");
        CHECK(e.rule().find("never switch off") != std::string::npos);
        CHECK(e.rule().find("185 kPa") != std::string::npos);
    }
}

TEST_CASE("more flow asked than the curve holds: held at its last row and flagged") {
    LiftParameters lift;
    auto const o = operating_point(invented_pump(12), one_hp(), {}, lift, 0);
    CHECK(o.beyond_curve);
    CHECK(o.flow_m3_s / gpm_m3_s == Near{16, 1e-12, 0});
}

TEST_CASE("drawdown with turbulent well loss") {
    // Recomputed step test: B 2.00 ft/gpm, C 0.050 ft/gpm2: 11.25, 25.00, 41.25 ft at 5, 10, 15 gpm
    LiftParameters lift;
    lift.specific_capacity_m2_s = gpm_m3_s / (2 * foot_m);
    lift.well_loss_s2_m5 = 0.05 * foot_m / (gpm_m3_s * gpm_m3_s);
    for (auto const& [gpm, ft] : {std::pair{5., 11.25}, {10., 25.}, {15., 41.25}})
        CHECK(system_head_m({}, lift, water_at(10), gpm * gpm_m3_s, 0) / foot_m == Near{ft, 1e-9, 0});
}

TEST_CASE("lifts that cannot be are refused") {
    auto const refused = [](auto change, char const* field) {
        LiftParameters l;
        change(l);
        try {
            validate(l);
            FAIL("accepted ", field);
        } catch (ParameterError const& e) {
            CHECK(e.field() == field);
        }
    };
    CHECK_NOTHROW(validate(LiftParameters{}));
    refused([](auto& l) { l.static_level_m = -3; }, "static_level_m");
    LiftParameters flowing;
    flowing.static_level_m = -3;
    flowing.flowing_well = true;
    CHECK_NOTHROW(validate(flowing));
    refused([](auto& l) { l.specific_capacity_m2_s = 0; }, "specific_capacity_m2_s");
    refused([](auto& l) { l.well_loss_s2_m5 = -1; }, "well_loss_s2_m5");
    refused([](auto& l) { l.drawdown_m = -1; }, "drawdown_m");
    refused([](auto& l) { l.water_temperature_c = -2; }, "water_temperature_c");
    refused([](auto& l) { l.elevation_m = std::numeric_limits<double>::quiet_NaN(); }, "elevation_m");
}

TEST_SUITE_END();
