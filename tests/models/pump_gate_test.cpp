#include "models/water/pump_gate.hpp"

#include <doctest/doctest.h>

#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("models/pump_gate");

TEST_CASE("a part of the day, by day and through midnight") {
    models::PumpGate const noon{.from_h = 9.5, .until_h = 15}, night{.from_h = 22, .until_h = 6};
    struct Row {
        double hour;
        bool noon, night;
        double noon_changes_h, night_changes_h;
    };
    for (auto const& r : {Row{0, false, true, 9.5, 6}, Row{9.4, false, false, 0.1, 12.6},
                          Row{9.5, true, false, 5.5, 12.5}, Row{15, false, false, 18.5, 7},
                          Row{22, false, true, 11.5, 8}, Row{24 * 300 + 12, true, false, 3, 10}}) {
        CAPTURE(r.hour);
        CHECK(models::in_hours(noon, r.hour) == r.noon);
        CHECK(models::in_hours(night, r.hour) == r.night);
        CHECK(models::hours_to_change(noon, r.hour) == Near{r.noon_changes_h, 1e-9, 0});
        CHECK(models::hours_to_change(night, r.hour) == Near{r.night_changes_h, 1e-9, 0});
    }
    CHECK(!models::in_hours({}, 12));
    CHECK(std::isinf(models::hours_to_change({}, 12)));
}

TEST_CASE("what cannot be is refused with its field") {
    auto const field_of = [](models::PumpGate const& gate) -> std::string {
        try {
            models::validate(gate);
        } catch (models::ParameterError const& error) {
            return error.what();
        }
        return "";
    };
    CHECK(field_of({.from_h = 9, .until_h = 15}).empty());
    CHECK(field_of({.battery_above = 0.5}).empty());
    CHECK(field_of({.surplus_above_w = 800}).empty());
    CHECK(field_of({.surplus_above_w = -1}).find("surplus_above_w") != std::string::npos);
    CHECK(field_of({.from_h = 24, .until_h = 3}).find("from_h") != std::string::npos);
    CHECK(field_of({.from_h = 3, .until_h = -1}).find("until_h") != std::string::npos);
    CHECK(field_of({.battery_above = 1.2}).find("battery_above") != std::string::npos);
    CHECK(field_of({.battery_above = 0.5, .battery_band = 0}).find("battery_band") != std::string::npos);
    CHECK(field_of({.battery_above = 0.05, .battery_band = 0.1}).find("battery_band") != std::string::npos);
}

TEST_SUITE_END();
