#include "weather/clear_sky.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "tests/support/near.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/clear_sky");

// Haurwitz, J. Meteorology 2 (1945) 154, with 0.059 (0.057 is also in print); recomputed.
TEST_CASE("Haurwitz") {
    struct Row {
        double zenith, ghi;
    };
    for (auto const& r : std::vector<Row>{{0, 1035.092},
                                          {30, 888.271},
                                          {45, 714.250},
                                          {60, 487.894},
                                          {75, 226.255},
                                          {80, 135.742},
                                          {85, 48.630}}) {
        CAPTURE(r.zenith);
        CHECK(clear_sky_ghi_haurwitz_w_m2(r.zenith) == Near{r.ghi, 1e-3, 0});
    }
    CHECK(clear_sky_ghi_haurwitz_w_m2(95) == 0);
}

// Ineichen & Perez, Solar Energy 73 (2002) 151, the equations from memory; rows recomputed from them.
TEST_CASE("Ineichen and Perez") {
    struct Row {
        double zenith, elevation, linke, ghi, dni, dhi;
    };
    for (auto const& r : std::vector<Row>{{30, 0, 3, 894.858, 914.502, 102.877},
                                          {60, 0, 3, 468.624, 786.132, 75.558},
                                          {30, 1829, 3, 996.285, 1001.275, 129.156},
                                          {75, 500, 4, 169.672, 432.172, 57.818}}) {
        CAPTURE(r.zenith);
        CAPTURE(r.elevation);
        auto const sky = clear_sky_ineichen_perez(r.zenith, r.elevation, r.linke, 1361.1);
        CHECK(sky.ghi_w_m2 == Near{r.ghi, 1e-3, 0});
        CHECK(sky.dni_w_m2 == Near{r.dni, 1e-3, 0});
        CHECK(sky.dhi_w_m2 == Near{r.dhi, 1e-3, 0});
    }
    CHECK(clear_sky_ineichen_perez(91, 0, 3, 1361.1).ghi_w_m2 == 0);
}

TEST_CASE("more haze is less light, more height is more light, over a whole year") {
    auto const sum = [](std::vector<double> const& v) {
        double total = 0;
        for (double x : v) total += x / 1000;
        return total;
    };
    auto const low = sun_over_year({40, -105, 0, -7}), high = sun_over_year({40, -105, 2000, -7});
    double const clear = sum(clear_sky_ghi_w_m2(low, 2)), hazy = sum(clear_sky_ghi_w_m2(low, 5)),
                 mountain = sum(clear_sky_ghi_w_m2(high, 2));
    CHECK(hazy < clear);
    CHECK(clear < mountain);
    // Common practice, no source: a cloudless year at 40 deg is around 2000-2500 kWh/m2.
    CHECK((hazy > 1700 && mountain < 2600));
}

TEST_SUITE_END();
