#include "models/array/pv_array.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "models/array/array_curve.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

namespace {

PvArrayParameters linear(double rated_w) {
    PvArrayParameters p;
    p.module.rated_power_w = rated_w;
    return p;
}
PvArrayParameters diode(int series, int strings) {
    PvArrayParameters p;
    p.module_model = ModuleModel::single_diode;
    p.modules_in_series = series;
    p.strings_in_parallel = strings;
    return p;
}
PlaneSample const noon{.beam_w_m2 = 700,
                       .circumsolar_w_m2 = 60,
                       .sky_w_m2 = 80,
                       .ground_w_m2 = 15,
                       .incidence_deg = 20,
                       .tilt_deg = 35};

PlaneSample random_sample(std::mt19937_64& g) {
    auto const u = [&](double hi) { return std::uniform_real_distribution<double>(0, hi)(g); };
    return {u(900), u(100), u(300), u(60), u(95), u(90)};
}

}  // namespace

TEST_SUITE_BEGIN("models/pv_array");

TEST_CASE("2 x 5 modules give ten times one module") {
    // Recomputed, 50 digits (see single_diode_test.cpp): module A 388.7094767 W at 1000 W/m2, 25 C; string of
    // 2 at 40.5315619 V each.
    auto const c = array_curve(diode(2, 5), {1000, 1000, 25});
    auto const m = array_maximum_power_point(c);
    CHECK(m.power_w == Near{3887.094767, 0, 1e-6});
    CHECK(m.voltage_v == Near{81.0631238, 0, 1e-6});
    CHECK(array_open_circuit_v(c) == Near{2 * 49.09167093, 0, 1e-6});
    CHECK(array_current_a(c, 2 * 26.4) == Near{5 * 10.1016551, 0, 1e-6});
    CHECK(array_rated_power_w(diode(2, 5)) == Near{3887.094767, 0, 1e-6});
    auto p = linear(400);
    p.modules_in_series = 3;
    p.strings_in_parallel = 4;
    CHECK(array_rated_power_w(p) == 4800);
}

TEST_CASE("light is worked through by hand in the stated order") {
    // 5 % soiling in March, 10 % shade: clean 0.855. Heat from 0.855 x 855 W/m2. Modifiers at 20, 56.676
    // and 73.04 deg are the curve's own (tested in incidence_modifier_test.cpp); what is tested here is who
    // gets which.
    auto p = linear(1000);
    p.soiling_by_month[2] = 0.05;
    p.shading_fraction = 0.10;
    auto const c = array_conditions(p, noon, 12, 3, 3);
    CHECK(c.plane_w_m2 == Near{0.855 * 855, 0, 1e-12});
    CHECK(c.cell_c == Near{12 + 0.855 * 855 / (25 + 6.84 * 3), 0, 1e-12});
    double const reaching = 760 * incidence_modifier(p.incidence, 20) +
                            80 * sky_incidence_modifier(p.incidence, 35) +
                            15 * ground_incidence_modifier(p.incidence, 35);
    CHECK(c.effective_w_m2 == Near{0.855 * reaching, 0, 1e-12});
    // Weak light: 2 % at 200 W/m2 of the default, 0.08 % at the 0.73 kW/m2 here.
    double const dim = std::log(c.effective_w_m2 / 1000) / std::log(0.2);
    CHECK(array_power_w(p, noon, 12, 3, 3) ==
          Near{c.effective_w_m2 * (1 - 0.02 * dim * dim) * (1 - 0.0037 * (c.cell_c - 25)), 0, 1e-12});
    // Another month is clean.
    CHECK(array_conditions(p, noon, 12, 3, 4).plane_w_m2 == Near{0.9 * 855, 0, 1e-12});
}

TEST_CASE("losses after the module: flat share, age, and wiring that grows with the current") {
    auto p = linear(1000);
    double const clean_w = array_power_w(p, noon, 20, 2, 6);
    p.dc_loss_fraction = 0.04;
    CHECK(array_power_w(p, noon, 20, 2, 6) == Near{0.96 * clean_w, 0, 1e-12});
    p.age_factor = age_factor(0.005, 10);
    CHECK(array_power_w(p, noon, 20, 2, 6) == Near{0.96 * 0.95 * clean_w, 0, 1e-12});
    p = linear(1000);
    p.wiring_loss_fraction_at_stc = 0.02;
    // I^2 R: half the light loses half the fraction, a quarter of the watts.
    CHECK(array_loss_factor(p, 1000) == Near{0.98, 0, 1e-12});
    CHECK(array_loss_factor(p, 500) == Near{0.99, 0, 1e-12});
}

TEST_CASE("the hourly form and the curve agree with the power") {
    std::mt19937_64 g(5);
    auto p = diode(3, 2);
    p.dc_loss_fraction = 0.03;
    p.wiring_loss_fraction_at_stc = 0.02;
    for (int n = 0; n < 500; ++n) {
        auto const s = random_sample(g);
        double const w = array_power_w(p, s, 15, 2, 5);
        auto const h = array_hour(p, s, 15, 2, 5);
        auto const c = array_curve(p, array_conditions(p, s, 15, 2, 5));
        CHECK(h.power_w == Near{w, 1e-9, 1e-12});
        CHECK(array_maximum_power_point(c).power_w == Near{w, 1e-9, 1e-12});
        CHECK(h.mpp_v == Near{array_maximum_power_point(c).voltage_v, 1e-9, 1e-12});
        CHECK(h.open_circuit_v == Near{array_open_circuit_v(c), 1e-9, 1e-12});
        auto const l = linear(5000);
        CHECK(array_hour(l, s, 15, 2, 5).power_w == array_power_w(l, s, 15, 2, 5));
        CHECK(array_hour(l, s, 15, 2, 5).mpp_v == 0);
    }
}

TEST_CASE("no sun gives no power") {
    for (auto const& p : {linear(1000), diode(2, 2)}) {
        CHECK(array_power_w(p, {.tilt_deg = 30}, 20, 1, 6) == 0);
        CHECK(array_power_w(p, {.beam_w_m2 = 0, .incidence_deg = 120, .tilt_deg = 30}, -30, 0, 1) == 0);
        // A sun behind the plane brings no beam even if a sample claims one.
        CHECK(array_power_w(p, {.beam_w_m2 = 500, .incidence_deg = 91, .tilt_deg = 30}, 20, 1, 6) == 0);
    }
}

TEST_CASE(
    "never negative, more light gives more, hotter air gives less, never above rating x light x cold gain") {
    std::mt19937_64 g(42);
    for (int n = 0; n < 3000; ++n) {
        auto const s = random_sample(g);
        double const air_c = std::uniform_real_distribution<double>(-40, 45)(g);
        for (auto const& p : {linear(2000), diode(2, 3)}) {
            CAPTURE(n);
            double const w = array_power_w(p, s, air_c, 2, 7);
            auto const c = array_conditions(p, s, air_c, 2, 7);
            CHECK(w >= 0);
            CHECK(array_power_w(p, s, air_c + 5, 2, 7) <= w);
            auto brighter = s;
            brighter.sky_w_m2 += 20;
            // Holds although the light also heats: at most 1/(25 W/m2K) x 0.4 %/K of 1.3 kW/m2 is lost to
            // that.
            CHECK(array_power_w(p, brighter, air_c, 2, 7) >= w);
            // Rating x light x cold gain. The linear model meets it with its own gamma. A diode module loses
            // less than in proportion in its series resistance at medium light, so it may pass its own rating
            // x light, but never that of the same module without the resistor, with 0.4 %/K below 25 C and
            // the logarithmic gain of voltage above 1000 W/m2.
            auto lossless = p;
            lossless.diode.series_ohm = 0;
            double const cold_per_k = p.module_model == ModuleModel::linear ? 0.0037 : 0.0040;
            double const strong = p.module_model == ModuleModel::linear || c.effective_w_m2 < 1000
                                      ? 1
                                      : 1 + p.diode.a_v / 40 * std::log(c.effective_w_m2 / 1000);
            CHECK(w <= array_rated_power_w(lossless) * c.effective_w_m2 / 1000 * strong *
                           (1 + cold_per_k * std::max(0.0, 25 - c.cell_c)) * (1 + 1e-12));
        }
    }
}

TEST_CASE("a parameter that cannot be is named") {
    PvArrayParameters p;
    CHECK_NOTHROW(validate(p));
    p.soiling_by_month[10] = 5;
    CHECK_THROWS_WITH_AS(validate(p), "soiling_by_month[11] = 5 (must be 0 to 1; 3 % is 0.03)",
                         ParameterError);
    p = {};
    p.strings_in_parallel = 0;
    CHECK_THROWS_AS(validate(p), ParameterError);
    p = {};
    p.dc_loss_fraction = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(validate(p), ParameterError);
    p = {};
    p.diode.shunt_ohm = -1;  // not used by the linear model
    CHECK_NOTHROW(validate(p));
    p.module_model = ModuleModel::single_diode;
    CHECK_THROWS_AS(validate(p), ParameterError);
}

TEST_SUITE_END();
