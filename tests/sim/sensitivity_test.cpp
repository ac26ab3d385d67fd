#include "sim/designs/sensitivity.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <string>
#include <thread>
#include <vector>

#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/check/design_check.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near;

namespace {

scenarios::DesignFile demo(std::string const& name) {
    return scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/" + name + ".toml");
}

bool flips(sim::Sensitivity const& r, std::string const& what) {
    return std::any_of(r.flipped.begin(), r.flipped.end(),
                       [&](auto const& v) { return v.name.find(what) != std::string::npos; });
}

// The verdict of every value over a few made years.
sim::WeatherStandIn few_years() {
    sim::WeatherStandIn weather;
    weather.made_years = 4;
    return weather;
}

}  // namespace

TEST_SUITE_BEGIN("sim/sensitivity");

// Surge kVA scale with the locked-rotor amperes: 41.8 A on a 12 kVA surge fit, 100 A do not.
TEST_CASE(
    "a start current that decides flips check's verdict and the year's water; one that does not, "
    "nothing") {
    auto const tried = sim::sensitivity(demo("juniper-bend-household"), "", few_years(),
                                        {{"motor.locked_rotor", "25 A", "100 A", "tried"},
                                         {"motor.locked_rotor", "41.7 A", "41.9 A", "tried"}})
                           .inputs;
    REQUIRE(tried.size() == 2);
    CHECK(flips(tried[0], "start-surge"));
    CHECK(flips(tried[0], "every motor start accepted"));
    CHECK(tried[0].written.shortage_hours == 0);
    CHECK(tried[0].high.shortage_hours > 1000);
    auto const water = std::find_if(tried[0].flipped.begin(), tried[0].flipped.end(), [](auto const& v) {
        return v.name.find("the whole demand is met") != std::string::npos;
    });
    REQUIRE(water != tried[0].flipped.end());
    CHECK(water->at_low == "YES");
    CHECK(water->as_written == "YES");
    CHECK(water->at_high == "NO");
    CHECK(tried[1].flipped.empty());
    CHECK(tried[1].low.verdicts.size() == tried[1].high.verdicts.size());
}

TEST_CASE("any key of the scenario can be tried, as an option would change it") {
    auto weather = few_years();
    std::vector<double> shares;  // what is done, as it is told on the way
    weather.progress = [&](double share) { shares.push_back(share); };
    auto const tried = sim::sensitivity(demo("saltbush-livestock"), "", weather,
                                        {{"inverter.idle", "10 W", "120 W", "assumed"}})
                           .inputs;
    REQUIRE(tried.size() == 1);
    REQUIRE(shares.size() >= 3);  // two ends, then their years
    CHECK(shares.front() > 0);
    CHECK(std::is_sorted(shares.begin(), shares.end()));
    CHECK(shares.back() == Near{1, 1e-9, 0});
    CHECK(tried[0].low.shortage_hours < tried[0].written.shortage_hours);
    CHECK(tried[0].high.shortage_hours > tried[0].written.shortage_hours);
    CHECK_THROWS_AS(sim::sensitivity(demo("saltbush-livestock"), "", few_years(),
                                     {{"inverter.color", "1", "2", "assumed"}}),
                    scenarios::ScenarioError);
    try {  // no option is named where none was asked for
        sim::sensitivity(demo("saltbush-livestock"), "", few_years(),
                         {{"inverter.idle", "2 0 W", "60 W", "assumed"}});
        FAIL("was accepted");
    } catch (scenarios::ScenarioError const& error) {
        CHECK(std::string(error.what()).find("saltbush-livestock.toml: key 'inverter.idle': ") !=
              std::string::npos);
    }
    CHECK_THROWS_AS(sim::sensitivity(demo("saltbush-livestock"), "", few_years(),
                                     {{"motor.locked_rotor", "25 kg", "48 A", "assumed"}}),
                    scenarios::ScenarioError);
    CHECK_THROWS_AS(sim::sensitivity(demo("saltbush-livestock"), "", few_years(),
                                     {{"wiring.source_sag", "0.9", "0.1", "assumed"}}),
                    scenarios::ScenarioError);
}

TEST_CASE("a stop leaves the inputs that were tried at both ends, and no verdict over a part of the years") {
    std::atomic<bool> const at_once = true;
    std::vector<sim::RangeToTry> const ranges{{"inverter.idle", "10 W", "120 W", "assumed"},
                                              {"inverter.idle", "20 W", "30 W", "assumed"}};
    auto const none = sim::sensitivity(demo("saltbush-livestock"), "", few_years(), ranges, &at_once);
    CHECK(none.stopped);
    CHECK(none.inputs.empty());
    auto const over_years = [](sim::SensitivityEnd const& end) {
        return std::any_of(end.verdicts.begin(), end.verdicts.end(),
                           [](auto const& v) { return v.name.starts_with("enough years"); });
    };
    auto const all = sim::sensitivity(demo("saltbush-livestock"), "", few_years(), ranges);
    CHECK(!all.stopped);
    CHECK(over_years(all.inputs.at(1).high));
    // Stopped from beside; later if nothing was finished by then.
    std::vector<sim::RangeToTry> const many(500, ranges[0]);
    sim::SensitivityAnswer some;
    for (int wait_ms = 500; some.inputs.empty() && wait_ms < 60000; wait_ms *= 2) {
        std::atomic<bool> stop = false;
        std::thread beside([&] {
            std::this_thread::sleep_for(std::chrono::milliseconds(wait_ms));
            stop = true;
        });
        some = sim::sensitivity(demo("saltbush-livestock"), "", few_years(), many, &stop);
        beside.join();
    }
    CHECK(some.stopped);
    REQUIRE(!some.inputs.empty());
    CHECK(some.inputs.size() < many.size());
    CHECK(!some.inputs.back().high.verdicts.empty());
    CHECK(!over_years(some.inputs.back().high));
}

TEST_CASE("stated ranges and provenance are read for any key and carried in words") {
    auto const scenario = scenarios::base_design(demo("alder-flat-store")).scenario;
    auto const ranges = sim::stated_ranges(scenario);
    REQUIRE(ranges.size() == 3);
    CHECK(std::count_if(ranges.begin(), ranges.end(), [](auto const& r) {
              return r.input == "inverter.idle" && r.low == "12 W" && r.high == "44 W" &&
                     r.provenance == "assumed";
          }) == 1);
    auto const lines = scenarios::provenance_lines_of_run(scenario);
    auto const has = [&](std::string const& line) {
        return std::find(lines.begin(), lines.end(), line) != lines.end();
    };
    CHECK(has("inverter.idle: 18 W (assumed, 12 W to 44 W)"));
    CHECK(has("well.static_level: 120 ft (measured)"));
    CHECK(has("battery.capacity: 5.1 kWh (nameplate)"));
    CHECK(has("use.1.persons: 2 (assumed, 2 to 4)"));
    // Inputs that only `check` uses are not listed among those of a year.
    auto with_sag = scenario;
    with_sag.provenance.push_back({"wiring.source_sag", scenarios::Provenance::measured, {}, "0.05", "", ""});
    CHECK(scenarios::provenance_lines(with_sag).size() == lines.size() + 1);
    CHECK(scenarios::provenance_lines_of_run(with_sag).size() == lines.size());
}

TEST_SUITE_END();
