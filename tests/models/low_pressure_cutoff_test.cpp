#include "models/water/low_pressure_cutoff.hpp"

#include <doctest/doctest.h>

#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using models::LowPressureCutoff, models::reset_time_h, test::Near;

TEST_SUITE_BEGIN("models/low_pressure_cutoff");

// By hand: someone there from 08:00 to 20:00 and at the lever within half an hour.
TEST_CASE("the time of the reset") {
    LowPressureCutoff const home{.attended_from_h = 8, .attended_to_h = 20},
        weekly{.reset_after_h = 1, .attended_from_h = 10, .attended_to_h = 12, .visit_every_h = 168},
        nights{.reset_after_h = 0.25, .attended_from_h = 18, .attended_to_h = 31},
        itself{.by_hand = false, .reset_after_h = 1.0 / 12}, always{};
    struct Row {
        double stopped_h, home, weekly, nights, itself, always;
    };
    for (auto const& r :
         {Row{0, 8.5, 11, 0.25, 1.0 / 12, 0.5}, Row{9, 9.5, 11, 18.25, 9 + 1.0 / 12, 9.5},
          Row{19.9, 20.4, 179, 20.15, 19.9 + 1.0 / 12, 20.4}, Row{20, 32.5, 179, 20.25, 20 + 1.0 / 12, 20.5},
          Row{24 * 7 + 11.5, 24 * 7 + 12, 24 * 7 + 12.5, 24 * 7 + 18.25, 24 * 7 + 11.5 + 1.0 / 12,
              24 * 7 + 12}}) {
        CAPTURE(r.stopped_h);
        CHECK(reset_time_h(home, r.stopped_h) == Near{r.home, 1e-9, 0});
        CHECK(reset_time_h(weekly, r.stopped_h) == Near{r.weekly, 1e-9, 0});
        CHECK(reset_time_h(nights, r.stopped_h) == Near{r.nights, 1e-9, 0});
        CHECK(reset_time_h(itself, r.stopped_h) == Near{r.itself, 1e-9, 0});
        CHECK(reset_time_h(always, r.stopped_h) == Near{r.always, 1e-9, 0});
    }
}

TEST_CASE("what cannot be is refused with its field") {
    auto const error_of = [](LowPressureCutoff const& c) -> std::string {
        try {
            models::validate(c);
        } catch (models::ParameterError const& error) {
            return error.what();
        }
        return "";
    };
    CHECK(error_of({}).empty());
    CHECK(error_of({.cutoff_kpa = -1}).find("low_pressure_cutoff") == 0);
    CHECK(error_of({.reset_after_h = 0}).find("reset_after") == 0);
    CHECK(error_of({.attended_from_h = 24}).find("attended_from") == 0);
    CHECK(error_of({.attended_from_h = 8, .attended_to_h = 8}).find("attended_to") == 0);
    CHECK(error_of({.visit_every_h = 12}).find("visit_every") == 0);
}

TEST_SUITE_END();
