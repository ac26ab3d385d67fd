#include "models/pressure_tank.hpp"

#include <doctest/doctest.h>

#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

TEST_SUITE_BEGIN("models/pressure_tank");

TEST_CASE("drawdown of the 44 gal tank") {
    double const psi = 6.894757293168361, gal = 3.785411784e-3;
    PressureTankParameters p{44 * gal, 38 * psi, 40 * psi, 60 * psi, 101.325, 1};
    CHECK(drawdown_m3(p) / gal == Near{11.350309, 1e-6, 0});
}

TEST_SUITE_END();
