#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "weather/angles.hpp"
#include "weather/atmosphere.hpp"
#include "weather/sun_position.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

double days_at(int year, int day, double hour, Site const& site) {
    using namespace std::chrono;
    auto const midnight = sys_days{std::chrono::year{year} / 1 / 1} + days{day};
    return days_from_j2000(time_point_cast<milliseconds>(midnight)) + (hour - site.utc_offset_h) / 24;
}

double sum(std::vector<double> const& values, std::size_t first = 0, std::size_t end = hours_per_year) {
    double total = 0;
    for (std::size_t i = first; i < end; ++i) total += values[i];
    return total;
}

}  // namespace

TEST_SUITE_BEGIN("weather/sun_year");

TEST_CASE("the year's positions are those of the single instants, to the stated 2e-5 deg") {
    for (Site const site :
         {Site{40, -105, 0, -7}, Site{-35, 149, 0, 10}, Site{1, 77, 0, 5.5}, Site{65, 25, 0, 2}}) {
        CAPTURE(site.latitude_deg);
        auto const sun = sun_over_year(site);
        for (std::size_t i = 0; i < hours_per_year; i += 7) {
            if (sun.sun_up_fraction[i] < 1) continue;
            auto const p =
                sun_position(days_at(2023, static_cast<int>(i / 24), static_cast<double>(i % 24) + 0.5, site),
                             site.latitude_deg, site.longitude_deg);
            REQUIRE(sun.zenith_deg[i] == Near{p.zenith_deg, 2e-5, 0});
            // An angle of azimuth is small on the sky where the sun is high.
            REQUIRE(std::abs(wrap_180(sun.azimuth_deg[i] - p.azimuth_deg)) * sin_deg(p.zenith_deg) < 2e-5);
            REQUIRE(sun.extraterrestrial_normal_w_m2[i] ==
                    Near{solar_constant_w_m2 / (p.distance_au * p.distance_au), 0, 1e-7});
            REQUIRE(sun.cos_zenith[i] == Near{cos_deg(sun.zenith_deg[i]), 1e-12, 0});
        }
    }
}

TEST_CASE("sun-up fractions are those of sunrise and sunset, to a second") {
    Site const site{40, -105, 0, -7};
    auto const sun = sun_over_year(site);
    for (int day = 0; day < 365; day += 3) {
        CAPTURE(day);
        auto const at = calendar_hour(day * 24);
        auto const level = sun_times(site, 2023, at.month, at.day, energy_horizon_zenith_deg);
        double const up_h = sum(sun.sun_up_fraction, static_cast<std::size_t>(day) * 24,
                                static_cast<std::size_t>(day) * 24 + 24);
        CHECK(up_h == Near{level.set_h - level.rise_h, 2.0 / 3600, 0});
        auto const rise = static_cast<std::size_t>(day * 24 + static_cast<int>(level.rise_h));
        CHECK(sun.sun_up_fraction[rise] ==
              Near{1 - (level.rise_h - std::floor(level.rise_h)), 1.5 / 3600, 0});
        CHECK(sun.zenith_deg[rise] < 90);
    }
}

TEST_CASE("the extraterrestrial mean of an hour is the integral of cos z") {
    for (Site const site : {Site{40, -105, 0, -7}, Site{-60, 0, 0, 0}, Site{0, 100, 0, 7}}) {
        auto const sun = sun_over_year(site);
        for (int hour : {6 * 24 + 8, 80 * 24 + 6, 171 * 24 + 4, 171 * 24 + 12, 265 * 24 + 17, 354 * 24 + 9}) {
            CAPTURE(hour);
            double mean = 0, normal = 0;
            int const n = 720;
            for (int k = 0; k < n; ++k) {
                auto const p = sun_position(days_at(2023, hour / 24, hour % 24 + (k + 0.5) / n, site),
                                            site.latitude_deg, site.longitude_deg);
                mean += std::max(0.0, cos_deg(p.zenith_deg)) / n;
                normal = solar_constant_w_m2 / (p.distance_au * p.distance_au);
            }
            auto const i = static_cast<std::size_t>(hour);
            // The parallax (0.002 deg) is left out of the integral.
            CHECK(sun.extraterrestrial_horizontal_w_m2[i] == Near{normal * mean, 0.08, 0});
        }
    }
}

TEST_CASE("a clock one hour on and 15 deg east sees the same sun") {
    auto const here = sun_over_year({40, -105, 0, -7}), there = sun_over_year({40, -90, 0, -6});
    for (std::size_t day = 0; day < 365; ++day)
        CHECK(sum(there.extraterrestrial_horizontal_w_m2, day * 24, day * 24 + 24) ==
              Near{sum(here.extraterrestrial_horizontal_w_m2, day * 24, day * 24 + 24), 0, 1e-3});
}

TEST_CASE("half-hour clocks, the date line and the poles") {
    auto const whole = sun_over_year({20, 80, 0, 5}), half = sun_over_year({20, 80, 0, 5.5});
    CHECK(sum(half.extraterrestrial_horizontal_w_m2) ==
          Near{sum(whole.extraterrestrial_horizontal_w_m2), 0, 1e-4});
    for (double lon : {-180.0, 180.0})
        for (double tz : {-12.0, 12.0, 14.0}) {
            auto const sun = sun_over_year({10, lon, 0, tz});
            CHECK(*std::min_element(sun.solar_time_h.begin(), sun.solar_time_h.end()) >= 0);
            CHECK(*std::max_element(sun.solar_time_h.begin(), sun.solar_time_h.end()) < 24);
            CHECK(sum(sun.sun_up_fraction) == Near{4380, 20, 0});
        }
    for (double lat : {-90.0, 90.0, 75.0}) {
        auto const sun = sun_over_year({lat, 0, 0, 0});
        CHECK(sum(sun.sun_up_fraction) == Near{4380, 100, 0});
        for (double f : sun.sun_up_fraction) REQUIRE((f >= 0 && f <= 1));
        for (double z : sun.zenith_deg) REQUIRE((z >= 0 && z <= 180));
    }
    // Just above the polar circle the sun dips for minutes around midnight.
    auto const edge = sun_over_year({66.2, 0, 0, 0.3});
    CHECK(std::any_of(edge.sun_up_fraction.begin(), edge.sun_up_fraction.end(),
                      [](double f) { return f > 0.5 && f < 1; }));
}

TEST_CASE("a leap year is taken without its leap day; a moved sun is a later sun") {
    Site const site{40, -105, 0, -7};
    auto const plain = sun_over_year(site, 2023), leap = sun_over_year(site, 2024);
    auto const march_1_noon = static_cast<std::size_t>(hour_index(3, 1, 12));
    // Four years bring the same sun back to within a quarter of a day's step of declination (0.1 deg).
    CHECK(leap.zenith_deg[march_1_noon] == Near{plain.zenith_deg[march_1_noon], 0.35, 0});
    auto const p = sun_position(days_at(2024, 60, 12.5, site), 40, -105);
    CHECK(leap.zenith_deg[march_1_noon] == Near{p.zenith_deg, 2e-5, 0});
    auto const moved = sun_over_year(site, 2023, 60);
    CHECK(moved.zenith_deg[march_1_noon] == Near{plain.zenith_deg[march_1_noon + 1], 1e-4, 0});
}

// Recomputed: lat 40, declination 23.45, hour angle -15..0: mean of cos z 0.950571, at the middle 0.952559.
// The code has the sun's own declination, so the ratio is compared, on 21 June near noon.
TEST_CASE("the middle of a noon hour is brighter than its mean") {
    Site const site{40, -105, 0, -7};
    auto const sun = sun_over_year(site);
    auto const i = static_cast<std::size_t>(hour_index(6, 21, 11));
    double const mean_cos = sun.extraterrestrial_horizontal_w_m2[i] / sun.extraterrestrial_normal_w_m2[i];
    CHECK(mean_cos / sun.cos_zenith[i] == Near{0.950571 / 0.952559, 1e-4, 0});
}

TEST_SUITE_END();
