#include "models/electric/small_loads.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

std::vector<SmallLoad> example() {
    SmallLoad modem{.name = "modem", .power_w = 12};
    modem.profile.fill(1);
    SmallLoad freezer{.name = "freezer",
                      .power_w = 100,
                      .power_factor = 0.8,
                      .surge_va = 900,
                      .priority = 1,
                      .phantom_w = 2};
    freezer.profile.fill(0.25);
    SmallLoad heater{.name = "pipe heater", .power_w = 60, .priority = 2};
    heater.profile[5] = 1;
    return {modem, freezer, heater};
}

}  // namespace

TEST_SUITE_BEGIN("models/small_loads");

TEST_CASE("each hour adds up running and phantom draw, real and reactive") {
    CHECK_NOTHROW(validate(example()));
    auto const day = day_load(example());
    CHECK(day[0].power_w == Near{12 + 25 + 1.5, 0, 1e-12});
    CHECK(day[5].power_w == Near{12 + 25 + 1.5 + 60, 0, 1e-12});
    CHECK(day[0].reactive_var == Near{25 * 0.75, 0, 1e-12});
    CHECK(day[0].surge_va == 900);
    CHECK(day_energy_kwh(day) == Near{(24 * 38.5 + 60) / 1000, 0, 1e-12});
}

TEST_CASE("shedding drops the higher numbers first") {
    CHECK(day_energy_kwh(day_load(example(), 1)) == Near{24 * 38.5 / 1000, 0, 1e-12});
    CHECK(day_energy_kwh(day_load(example(), 0)) == Near{24 * 12.0 / 1000, 0, 1e-12});
    CHECK(day_load(example(), 0)[3].surge_va == 0);
    CHECK(day_energy_kwh(day_load({})) == 0);
}

TEST_CASE("a load that cannot be is named") {
    auto loads = example();
    loads[1].profile[3] = 1.5;
    CHECK_THROWS_WITH_AS(
        validate(loads),
        "load 'freezer' profile = 1.5 (must be between 0 and 1: the share of that hour the load runs)",
        ParameterError);
    loads = example();
    loads[0].power_w = -3;
    CHECK_THROWS_AS(validate(loads), ParameterError);
    loads = example();
    loads[0].power_factor = 0;
    CHECK_THROWS_AS(validate(loads), ParameterError);
}

TEST_SUITE_END();
