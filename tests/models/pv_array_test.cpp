#include "models/pv_array.hpp"

#include <doctest/doctest.h>

#include "models/charge_controller.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

TEST_SUITE_BEGIN("models/pv_array");

TEST_CASE("no sun gives no power") {
    PvArrayParameters const p;
    CHECK(array_power_w(p, {.tilt_deg = 30}, 20, 1, 6) == 0.0);
}

TEST_SUITE_END();
