#include "weather/atmosphere.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "tests/support/near.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/atmosphere");

// Kasten & Young, Applied Optics 28 (1989) 4735; coefficients compared with one public reprint, rows
// recomputed from the formula as printed there.
TEST_CASE("relative air mass") {
    struct Row {
        double zenith_deg, air_mass;
    };
    for (auto const& [zenith_deg, air_mass] : std::vector<Row>{{0, 0.99971},
                                                               {30, 1.15399},
                                                               {60, 1.99429},
                                                               {70, 2.90315},
                                                               {75, 3.81291},
                                                               {80, 5.58604},
                                                               {85, 10.30579},
                                                               {88, 19.43325},
                                                               {89, 26.31056},
                                                               {90, 37.91961}}) {
        CAPTURE(zenith_deg);
        CHECK(relative_air_mass(zenith_deg) == Near{air_mass, 1e-5, 0});
    }
    CHECK(relative_air_mass(120) == relative_air_mass(90));
}

// Standard atmosphere, recomputed.
TEST_CASE("pressure falls with elevation") {
    CHECK(standard_pressure_pa(0) == Near{101325, 0, 1e-12});
    CHECK(standard_pressure_pa(1829) == Near{81197.6, 0.05, 0});
    CHECK(standard_pressure_pa(-100) > standard_pressure_pa(0));
}

TEST_SUITE_END();
