#include <doctest/doctest.h>

#include <boost/math/constants/constants.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/special_functions/expint.hpp>
#include <boost/math/special_functions/lambert_w.hpp>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "models/array/single_diode.hpp"
#include "models/water/piping.hpp"
#include "models/water/pump_cycle.hpp"
#include "models/water/well.hpp"
#include "tests/support/near.hpp"
#include "weather/angles.hpp"
#include "weather/handbook_sun.hpp"

// What a general library works out from the same equation: it tests how the equation is solved here, not the
// equation.

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("published/library");

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

// Boost.Math: the exponential integral E1 in Theis' drawdown Q / (4 pi T) E1(u).
TEST_CASE("drawdown by a library's exponential integral") {
    models::AquiferParameters const aquifer{5e-5, 2e-4};
    for (double const radius_m : {0.08, 3.0, 40.0})
        for (double const seconds : {60.0, 3600.0, 86400.0, 3e7}) {
            double const u =
                radius_m * radius_m * aquifer.storativity / (4 * aquifer.transmissivity_m2_s * seconds);
            double const drawdown_m =
                6e-4 / (4 * boost::math::constants::pi<double>() * aquifer.transmissivity_m2_s) *
                boost::math::expint(1, u);
            CHECK(models::theis_drawdown_m(aquifer, 6e-4, radius_m, seconds) ==
                  Near{drawdown_m, 1e-15, 1e-9});
        }
}

// Boost.Math: the greatest power of a module, by Brent's search over its voltage.
TEST_CASE("maximum power of a module by a library's search") {
    models::SingleDiodeParameters const module;
    for (double const light : {100.0, 400.0, 1000.0})
        for (double const cell_c : {-10.0, 25.0, 60.0}) {
            auto const curve = models::translate(module, light, cell_c);
            double const open_v = models::open_circuit_voltage_v(curve);
            auto const least = boost::math::tools::brent_find_minima(
                [&](double volts) { return -volts * models::current_a(curve, volts); }, 0.3 * open_v, open_v,
                40);
            CHECK(models::maximum_power_point(curve, open_v).power_w == Near{-least.second, 0, 1e-9});
        }
}

// Boost.Math: light outside the atmosphere between two hour angles, the integral of the sun's height.
TEST_CASE("light outside the atmosphere by a library's quadrature") {
    for (double const latitude : {-40.0, 0.0, 36.6, 60.0})
        for (double const declination : {-23.0, 4.0, 20.0}) {
            double const joules = 43200 / boost::math::constants::pi<double>() * 1361.1 *
                                  boost::math::quadrature::gauss_kronrod<double, 31>::integrate(
                                      [&](double angle_rad) {
                                          return weather::sin_deg(latitude) * weather::sin_deg(declination) +
                                                 weather::cos_deg(latitude) * weather::cos_deg(declination) *
                                                     std::cos(angle_rad);
                                      },
                                      -30 * weather::rad_per_deg, 45 * weather::rad_per_deg);
            CHECK(weather::extraterrestrial_j_m2(1361.1, latitude, declination, -30, 45) ==
                  Near{joules, 0, 1e-12});
        }
}

TEST_SUITE_END();
