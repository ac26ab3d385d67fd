#include "models/inverter.hpp"

#include <doctest/doctest.h>

#include "models/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

// Invented efficiencies 0.88, 0.95, 0.93 at 10, 50, 100 % of 6 kW.
InverterParameters example() {
    auto const curve = fit_loss_curve(0.88, 0.95, 0.93);
    return {6000, curve.p0 * 6000, curve.k1, curve.k2, {{2.0, 5}, {1.5, 30}, {1.1, 1800}}};
}

}  // namespace

TEST_SUITE_BEGIN("models/inverter");

// Schmidt & Sauer, Sonnenenergie 4/1996, 43-47 (citation from memory); all values recomputed from the
// equations, printed to the digits shown.
TEST_CASE("the loss curve through three efficiencies") {
    auto const curve = fit_loss_curve(0.88, 0.95, 0.93);
    CHECK(curve.p0 == Near{0.014144701, 5e-10, 0});
    CHECK(curve.k1 == Near{-0.012439763, 5e-10, 0});
    CHECK(curve.k2 == Near{0.073563879, 5e-10, 0});
    CHECK(!curve.inconsistent);
    CHECK(!curve.deep_dip);  // lowest loss 0.013619 at p 0.08455, against 0.014145 at no load
    auto const p = example();
    CHECK_NOTHROW(validate(p));
    struct Row {
        double load, efficiency;
    };
    for (auto const& row : std::vector<Row>{{0.05, 0.784848},
                                            {0.1, 0.88},
                                            {0.25, 0.941150},
                                            {0.5, 0.95},
                                            {0.75, 0.941981},
                                            {1.0, 0.93},
                                            {0.438495, 0.950503}}) {
        CAPTURE(row.load);
        CHECK(efficiency(p, 6000 * row.load) == Near{row.efficiency, 5e-7, 0});
    }
    CHECK(std::sqrt(curve.p0 / curve.k2) == Near{0.438495, 5e-7, 0});
    double const dip = curve.p0 - curve.k1 * curve.k1 / (4 * curve.k2);
    CHECK(dip == Near{0.013619, 5e-7, 0});
    CHECK(p.idle_w == Near{84.868, 5e-4, 0});
    CHECK(dc_input_w(p, 1500) == Near{1593.795, 5e-4, 0});
    CHECK(ac_output_w(p, 1700) == Near{1603.553, 5e-4, 0});
    CHECK(european_efficiency(p) == Near{0.934129, 5e-7, 0});
    CHECK(californian_efficiency(p) == Near{0.940601, 5e-7, 0});
}

// Inconsistent points 0.80, 0.90, 0.92: the exact solution has k2 = -0.015097 (recomputed) and must warn.
TEST_CASE("inconsistent efficiencies are refitted without a negative loss and marked") {
    auto const curve = fit_loss_curve(0.80, 0.90, 0.92);
    CHECK(curve.inconsistent);
    CHECK(curve.k2 == 0);
    CHECK(curve.p0 >= 0);
    InverterParameters const p{1000, curve.p0 * 1000, curve.k1, curve.k2, {}};
    CHECK_NOTHROW(validate(p));
    CHECK(efficiency(p, 100) == Near{0.80, 0.02, 0});
    CHECK(efficiency(p, 500) == Near{0.90, 0.02, 0});
    CHECK(efficiency(p, 1000) == Near{0.92, 0.02, 0});
    // The straight line of least squares through the three losses, by its normal equations.
    double const loss[3] = {0.1 * 0.25, 0.5 / 0.9 - 0.5, 1 / 0.92 - 1}, load[3] = {0.1, 0.5, 1};
    double sp = 0, sl = 0, spp = 0, spl = 0;
    for (int i = 0; i < 3; ++i)
        sp += load[i], sl += loss[i], spp += load[i] * load[i], spl += load[i] * loss[i];
    double const slope = (3 * spl - sp * sl) / (3 * spp - sp * sp);
    CHECK(curve.k1 == Near{slope, 0, 1e-12});
    CHECK(curve.p0 == Near{(sl - slope * sp) / 3, 0, 1e-12});
}

TEST_CASE("a steep dip is marked and a negative loss refused") {
    // Loss per unit of rating 0.02 + -0.05 p + 0.10 p^2: lowest 0.01375, below 0.8 of 0.02.
    auto const at = [](double p) { return p / (p + 0.02 - 0.05 * p + 0.10 * p * p); };
    auto const curve = fit_loss_curve(at(0.1), at(0.5), at(1.0));
    CHECK(curve.p0 == Near{0.02, 1e-12, 0});
    CHECK(curve.deep_dip);
    auto const negative = [](double p) { return p / (p + 0.01 - 0.15 * p + 0.3 * p * p); };
    CHECK_THROWS_AS(fit_loss_curve(negative(0.1), negative(0.5), negative(1.0)), ParameterError);
    CHECK_THROWS_AS(fit_loss_curve(0.9, 1.0, 0.95), ParameterError);
}

TEST_CASE("input and output are inverse, also without a square term, and no input gives no output") {
    for (double k2 : {0.0, 1e-15, 1e-6, 0.07}) {
        InverterParameters const p{5000, 40, 0.02, k2, {}};
        for (double ac_w : {0.0, 1e-3, 10.0, 500.0, 5000.0, 10000.0})
            CHECK(ac_output_w(p, dc_input_w(p, ac_w)) == Near{ac_w, 1e-9, 1e-12});
        CHECK(ac_output_w(p, 39) == 0);
        CHECK(ac_output_w(p, 0) == 0);
        CHECK(efficiency(p, 0) == 0);
    }
}

// Idle over a cloudy run: 50 W for 72 h is 3.6 kWh (recomputed).
TEST_CASE("idle and search mode") {
    InverterParameters p{5000, 50, 0.02, 0.03, {}};
    CHECK(dc_input_w(p, 0) * 72 / 1000 == Near{3.6, 0, 1e-12});
    CHECK(!sleeps(p, 0));
    p.search_w = 6;
    p.search_wake_w = 30;
    CHECK_NOTHROW(validate(p));
    CHECK(sleeps(p, 10));
    CHECK(standing_dc_w(p, 10) == 6);
    CHECK(!sleeps(p, 40));  // one standing load over the threshold and it never sleeps
    CHECK(standing_dc_w(p, 40) > 90);
}

// Idle story: 7 kWh a month of pump, 5.12 kWh bank with 90 % usable, inverter 90 %, no sun; days recomputed
// for the story and printed to 0.1. The inverter is idle plus a constant 10 % loss here.
TEST_CASE("idle empties the bank before the pump does") {
    struct Row {
        double idle_w, days;
    };
    for (auto const& [idle_w, days] :
         std::vector<Row>{{0, 17.8}, {8, 10.2}, {25, 5.4}, {60, 2.7}, {100, 1.7}}) {
        CAPTURE(idle_w);
        InverterParameters const p{5000, idle_w, 1 / 0.9 - 1, 0, {}};
        double const pump_w = 7000.0 / 30 / 24;
        CHECK(0.9 * 5120 / (24 * dc_input_w(p, pump_w)) == Near{days, 0.051, 0});
    }
}

TEST_CASE("the motor's voltage must be one the inverter makes") {
    InverterParameters p = example();
    CHECK_NOTHROW(check_motor_voltage(p, 230));
    CHECK_NOTHROW(check_motor_voltage(p, 115));
    p.output_v = 120;
    p.legs = 1;
    CHECK_NOTHROW(check_motor_voltage(p, 115));
    CHECK_THROWS_WITH_AS(
        check_motor_voltage(p, 230),
        "motor volts = 230 (the inverter does not make this voltage: use a split-phase inverter, two "
        "units as a pair, or a transformer rated for the start)",
        ParameterError);
}

TEST_CASE("bad parameters are refused") {
    auto const refused = [](auto change) {
        auto p = example();
        change(p);
        CHECK_THROWS_AS(validate(p), ParameterError);
    };
    refused([](auto& p) { p.rated_power_w = 0; });
    refused([](auto& p) { p.idle_w = -1; });
    refused([](auto& p) { p.k2 = -0.01; });
    refused([](auto& p) { p.legs = 3; });
    refused([](auto& p) { p.search_w = 500; });
    refused([](auto& p) { p.surge = {{1.5, 30}, {2.0, 5}}; });
    refused([](auto& p) { p.pass_through_va = 0; });
    auto p = example();
    p.surge = {{2.0, 0}};
    CHECK_THROWS_WITH_AS(validate(p),
                         "surge seconds = 0 (must be above 0: a surge rating without seconds says nothing)",
                         ParameterError);
}

TEST_SUITE_END();
