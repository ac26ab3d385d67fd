#include "scenarios/text/assumed_inputs.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/settings/field_words.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::scenarios;
using test::Near;

namespace {

Scenario household() {
    auto s = read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    s.inverter.surge = {{2, 5}, {1.5, 60}};
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/assumed_inputs");

TEST_CASE("each assumed input that is set is what is read back, and belongs to its own key alone") {
    for (auto const& input : assumed_inputs()) {
        CAPTURE(input.key);
        auto s = household();
        if (!s.generator) s.generator.emplace();
        auto const before = s;
        double const value = input.low + 0.25 * (input.high - input.low);
        input.set(s, value);
        CHECK(input.get(s) == Near{value, 0, 1e-12});
        for (auto const& other : assumed_inputs())
            if (other.key != input.key) CHECK(other.get(s) == other.get(before));
        CHECK(find_assumed_input(input.key) == &input);
    }
    CHECK(find_assumed_input("battery.capacity") == nullptr);
}

TEST_CASE("a deeper well is deeper in every month; a larger surge is larger at every time") {
    auto s = household();
    auto const before = s;
    find_assumed_input("well.static_level")->set(s, before.lift.static_level_m + 4);
    for (std::size_t m = 0; m < 12; ++m)
        CHECK(s.well.static_level_m[m] == Near{before.well.static_level_m[m] + 4, 1e-9, 0});
    find_assumed_input("inverter.surge_power")->set(s, 3 * s.inverter.rated_power_w);
    CHECK(s.inverter.surge[0].ratio == Near{3, 0, 1e-12});
    CHECK(s.inverter.surge[1].ratio == Near{2.25, 0, 1e-12});
    CHECK(s.inverter.surge[1].seconds == 60);
    s.inverter.surge.clear();
    find_assumed_input("inverter.surge_power")->set(s, 9000);
    CHECK(find_assumed_input("inverter.surge_power")->get(s) == 0);
    s.generator.reset();
    find_assumed_input("generator.rated_power")->set(s, 9000);
    CHECK(find_assumed_input("generator.rated_power")->get(s) == 0);
}

TEST_CASE("the provenance of an input is one line; those of cables, checks and prices are not of a run") {
    Scenario s;
    s.provenance = {{"motor.locked_rotor", Provenance::nameplate, {}, "41.8 A", "", ""},
                    {"inverter.idle", Provenance::assumed, {}, "45 W", "20 W", "60 W"},
                    {"cable.run", Provenance::measured, {}, "100 ft", "", ""}};
    CHECK(provenance_lines(s) == std::vector<std::string>{"motor.locked_rotor: 41.8 A (nameplate)",
                                                          "inverter.idle: 45 W (assumed, 20 W to 60 W)",
                                                          "cable.run: 100 ft (measured)"});
    CHECK(provenance_lines_of_run(s).size() == 2);
    s.text = "[battery]\ncapacity = 5\nmodel.x = 1\n";
    CHECK(gives(s, "battery.capacity"));
    CHECK(gives(s, "battery.model.x"));
    CHECK(!gives(s, "battery.usable_fraction"));
    s.text = "[battery\n";
    CHECK(!gives(s, "battery.capacity"));
}

TEST_CASE("a model's own name of a field is said in words, with its unit") {
    CHECK(field_words(models::ParameterError("idle_w", -3, "must be 0 or more")) == "idle = -3 W");
    CHECK(field_words(models::ParameterError("tap_flow_m3_s", 0.5, "must be below 0.1")) ==
          "tap flow = 0.5 m3/s");
    CHECK(field_words(models::ParameterError("surge ratio", 0.5, "must be above 1")) == "surge ratio = 0.5");
    CHECK(problem_words(models::ParameterError("idle_w", -3, "must be 0 or more")) ==
          "idle = -3 W (must be 0 or more)");
    CHECK(problem_words(std::invalid_argument("no sun")) == "no sun");
    // What looks like a unit and is none, and symbols of formulas.
    CHECK(field_words(models::ParameterError("hazen_williams_c", 5, "must be 50 or more")) ==
          "Hazen-Williams coefficient = 5");
    CHECK(field_words(models::ParameterError("derate_per_300_m", 2, "must be below 1")) ==
          "derating for each 300 m = 2");
    CHECK(field_words(models::ParameterError("isc_a", -1, "must be above 0")) ==
          "short-circuit current = -1 A");
    CHECK(field_words(models::ParameterError("ohm_per_m", -1, "must be above 0")) ==
          "resistance for each meter = -1 ohm/m");
    CHECK(key_of_field("search_w") == "search_draw");
    CHECK(key_of_field("idle_w").empty());
}

TEST_SUITE_END();
