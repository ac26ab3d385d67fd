#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/weather/made_years.hpp"
#include "weather/angles.hpp"
#include "weather/atmosphere.hpp"
#include "weather/quality.hpp"
#include "weather/random.hpp"
#include "weather/transposition.hpp"

using namespace holdwater::weather;
using holdwater::test::cloudless_year;
using holdwater::test::Near;

namespace {

constexpr TranspositionModel sky_models[] = {TranspositionModel::isotropic, TranspositionModel::hay_davies,
                                             TranspositionModel::perez};

/// A year without light but what a test puts in.
WeatherYear dark_year(SunYear const& sun) {
    auto year = cloudless_year(sun);
    for (auto* light : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2}) light->assign(hours_per_year, 0);
    return year;
}

/// The hour of a year whose sun is up for the part nearest to `fraction`, in the morning or in the evening.
std::size_t hour_lit_for(SunYear const& sun, double fraction, bool morning) {
    std::size_t best = 0;
    double distance = 2;
    for (std::size_t i = 1; i + 1 < hours_per_year; ++i) {
        double const f = sun.sun_up_fraction[i];
        if (f <= 0 || f >= 1 || (sun.sun_up_fraction[i + 1] > f) != morning) continue;
        if (std::abs(f - fraction) < distance) distance = std::abs(f - fraction), best = i;
    }
    return best;
}

}  // namespace

TEST_SUITE_BEGIN("weather/sunrise_light");

// As found in a file: 14 W/m2 of diffuse light in the mean of an hour in which the sun is up for about 18 s.
// By hand, with G0n = 1361.1, z = 89.97, air mass 37.476: as a mean of those 18 s it would be 14/0.005 = 2800
// W/m2, Del = 2800 x 37.5/1361 = 77 and F1 = 0.588 x 77 - ... = 45, which gave 2 kW/m2 and more (7.7 at
// worst). The brightest sky of the model gives 0.7 x 1361.1/37.476 = 25.42 W/m2, so 0.005 x 25.42 = 0.13 of
// the 14 W/m2; 13.87 came before sunrise from the whole sky: 13.87 x (1 + cos 60)/2 = 10.4 on a plane tilted
// 60 deg. The sky of the 18 s: F1 = -0.008 + 0.588 x 0.7 - 0.062 x 1.5703 = 0.306, F2 = -0.060 + 0.072 x 0.7
// - 0.022 x 1.5703 = -0.044; facing the sun (a = sin 60 = 0.866): 25.42 [0.694 x 0.75 + 0.306 x 0.866/0.0872
// - 0.044 x 0.866] = 89.5 W/m2, in the hour's mean 0.45. Ground 14 x 0.2 x 0.25 = 0.7.
TEST_CASE("14 W/m2 in the hour of sunrise stay what they are") {
    double const f = 0.005, z = 89.97, normal = 1361.1;
    Plane const plane{60, 120};
    SunForPlane const sun{z, 120, normal, relative_air_mass(z)};
    CHECK(sun.air_mass == Near{37.476, 0.001, 0});
    auto const part = transpose({14 / f, 0, 14 / f}, sun, plane, 0.2, TranspositionModel::perez);
    CHECK(part.circumsolar_w_m2 * f == Near{0.005 * 25.42 * 0.306 * 0.866 / 0.08716, 2e-3, 0});
    CHECK(part.total_w_m2() * f == Near{10.40 + 0.45 + 0.70, 0.02, 0});
    for (auto model : sky_models)
        CHECK(transpose({14 / f, 0, 14 / f}, sun, plane, 0.2, model).total_w_m2() * f < 14);

    // The same through a year: every hour lit for less than a minute holds 14 W/m2.
    Site const site{40, -105, 1600, -7};
    auto const year_sun = sun_over_year(site);
    auto year = dark_year(year_sun);
    int hours = 0;
    for (std::size_t i = 0; i < hours_per_year; ++i)
        if (year_sun.sun_up_fraction[i] > 0 && year_sun.sun_up_fraction[i] < 1.0 / 60) {
            year.ghi_w_m2[i] = year.dhi_w_m2[i] = 14;
            ++hours;
        }
    REQUIRE(hours >= 3);
    for (double azimuth : {90.0, 120.0, 180.0, 240.0, 270.0}) {
        auto const on = plane_of_array(year, year_sun, {60, azimuth}, TranspositionModel::perez);
        for (std::size_t i = 0; i < hours_per_year; ++i) REQUIRE(on.total_w_m2(i) < 16);
        CHECK(on.beyond == LightBeyond{});  // twilight is no repair
    }
}

// The beam that comes from outside in a quarter of an hour is a quarter of G0n. What is above is counted and
// left out; on the flat nothing is lost, since its part on the horizontal counts as diffuse.
TEST_CASE("more beam than the minutes of sun can give is cut, counted and kept on the horizontal") {
    Site const site{40, -105, 1600, -7};
    auto const sun = sun_over_year(site);
    auto year = dark_year(sun);
    auto const i = hour_lit_for(sun, 0.25, true);
    double const f = sun.sun_up_fraction[i], outside = f * sun.extraterrestrial_normal_w_m2[i];
    CHECK(f == Near{0.25, 0.01, 0});
    year.dni_w_m2[i] = outside + 200;
    year.dhi_w_m2[i] = 5;
    year.ghi_w_m2[i] = 5 + year.dni_w_m2[i] * sun.cos_zenith[i];
    for (auto model : sky_models) {
        auto const facing = plane_of_array(year, sun, {90, sun.azimuth_deg[i]}, model);
        CHECK(facing.beyond.beam_h == 1);
        CHECK(facing.beyond.beam_kwh_m2 == Near{0.2, 1e-9, 0});
        CHECK(facing.beam_w_m2[i] == Near{outside * sin_deg(sun.zenith_deg[i]), 0, 1e-9});
        CHECK(facing.total_w_m2(i) <
              outside + 3 * 5 + 200 * sun.cos_zenith[i] + 0.1 * year.ghi_w_m2[i] + 0.1);
        auto const flat = plane_of_array(year, sun, {0, 180}, model);
        CHECK(flat.total_w_m2(i) == Near{year.ghi_w_m2[i], 1e-9, 0});
    }
}

TEST_CASE("sky coefficients stay inside the fit over every sky") {
    Random random(16);
    for (int k = 0; k < 200000; ++k) {
        double const z = 90 * random.uniform(), dhi = 1000 * std::pow(random.uniform(), 4) + 1e-3,
                     dni = 1400 * random.uniform() * (k % 3 > 0);
        auto const sky = perez_sky(dni, dhi, z, relative_air_mass(z), 1361.1);
        REQUIRE(sky.bin >= 1);
        REQUIRE(sky.bin <= 8);
        REQUIRE(sky.f1 >= 0);
        REQUIRE(sky.f1 <= 1);
        REQUIRE(sky.f2 < 0.56);
    }
}

// Every sunrise, sunset and hour beside them at random places with UTC offsets of a quarter hour, with light
// up to what the reader lets through (Long & Dutton's physically possible limits with the higher sun of the
// hour beside it), on random planes: never above what beam, sky and ground can give, never below 0, and the
// flat plane keeps the horizontal. A seeded sample; the whole grid is tests/weather-grid/run.
TEST_CASE("sunrises and sunsets of a sample of the globe: light on the plane within its bound") {
    Random random(161);
    int hours = 0;
    double nearest = 0;
    for (int place = 0; place < 100; ++place) {
        double const latitude = -88 + 176 * random.uniform(), longitude = -180 + 360 * random.uniform();
        double const offset =
            std::clamp(std::round(4 * (longitude / 15 + 2 * random.uniform() - 1)) / 4, -12.0, 14.0);
        Site const site{latitude, longitude, 0, offset};
        auto const sun = sun_over_year(site);
        auto year = dark_year(sun);
        auto const up = [&](std::size_t i) {
            return sun.sun_up_fraction[i] > 0 ? std::max(0.0, sun.cos_zenith[i]) : 0;
        };
        for (std::size_t i = 1; i + 1 < hours_per_year; ++i) {
            double const highest = std::max({up(i - 1), up(i), up(i + 1)});
            if (highest <= 0) continue;
            auto const most = physically_possible(highest, sun.extraterrestrial_normal_w_m2[i]);
            year.dhi_w_m2[i] = most.dhi_w_m2 * random.uniform() * (place % 4 > 0);
            year.dni_w_m2[i] = most.dni_w_m2 * random.uniform() * (i % 3 > 0);
            year.ghi_w_m2[i] = most.ghi_w_m2 * random.uniform();
        }
        for (auto model : sky_models) {
            Plane const plane{90 * random.uniform(), 360 * random.uniform()};
            auto const on = plane_of_array(year, sun, plane, model, 0.2);
            auto const flat = plane_of_array(year, sun, {0, plane.azimuth_deg}, model, 0.2);
            CAPTURE(site.latitude_deg);
            CAPTURE(site.longitude_deg);
            CAPTURE(site.utc_offset_h);
            CAPTURE(plane.tilt_deg);
            CAPTURE(plane.azimuth_deg);
            for (std::size_t i = 0; i < hours_per_year; ++i) {
                double const light = on.total_w_m2(i), most = most_plane_light_w_m2(year, sun, i, plane, 0.2);
                REQUIRE(light <= most * (1 + 1e-9) + 1e-9);
                REQUIRE(on.sky_w_m2[i] >= 0);
                REQUIRE(on.circumsolar_w_m2[i] >= 0);
                if (most > 0) nearest = std::max(nearest, light / most);
                double const horizontal = sun.sun_up_fraction[i] > 0
                                              ? year.dhi_w_m2[i] + year.dni_w_m2[i] * sun.cos_zenith[i]
                                              : year.ghi_w_m2[i];
                REQUIRE(flat.total_w_m2(i) == Near{horizontal, 1e-9, 1e-9});
                ++hours;
            }
        }
    }
    MESSAGE(hours << " hours; nearest to the bound " << nearest);
    CHECK(nearest > 0.5);  // the limit is not much too wide
}

TEST_SUITE_END();
