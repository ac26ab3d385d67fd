#include "scenarios/design/search_settings.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::scenarios;

namespace {

std::optional<SearchSettings> read(std::string const& text) {
    return read_search(read_design_text(text, "test.toml"));
}

std::string refusal(std::string const& text) {
    try {
        (void)read(text);
    } catch (ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/search_settings");

TEST_CASE("lists and requirements are read") {
    auto const s = read(
        "[search]\nleast = \"purchase\"\n"
        "[search.require]\ndemand_met = \"99.9 %\"\nfuel = \"20 gal\"\ncloudy_days = 5\nmotor_start = \"not "
        "failed\"\n"
        "starts_within_limit = true\n"
        "[[search.axis]]\nname = \"battery\"\nmore_never_hurts = true\nprice = [0, 900]\n"
        "\"battery.capacity\" = [\"5 kWh\", \"10 kWh\"]\n\"inverter.surge_power\" = [[\"8 kW\"], [\"9 "
        "kW\"]]\n"
        "[[search.axis]]\nname = \"floor\"\nlabel = [\"deep\", \"shallow\"]\n\"battery.usable_fraction\" = "
        "[0.9, 0.5]\n");
    REQUIRE(s);
    CHECK(*s->least == SearchLeast::purchase);
    CHECK(*s->require.demand_met == test::Near{0.999, 0, 1e-12});
    CHECK(*s->require.fuel_l > 75.7);
    CHECK(*s->require.fuel_l < 75.71);
    CHECK(*s->require.cloudy_days == 5);
    CHECK(*read("[search.require]\ncloudy_days = \"5 days\"\n")->require.cloudy_days == 5);
    CHECK(s->require.motor_start);
    CHECK(s->require.motor_start_may_be_unknown);
    CHECK(s->require.starts_within_limit);
    CHECK(!s->require.generator_run_h);
    REQUIRE(s->axes.size() == 2);
    auto const& battery = s->axes[0];
    CHECK(battery.more_never_hurts);
    CHECK(battery.labels == std::vector<std::string>{"5 kWh", "10 kWh"});
    CHECK(battery.prices == std::vector<double>{0, 900});
    REQUIRE(battery.values[1].size() == 2);
    CHECK(battery.values[1][0].key == "battery.capacity");
    CHECK(battery.values[1][0].line == 13);
    CHECK(s->axes[1].labels == std::vector<std::string>{"deep", "shallow"});
    CHECK(!s->axes[1].more_never_hurts);
    CHECK(!read("title = \"x\"\n"));
}

TEST_CASE("a scenario with a search still runs as it is") {
    std::string const demo = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const file = read_design_text(demo +
                                           "[search.require]\ndemand_met = 1\n[[search.axis]]\nname = "
                                           "\"battery\"\n\"battery.capacity\" = [\"5 kWh\"]\n",
                                       HOLDWATER_SOURCE "/scenarios/x.toml");
    CHECK(base_design(file).scenario.battery.capacity_kwh == test::Near{5, 0, 1e-12});
    DesignOption option;
    option.overrides = read_search(file)->axes[0].values[0];
    CHECK(option_design(file, option).scenario.battery.capacity_kwh == test::Near{5, 0, 1e-12});
}

TEST_CASE("what is wrong is said with file, line, key and what is accepted") {
    struct Row {
        std::string text, message;
    };
    for (auto const& [text, message] : {
             Row{"search = 1\n", "test.toml:1: key 'search': must be a table, written [search]"},
             Row{"[search]\nmost = 1\n", "test.toml:2: key 'search.most': no such key"},
             Row{"[search]\nleast = \"weight\"\n", "accepted: cost, purchase, size"},
             Row{"[search.require]\ndemand_met = 99.9\n",
                 "key 'search.require.demand_met': 99.9 is out of range"},
             Row{"[search.require]\ncloudy_days = 2.5\n", "must be a whole number of days"},
             Row{"[search.require]\nfuel = 20\n", "key 'search.require.fuel'"},
             Row{"[search.require]\nmotor_start = \"maybe\"\n", "accepted: pass, not failed, any"},
             Row{"[search.require]\ndemand_meet = 1\n", "the nearest known key is 'demand_met'"},
             Row{"[[search.axis]]\n\"battery.capacity\" = [\"5 kWh\"]\n", "the key 'name' is missing"},
             Row{"[[search.axis]]\nname = \"a\"\n", "names no key to change"},
             Row{"[[search.axis]]\nname = \"a\"\n\"battery.capacity\" = \"5 kWh\"\n",
                 "test.toml:3: key 'search.axis.battery.capacity': must be a list"},
             Row{"[[search.axis]]\nname = \"a\"\nbattery.capacity = [\"5 kWh\"]\n",
                 "a dotted key needs quotes here"},
             Row{"[[search.axis]]\nname = \"a\"\n\"a.b\" = [1, 2]\n\"a.c\" = [1]\n",
                 "a.c': has 1 values, a.b has 2"},
             Row{"[[search.axis]]\nname = \"a\"\n\"a.b\" = [1, 2]\nprice = [1]\n",
                 "must be a list of 2 values"},
             Row{"[[search.axis]]\nname = \"a\"\n\"a.b\" = [1, 2]\nlabel = [\"x\"]\n",
                 "must be a list of 2 texts"},
             Row{"[[search.axis]]\nname = \"a\"\n\"a.b\" = [1]\n[[search.axis]]\nname = \"a\"\n\"a.c\" = "
                 "[1]\n",
                 "\"a\" is taken"},
         }) {
        CAPTURE(text);
        std::string const said = refusal(text);
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
    }
}

TEST_CASE("a requirement typed on the command line") {
    Requirements r;
    set_requirement(r, "generator_run_h=50");
    set_requirement(r, "fuel=20 L");
    set_requirement(r, "motor_start=pass");
    set_requirement(r, "starts_within_limit=true");
    CHECK(*r.generator_run_h == 50);
    CHECK(*r.fuel_l == 20);
    CHECK(r.motor_start);
    CHECK(r.starts_within_limit);
    set_requirement(r, "motor_start=any");
    CHECK(!r.motor_start);
    for (std::string const wrong : {"generator_run_h", "generator_run_h=-1", "hours=3", "=3", ""}) {
        CAPTURE(wrong);
        CHECK_THROWS_AS(set_requirement(r, wrong), std::invalid_argument);
    }
}

TEST_SUITE_END();
