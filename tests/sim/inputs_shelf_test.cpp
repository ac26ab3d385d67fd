#include "sim/inputs/inputs_shelf.hpp"

#include <doctest/doctest.h>

#include <string>
#include <utility>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::Scenario, sim::InputsShelf;

namespace {

std::string const folder = HOLDWATER_SOURCE "/scenarios/";

Scenario with(std::string const& demo, std::string const& key, std::string const& value) {
    scenarios::DesignOption option;
    option.overrides = {{key, value, 0}};
    return scenarios::option_design(scenarios::read_design_file(folder + demo), option).scenario;
}

std::shared_ptr<weather::WeatherYear const> weather_of(Scenario const& s) {
    return std::make_shared<weather::WeatherYear const>(scenarios::read_scenario_weather(s));
}

}  // namespace

TEST_SUITE_BEGIN("sim/inputs_shelf");

TEST_CASE("what the shelf gives is what make_inputs makes, in every series of every demo") {
    InputsShelf shelf;
    for (auto const* demo :
         {"juniper-bend-household", "juniper-bend-tankless", "alder-flat-cistern", "alder-flat-grid-first",
          "alder-flat-outages", "saltbush-livestock", "saltbush-low-yield", "hollerbrook-cattle",
          "tamarack-gulch-lead-acid", "thorn-gully-options"}) {
        CAPTURE(std::string(demo));
        auto const file = scenarios::read_design_file(folder + demo + ".toml");
        auto const scenario = scenarios::option_design(file, {}).scenario;
        auto const year = weather_of(scenario);
        auto const plain = sim::make_inputs(scenario, *year);
        CHECK(*shelf.of(scenario, year) == plain);
        CHECK(*shelf.of(scenario, year) == plain);  // the second time from what is there
    }
}

TEST_CASE("what does not touch the inputs shares them; what does has its own, rightly") {
    std::string const demo = "juniper-bend-household.toml";
    auto const base = scenarios::read_scenario(folder + demo);
    auto const year = weather_of(base);
    InputsShelf shelf;
    auto const first = shelf.of(base, year);
    CHECK(shelf.of(with(demo, "battery.capacity", "\"7 kWh\""), year) == first);
    CHECK(shelf.of(with(demo, "backup.transfer_below", "0.3"), year) == first);
    CHECK(shelf.of(with(demo, "tank.volume", "\"0.2 m3\""), year) == first);
    for (auto const& [key, value] :
         std::initializer_list<std::pair<char const*, char const*>>{{"array.tilt", "\"12 deg\""},
                                                                    {"array.dc_loss", "0.11"},
                                                                    {"array.azimuth", "\"150 deg\""},
                                                                    {"array.rated_power", "\"1.7 kW\""},
                                                                    {"demand.daily", "\"900 L/day\""},
                                                                    {"demand.tap_flow", "\"9 L/min\""}}) {
        CAPTURE(std::string(key));
        auto const other = with(demo, key, value);
        auto const inputs = shelf.of(other, year);
        CHECK(inputs != first);
        CHECK(*inputs == sim::make_inputs(other, *year));
        CHECK(!(*inputs == *first));
    }
    // The same light at another address is another year; another content gives other inputs.
    auto dim = *year;
    for (double& w : dim.ghi_w_m2) w *= 0.5;
    for (double& w : dim.dni_w_m2) w *= 0.5;
    for (double& w : dim.dhi_w_m2) w *= 0.5;
    auto const dim_year = std::make_shared<weather::WeatherYear const>(std::move(dim));
    CHECK(*shelf.of(base, dim_year) == sim::make_inputs(base, *dim_year));
}

TEST_CASE(
    "years share what is the same in them, and a demand or a load that follows the weather or a seed is made "
    "for each") {
    auto const base = scenarios::read_scenario(folder + "juniper-bend-household.toml");
    auto const year = weather_of(base);
    auto warm = *year;
    for (double& t : warm.temperature_c) t += 6;
    auto const warm_year = std::make_shared<weather::WeatherYear const>(std::move(warm));
    InputsShelf shelf;
    // `other` has another weather and another seed; what it gives must be what make_inputs makes.
    auto const both = [&](Scenario const& s, Scenario const& other) {
        auto const one = shelf.of(s, year), two = shelf.of(other, warm_year);
        CHECK(*one == sim::make_inputs(s, *year));
        CHECK(*two == sim::make_inputs(other, *warm_year));
        return std::pair(one, two);
    };
    auto const other_seed = [](Scenario s) {
        s.demand.seed += 1;
        return s;
    };
    {
        auto const [one, two] = both(base, other_seed(base));
        CHECK(one->hours().load_w.data() == two->hours().load_w.data());
        CHECK(one->hours().demand_m3.data() == two->hours().demand_m3.data());
        CHECK(one->hours().array_power_w != two->hours().array_power_w);
    }
    {
        auto varied = with("saltbush-low-yield.toml", "use.house.day_variation", "0.2");
        auto const [one, two] = both(varied, other_seed(varied));
        CHECK(one->hours().demand_m3 != two->hours().demand_m3);
    }
    {
        auto herd = with("saltbush-low-yield.toml", "use.house.day_variation", "0");
        auto const [one, two] = both(herd, other_seed(herd));
        CHECK(one->hours().demand_m3 != two->hours().demand_m3);  // cattle drink more when it is warm
    }
    {
        auto cooled = base;
        REQUIRE(!cooled.loads.empty());
        cooled.loads[0].duty_per_k = 0.01;
        auto const [one, two] = both(cooled, cooled);
        CHECK(one->hours().load_w != two->hours().load_w);
    }
}

TEST_CASE("copies of a series share its values until one is changed") {
    sim::Series const one(8760, 2);
    sim::Series two = one;
    CHECK(two.data() == one.data());
    CHECK(two == one);
    two[5] = 3;
    CHECK(one[5] == 2);
    CHECK(two.at(5) == 3);
    CHECK(two != one);
    auto const* const own = std::as_const(two).data();
    two.edit()[6] = 4;  // it is alone now, so that it is changed where it is
    CHECK(std::as_const(two).data() == own);
    CHECK(sim::Series() == sim::Series{});
    CHECK(sim::Series().empty());
    sim::Series none;
    none.edit().push_back(1);
    CHECK(none.size() == 1);
    CHECK(sim::Series().empty());
}

TEST_CASE("a shelf forgets what was not asked for longest; what cannot be made is told every time") {
    sim::Shelf<int, int> shelf(2);
    int made = 0;
    auto const square = [&](int x) {
        return *shelf.of(x, [&] {
            ++made;
            if (x < 0) throw std::invalid_argument("negative");
            return x * x;
        });
    };
    CHECK(square(2) == 4);
    CHECK(square(3) == 9);
    CHECK(square(2) == 4);
    CHECK(made == 2);
    CHECK(square(4) == 16);  // 3 is out
    CHECK(square(2) == 4);
    CHECK(made == 3);
    CHECK(square(3) == 9);
    CHECK(made == 4);
    CHECK_THROWS_AS(square(-1), std::invalid_argument);
    CHECK_THROWS_AS(square(-1), std::invalid_argument);
    CHECK(made == 6);
}

TEST_SUITE_END();
