#include "models/electric/frost_heater.hpp"

#include <doctest/doctest.h>

#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using models::FrostHeater, models::heat_needed_w, models::place_after_c, test::Near;

TEST_SUITE_BEGIN("models/frost_heater");

// 300 W warm the place by 0.1 K/W, 30 K over the air in the long run; time constant 6 h. By hand: from 5 degC
// in air of -15 without heat, -15 + 20 exp(-t/6): 0 degC after 6 ln(20/15) = 1.726 h.
TEST_CASE("a place without heat cools by its time constant, and freezes in the second hour") {
    FrostHeater const p{300, 5, 0.1, 6, 0};
    CHECK(place_after_c(p, 5, -15, 0, 6) == Near{-15 + 20 * std::exp(-1.0), 1e-12, 0});
    CHECK(place_after_c(p, 5, -15, 0, 6 * std::log(20.0 / 15)) == Near{0, 1e-9, 0});
    // One long step is many short ones.
    double place = 5;
    for (int i = 0; i < 50; ++i) place = place_after_c(p, place, -15, 120, 0.1);
    CHECK(place == Near{place_after_c(p, 5, -15, 120, 5), 1e-12, 0});
    CHECK(place_after_c({300, 5, 0.1, 0, 0}, 5, -15, 100, 1) == Near{-5, 1e-12, 0});
}

TEST_CASE("the heat of an hour holds the thermostat's temperature, and not more than there is") {
    FrostHeater const p{300, 5, 0.1, 6, 0};
    // At the thermostat's temperature: 20 K over the air take 200 W.
    CHECK(heat_needed_w(p, 5, -15) == Near{200, 1e-9, 0});
    CHECK(place_after_c(p, 5, -15, heat_needed_w(p, 5, -15), 1) == Near{5, 1e-9, 0});
    CHECK(heat_needed_w(p, 5, 8) == 0);
    // One kelvin below it, by hand: 200 W and e^(-1/6) / (0.1 (1 - e^(-1/6))) = 55.14 W more.
    CHECK(heat_needed_w(p, 4, -15) == Near{255.14, 0.01, 0});
    CHECK(heat_needed_w(p, 0, -15) == 300);
    CHECK(heat_needed_w(p, 5, -40) == 300);
    CHECK(place_after_c(p, 5, -40, 300, 1e3) == Near{-10, 1e-9, 0});
    CHECK(heat_needed_w({300, 5, 0.1, 0, 0}, -30, 0) == Near{50, 1e-9, 0});
}

TEST_CASE("what cannot be is refused with its field") {
    auto const error_of = [](FrostHeater const& h) -> std::string {
        try {
            models::validate(h);
        } catch (models::ParameterError const& error) {
            return error.what();
        }
        return "";
    };
    CHECK(error_of({100}).empty());
    CHECK(error_of({0}).find("power_w") == 0);
    CHECK(error_of({100, 50}).find("thermostat_c") == 0);
    CHECK(error_of({100, 5, 0}).find("rise_k_per_w") == 0);
    CHECK(error_of({100, 5, 0.1, -1}).find("time_constant_h") == 0);
    CHECK(error_of({100, 5, 0.1, 6, 5}).find("freezes_below_c") == 0);
}

TEST_SUITE_END();
