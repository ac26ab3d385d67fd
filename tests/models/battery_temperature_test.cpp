#include "models/battery/battery_temperature.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/battery_temperature");

// Closed form of the first-order lag: after one time constant 1 - 1/e of the way, after ln 2 of it half.
TEST_CASE("the battery follows its surroundings") {
    CHECK(temperature_after_c(20, -10, 12, 12) == Near{-10 + 30 * std::exp(-1.0), 0, 1e-14});
    CHECK(hours_until_temperature(20, -10, 12, 5) == Near{12 * std::log(2.0), 0, 1e-12});
    CHECK(std::isinf(hours_until_temperature(20, -10, 12, -10)));
    CHECK(std::isinf(hours_until_temperature(20, -10, 12, 21)));
    CHECK(std::isinf(hours_until_temperature(5, 5, 12, 0)));
    CHECK(hours_until_temperature(5, 5, 12, 5) == 0);
    CHECK(temperature_after_c(20, -10, 0, 0.01) == -10);
    double const two = temperature_after_c(temperature_after_c(20, -10, 12, 3), -10, 12, 4);
    CHECK(two == Near{temperature_after_c(20, -10, 12, 7), 1e-13, 0});
}

TEST_CASE("charge refused by cold resumes only past the higher point") {
    auto const rule = lithium_iron_phosphate_charge_rule();  // 0 and 4 deg C, from memory
    CHECK_NOTHROW(validate(rule));
    bool refused = false;
    struct Row {
        double temperature_c;
        bool refused;
    };
    for (auto const& [temperature_c, expected] : std::vector<Row>{{5, false},
                                                                  {1, false},
                                                                  {-0.1, true},
                                                                  {2, true},
                                                                  {3.9, true},
                                                                  {4.1, false},
                                                                  {2, false},
                                                                  {51, true},
                                                                  {46, true},
                                                                  {44, false}}) {
        CAPTURE(temperature_c);
        refused = charge_refused(rule, refused, temperature_c);
        CHECK(refused == expected);
    }
    CHECK(charge_rate_limit_per_h(rule, 5) == 0.15);
    CHECK(std::isinf(charge_rate_limit_per_h(rule, 15)));
    ChargeTemperatureRule const none;
    CHECK_NOTHROW(validate(none));
    CHECK(!charge_refused(none, false, -40));
}

// A frozen shed: the battery of a shed that falls to -10 deg C stops accepting charge; with a 100 W heater it
// continues to accept it. The times are those of the closed form.
TEST_CASE("a heater keeps the battery above the point of refusal") {
    BatteryThermalParameters const p{12, 100, 0.2, 3, 7};
    CHECK_NOTHROW(validate(p));
    bool on = false;
    double temperature_c = 10, on_h = 0;
    int switches = 0;
    for (double hour = 0; hour < 200;) {
        double const settled_c = settled_temperature_c(p, -10, on);
        double const level_c = on ? p.heater_off_above_c : p.heater_on_below_c;
        double const step_h =
            std::min(200 - hour, hours_until_temperature(temperature_c, settled_c, 12, level_c));
        temperature_c = temperature_after_c(temperature_c, settled_c, 12, step_h);
        if (on) on_h += step_h;
        hour += step_h;
        CHECK(temperature_c > 3 - 1e-9);
        CHECK(temperature_c < 10 + 1e-9);
        bool const next = !on;
        // Just past the level the thermostat does change over.
        CHECK(heater_on(p, on, level_c + (on ? 1e-6 : -1e-6)) == next);
        on = next;
        ++switches;
    }
    CHECK(switches > 10);
    CHECK(on_h / 200 ==
          Near{15.0 / 20, 0, 0.1});  // heat needed for a mean of 5 over what it gives: 15 K of 20 K
    CHECK(!heater_on({12, 0, 0, 3, 7}, true, -20));
}

// Tables from memory.
TEST_CASE("capacity tables are met at their rows, linear between and held at the ends") {
    auto const lead = lead_acid_capacity_table(), lithium = lithium_iron_phosphate_capacity_table();
    CHECK_NOTHROW(validate(lead));
    CHECK_NOTHROW(validate(lithium));
    CHECK(capacity_factor(lead, -20) == 0.55);
    CHECK(capacity_factor(lead, -5) == Near{0.75, 1e-12, 0});
    CHECK(capacity_factor(lead, -40) == 0.55);
    CHECK(capacity_factor(lithium, 25) == 1);
    CHECK(capacity_factor(lithium, 60) == 1);
    CHECK(capacity_factor(lithium, -10) == Near{0.80, 1e-12, 0});
    CHECK(capacity_factor({}, -10) == 1);
}

TEST_CASE("rules that contradict themselves are refused") {
    CHECK_THROWS_AS(validate(BatteryThermalParameters{-1}), ParameterError);
    CHECK_THROWS_AS(validate(BatteryThermalParameters{12, 100, 0, 3, 7}), ParameterError);
    CHECK_THROWS_AS(validate(BatteryThermalParameters{12, 100, 0.2, 7, 3}), ParameterError);
    CHECK_THROWS_AS(validate(ChargeTemperatureRule{0, -1}), ParameterError);
    CHECK_THROWS_AS(validate(ChargeTemperatureRule{0, 4, 3, 3}), ParameterError);
    CHECK_THROWS_AS(validate(std::vector<CapacityAtTemperature>{{0, 0.8}, {-10, 0.7}}), ParameterError);
}

TEST_SUITE_END();
