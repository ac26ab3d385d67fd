#include "weather/horizon.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "tests/support/near.hpp"
#include "tests/weather/made_years.hpp"

using namespace holdwater::weather;
using holdwater::test::cloudless_year;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/horizon");

TEST_CASE("between points the horizon is a straight line, round the compass") {
    HorizonProfile h{std::vector<double>(12, 0.0)};
    h.elevation_deg[0] = 10, h.elevation_deg[11] = 20;
    CHECK(horizon_elevation_deg(h, 0) == Near{10, 1e-12, 0});
    CHECK(horizon_elevation_deg(h, 15) == Near{5, 1e-12, 0});
    CHECK(horizon_elevation_deg(h, 345) == Near{15, 1e-12, 0});
    CHECK(horizon_elevation_deg(h, -15) == Near{15, 1e-12, 0});
    CHECK(horizon_elevation_deg(h, 360) == Near{10, 1e-12, 0});
    CHECK(horizon_elevation_deg({}, 123) == 0);
}

TEST_CASE("beam and circumsolar light go where the sun is behind it, everything else stays") {
    auto const sun = sun_over_year({40, -105, 0, -7});
    auto const year = cloudless_year(sun);
    auto const open = plane_of_array(year, sun, Plane{40, 180}, TranspositionModel::perez);
    auto const flat = behind_horizon(open, sun, {std::vector<double>(36, 0.0)});
    CHECK(flat.beam_w_m2 == open.beam_w_m2);
    CHECK(behind_horizon(open, sun, {}).beam_w_m2 == open.beam_w_m2);
    auto const walled = behind_horizon(open, sun, {std::vector<double>(36, 90.0)});
    for (std::size_t i = 0; i < hours_per_year; ++i)
        REQUIRE(walled.beam_w_m2[i] + walled.circumsolar_w_m2[i] == 0);
    CHECK(walled.sky_w_m2 == open.sky_w_m2);
    CHECK(walled.ground_w_m2 == open.ground_w_m2);

    // Hills in the east take mornings only.
    HorizonProfile east{std::vector<double>(12, 0.0)};
    for (std::size_t k : {2u, 3u, 4u}) east.elevation_deg[k] = 25;
    auto const hilly = behind_horizon(open, sun, east);
    double morning = 0, afternoon = 0;
    for (std::size_t i = 0; i < hours_per_year; ++i)
        (sun.solar_time_h[i] < 12 ? morning : afternoon) += open.total_w_m2(i) - hilly.total_w_m2(i);
    CHECK(morning > 1000);
    CHECK(afternoon == 0);
    // A higher horizon never lets more light in.
    HorizonProfile higher = east;
    for (double& e : higher.elevation_deg) e += 5;
    CHECK(behind_horizon(open, sun, higher).total_kwh_m2() < hilly.total_kwh_m2());
}

TEST_CASE("bad profiles are refused") {
    CHECK_THROWS_WITH_AS(validate(HorizonProfile{{1, 2, 3}}),
                         "horizon has 3 points (must be 12 .. 36, or none)", std::invalid_argument);
    CHECK_THROWS_WITH_AS(validate(HorizonProfile{std::vector<double>(12, -1.0)}),
                         "horizon elevation -1 (must be 0 .. 90)", std::invalid_argument);
}

TEST_SUITE_END();
