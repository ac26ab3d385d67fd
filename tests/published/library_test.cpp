#include <doctest/doctest.h>

#include <boost/math/distributions/normal.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/special_functions/lambert_w.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "models/array/single_diode.hpp"
#include "models/water/piping.hpp"
#include "models/water/pump_cycle.hpp"
#include "tests/support/near.hpp"
#include "weather/random.hpp"

// What a general library works out from the same equation: it tests how the equation is solved here, not the
// equation.

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("published/library");

// Boost.Math: quantiles of the normal distribution.
TEST_CASE("normal quantiles of a library") {
    boost::math::normal_distribution<double> const normal;
    for (double const p : {1e-9, 1e-6, 0.001, 0.02, 0.2, 0.5, 0.77, 0.975, 0.9999})
        CHECK(weather::normal_quantile(p) == Near{boost::math::quantile(normal, p), 1e-13, 1e-12});
}

// Boost.Math: the single-diode equation solved for the current by Lambert's W (Jain & Kapoor 2004, form from
// memory).
TEST_CASE("current of a module by a library's Lambert function") {
    models::SingleDiodeParameters const module;
    for (double const light : {200.0, 600.0, 1000.0})
        for (double const cell_c : {-10.0, 25.0, 60.0})
            for (double const volts : {0.0, 15.0, 30.0, 40.0}) {
                auto const c = models::translate(module, light, cell_c);
                double const rs = c.series_ohm, rsh = c.shunt_ohm, il = c.light_current_a,
                             i0 = c.saturation_current_a;
                double const theta = rs * i0 * rsh / (c.a_v * (rs + rsh)) *
                                     std::exp(rsh * (rs * (il + i0) + volts) / (c.a_v * (rs + rsh)));
                double const amps =
                    (rsh * (il + i0) - volts) / (rs + rsh) - c.a_v / rs * boost::math::lambert_w0(theta);
                if (amps < 0) continue;  // a blocked string: no current flows back
                CHECK(models::current_a(c, volts) == Near{amps, 1e-10, 1e-10});
            }
}

// Boost.Math: Colebrook's equation (1939, from memory) solved for 1/sqrt(f) by bracketing.
TEST_CASE("friction factor by a library's root finder") {
    for (double const re : {4500.0, 2e4, 1e5, 1e7})
        for (double const rough : {0.0, 1e-5, 1e-3, 0.04}) {
            std::uintmax_t steps = 200;
            auto const root = boost::math::tools::toms748_solve(
                [&](double x) { return x + 2 * std::log10(rough / 3.7 + 2.51 / re * x); }, 1.0, 40.0,
                boost::math::tools::eps_tolerance<double>(52), steps);
            double const x = 0.5 * (root.first + root.second);
            CHECK(models::friction_factor(re, rough) == Near{1 / (x * x), 0, 1e-12});
        }
}

// Boost.Math: time to fill from cut-in to cut-out, the integral of dV / (Q(V) - q), by Gauss and Kronrod.
TEST_CASE("time to fill a tank by a library's quadrature") {
    auto const fill = models::fill_curve_from_nodes(
        {{0, 0.9e-3, 1300}, {0.02, 0.8e-3, 1250}, {0.06, 0.55e-3, 1100}, {0.08, 0.35e-3, 900}}, 0.02, 0.08);
    for (double const draw : {0.0, 1e-4, 3e-4}) {
        double const seconds =
            boost::math::quadrature::gauss_kronrod<double, 61>::integrate(
                [&](double v) { return 1 / (models::flow_at_m3_s(fill, v) - draw); }, 0.02, 0.06) +
            boost::math::quadrature::gauss_kronrod<double, 61>::integrate(
                [&](double v) { return 1 / (models::flow_at_m3_s(fill, v) - draw); }, 0.06, 0.08);
        CHECK(models::time_to_reach_s(fill, 0.02, 0.08, draw) == Near{seconds, 0, 1e-9});
    }
}

TEST_SUITE_END();
