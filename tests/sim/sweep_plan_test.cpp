#include "sim/sweep_plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <stdexcept>
#include <string>

#include "tests/support/near.hpp"

using namespace holdwater;
using sim::SweepRow, test::Near;

namespace {

std::string refusal(std::string const& text) {
    try {
        (void)sim::read_axis(text);
    } catch (std::invalid_argument const& error) {
        return error.what();
    }
    return "was accepted";
}

}  // namespace

TEST_SUITE_BEGIN("sim/sweep_plan");

TEST_CASE("lists and ranges as a designer types them") {
    auto const list = sim::read_axis("bank.capacity = 5 kWh, 10 kWh,15 kWh");
    CHECK(list.key == "bank.capacity");
    CHECK(list.values == std::vector<std::string>{"5 kWh", "10 kWh", "15 kWh"});
    CHECK(list.unit == "kWh");
    REQUIRE(list.numbers);
    CHECK(*list.numbers == std::vector<double>{5, 10, 15});
    auto const mixed = sim::read_axis("tank.volume=44 gal,300 L");
    CHECK(!mixed.numbers);
    CHECK(mixed.unit == "");
    auto const words = sim::read_axis("array.sky_model=perez,isotropic");
    CHECK(!words.numbers);
    auto const bare = sim::read_axis("bank.usable_fraction=0.5,0.9");
    CHECK(*bare.numbers == std::vector<double>{0.5, 0.9});

    auto const range = sim::read_axis("array.tilt=20 deg..60 deg/5");
    CHECK(range.is_range);
    CHECK(range.values == std::vector<std::string>{"20 deg", "30 deg", "40 deg", "50 deg", "60 deg"});
    auto const falling = sim::read_axis("demand.daily=-1.5..-2.5/3");
    CHECK(falling.values == std::vector<std::string>{"-1.5", "-2", "-2.5"});
}

TEST_CASE("what is no axis is refused with what is accepted") {
    for (auto const& [text, message] :
         {std::pair<std::string, std::string>{"bank.capacity", "an equals sign"},
          {"=5 kWh", "an equals sign"},
          {"a=5 kWh,,6 kWh", "a value is empty"},
          {"a=", "a value is empty"},
          {"a=1..2", "a number of values after a slash"},
          {"a=1..2/1", "\"1\" is not a number of values"},
          {"a=1..2/x", "\"x\" is not a number of values"},
          {"a=1 m..2 ft/3", "the same unit"},
          {"a=low..high/3", "must be numbers"}}) {
        CAPTURE(text);
        std::string const said = refusal(text);
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
        CHECK(said.find("accepted: ") != std::string::npos);
    }
}

TEST_CASE("a full grid holds every combination once, the last axis fastest") {
    auto const rows = sim::full_grid({sim::read_axis("a=1,2"), sim::read_axis("b=x,y,z")});
    CHECK(rows ==
          std::vector<SweepRow>{{"1", "x"}, {"1", "y"}, {"1", "z"}, {"2", "x"}, {"2", "y"}, {"2", "z"}});
    CHECK_THROWS_AS(sim::full_grid({sim::read_axis("a=0..1/10000"), sim::read_axis("b=0..1/10000")}),
                    std::invalid_argument);
}

TEST_CASE("one at a time: as written, then each value alone") {
    auto const rows = sim::one_at_a_time({sim::read_axis("a=1,2"), sim::read_axis("b=x")});
    CHECK(rows == std::vector<SweepRow>{{"", ""}, {"1", ""}, {"2", ""}, {"", "x"}});
}

TEST_CASE("a Latin hypercube meets every stratum of every axis exactly once") {
    std::vector const axes{sim::read_axis("a=0..1/2"), sim::read_axis("b=-5 m..15 m/3"),
                           sim::read_axis("c=x,y")};
    for (std::uint64_t seed = 0; seed < 50; ++seed) {
        CAPTURE(seed);
        auto const rows = sim::latin_hypercube(axes, 20, seed);
        REQUIRE(rows.size() == 20);
        for (std::size_t a = 0; a < 2; ++a) {
            std::set<int> strata;
            for (auto const& row : rows)
                strata.insert(
                    static_cast<int>((std::stod(row[a]) - axes[a].low) / (axes[a].high - axes[a].low) * 20));
            CHECK(strata.size() == 20);
            CHECK(*strata.begin() == 0);
            CHECK(*strata.rbegin() == 19);
        }
        CHECK(std::count_if(rows.begin(), rows.end(), [](auto const& r) { return r[2] == "x"; }) == 10);
    }
    CHECK(sim::latin_hypercube(axes, 20, 1) == sim::latin_hypercube(axes, 20, 1));
    CHECK(sim::latin_hypercube(axes, 20, 1) != sim::latin_hypercube(axes, 20, 2));
    // An axis more does not move the others.
    auto const two = sim::latin_hypercube({axes[0], axes[1]}, 20, 7),
               three = sim::latin_hypercube(axes, 20, 7);
    for (std::size_t i = 0; i < 20; ++i) CHECK(two[i][1] == three[i][1]);
    CHECK_THROWS_AS(sim::latin_hypercube(axes, 0, 1), std::invalid_argument);
}

TEST_CASE("the axes of a Latin hypercube are not in step") {
    auto const rows = sim::latin_hypercube({sim::read_axis("a=0..1/2"), sim::read_axis("b=0..1/2")}, 1000, 5);
    double product = 0;
    for (auto const& row : rows) product += (std::stod(row[0]) - 0.5) * (std::stod(row[1]) - 0.5) * 12 / 1000;
    CHECK(product == Near{0, 0.1, 0});  // three standard errors of a correlation of 1000 pairs
}

TEST_SUITE_END();
