#include "models/water/pump.hpp"

#include <doctest/doctest.h>

#include <array>

#include "models/electric/motor.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

TEST_SUITE_BEGIN("models/pump");

TEST_CASE("an invented family: equal stages, head and power multiply") {
    // hp, stages, head ft at 0/4/8/10/12/14 gpm, shaft hp at 10 gpm, most shaft hp; printed rounded
    struct Row {
        double hp, stages;
        std::array<double, 6> ft;
        double at_10, most, service_factor_hp;
    };
    for (Row const& r : {Row{0.5, 6, {162.0, 155.4, 138.6, 123.6, 102.0, 72.0}, .520, .538, .800},
                         Row{0.75, 9, {243.0, 233.1, 207.9, 185.4, 153.0, 108.0}, .780, .806, 1.125},
                         Row{1, 12, {324.0, 310.8, 277.2, 247.2, 204.0, 144.0}, 1.040, 1.075, 1.400},
                         Row{1.5, 18, {486.0, 466.2, 415.8, 370.8, 306.0, 216.0}, 1.561, 1.613, 1.950},
                         Row{2, 24, {648.0, 621.6, 554.4, 494.4, 408.0, 288.0}, 2.081, 2.150, 2.500},
                         Row{3, 34, {918.0, 880.6, 785.4, 700.4, 578.0, 408.0}, 2.948, 3.046, 3.450}}) {
        PumpCurve const pump(invented_pump(r.stages));
        std::array<double, 6> const gpm{0, 4, 8, 10, 12, 14};
        for (std::size_t i = 0; i < 6; ++i)
            CHECK(pump.head_m(gpm[i] * gpm_m3_s) / foot_m == Near{r.ft[i], 0.05, 0});
        CHECK(pump.power_w(10 * gpm_m3_s) / hp_w == Near{r.at_10, 6e-4, 0});
        double most = 0;
        for (double q = 0; q <= 16; q += 0.01) most = std::max(most, pump.power_w(q * gpm_m3_s) / hp_w);
        CHECK(most == Near{r.most, 6e-4, 0});
        CHECK(most < r.service_factor_hp);
    }
}

TEST_CASE("efficiency follows from power and falls to nothing at shut-off") {
    // gpm ft / 3960 / hp, recomputed for the invented stage at 2, 4 .. 16 gpm
    PumpCurve const pump(invented_pump(1));
    std::array<double, 8> const eta{.2199, .3899, .5098, .5747, .6000, .5749, .4799, .2799};
    for (std::size_t i = 0; i < 8; ++i) {
        double const q = 2.0 * static_cast<double>(i + 1);
        CHECK(q * pump.head_m(q * gpm_m3_s) / foot_m / 3960 / (pump.power_w(q * gpm_m3_s) / hp_w) ==
              Near{eta[i], 6e-5, 0});
    }
    CHECK(pump.power_w(0) / hp_w == Near{0.052, 1e-12, 0});
}

TEST_CASE("second invented family: stage efficiency, input from a loss line") {
    // gpm ft / 3960 / hp, recomputed; the printed list has .391 at 4 gpm where this division gives .3905.
    std::array<double, 8> const eta{.230, .391, .499, .565, .590, .573, .496, .323};
    PumpCurve const pump(steep_pump(1));
    for (std::size_t i = 0; i < 8; ++i) {
        double const q = 2.0 * static_cast<double>(i + 1);
        CHECK(q * pump.head_m(q * gpm_m3_s) / foot_m / 3960 / (pump.power_w(q * gpm_m3_s) / hp_w) ==
              Near{i == 1 ? .3905 : eta[i], 5.1e-4, 0});
    }
    // Input = a + b shaft, a = 0.35 losses at service-factor load, 1 hp: 13 stages, factor 1.4, motor eta
    // 0.66
    double const service_w = 1.4 * hp_w, a = 0.35 * (service_w / .66 - service_w),
                 b = (service_w / .66 - a) / service_w;
    for (std::size_t i = 0; i < 9; ++i)
        CHECK(a + b * 13 * steep_stage_shaft_hp[i] * hp_w == Near{steep_13_input_w[i], 0.5, 0});
    // Input W of the other sizes by the same line: hp, stages, factor, motor efficiency.
    struct Size {
        double hp, stages, factor, eta;
        std::array<double, 9> input_w;
    };
    for (Size const& s : {Size{0.5, 7, 1.6, .62, {537, 602, 672, 737, 796, 843, 869, 873, 858}},
                          Size{0.75, 10, 1.5, .64, {735, 827, 924, 1015, 1097, 1163, 1199, 1204, 1184}},
                          Size{1.5, 18, 1.3, .69, {1200, 1356, 1521, 1677, 1815, 1928, 1989, 1998, 1963}},
                          Size{2, 24, 1.25, .72, {1509, 1711, 1924, 2126, 2305, 2451, 2529, 2541, 2496}},
                          Size{3, 33, 1.15, .75, {1977, 2246, 2531, 2800, 3040, 3234, 3339, 3354, 3294}}}) {
        CAPTURE(s.hp);
        double const full_w = s.hp * s.factor * hp_w, lost = 0.35 * (full_w / s.eta - full_w),
                     slope = (full_w / s.eta - lost) / full_w;
        MotorParameters motor;
        motor.rated_power_w = s.hp * hp_w;
        motor.input_intercept_w = lost;
        motor.input_slope = slope;
        PumpCurve const sized(steep_pump(s.stages));
        for (std::size_t i = 0; i < 9; ++i) {
            double const q = 2.0 * static_cast<double>(i) * gpm_m3_s;
            CHECK(electrical_input_w(motor, sized.power_w(q)) == Near{s.input_w[i], 0.51, 0});
            CHECK(hydraulic_power_w(q, sized.head_m(q), {1000, 1e-3}) < sized.power_w(q));
            CHECK(sized.power_w(q) <= full_w);
        }
    }
    // Wire to water at 10 gpm 0.386
    CHECK(hydraulic_power_w(10 * gpm_m3_s, 297.7 * foot_m, {1000, 1e-3}) / 1456 == Near{.386, 5e-4, 0});
}

TEST_CASE("curves that cannot be are refused with their physical reason") {
    auto const refused = [](auto change, char const* field, char const* part) {
        auto p = invented_pump(12);
        change(p);
        try {
            validate(p);
            FAIL("accepted ", field);
        } catch (ParameterError const& e) {
            CHECK(e.field() == field);
            CHECK(e.rule().find(part) != std::string::npos);
        }
    };
    CHECK_NOTHROW(validate(invented_pump(12)));
    refused([](auto& p) { p.curve.back().head_m = -1; }, "head_m", "negative head");
    refused([](auto& p) { p.curve[3].head_m = 100; }, "head_m", "no unique operating point");
    refused([](auto& p) { p.curve[3].flow_m3_s = p.curve[2].flow_m3_s; }, "flow_m3_s", "rise");
    refused([](auto& p) { p.curve.erase(p.curve.begin()); }, "flow_m3_s", "shut-off");
    refused([](auto& p) { p.curve[5].power_w = 300; }, "power_w", "gives out more than it takes in");
    refused([](auto& p) { p.power_is_input = true, p.curve[5].power_w *= 0.75; }, "power_w", "75 %");
    refused([](auto& p) { p.curve[0].power_w = 0; }, "power_w", "closed valve");
    refused([](auto& p) { p.curve.resize(1); }, "curve", "two rows");
    refused([](auto& p) { p.curve[2].head_m = std::numeric_limits<double>::quiet_NaN(); }, "head_m", "");
}

TEST_SUITE_END();
