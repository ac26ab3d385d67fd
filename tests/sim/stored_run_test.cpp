#include "sim/files/stored_run.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/fuzz/made_year.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::ScratchFolder;

TEST_SUITE_BEGIN("sim/stored_run");

TEST_CASE("figures that differ in a bit, that are missing and that are new are named, with their first row") {
    std::vector<sim::Figure> const before{
        {"/series/a", {1, 2, 3}}, {"/summary/b", {5}}, {"/series/c", {0, 1}}},
        after{{"/series/a", {1, 2.5, 4}}, {"/series/c", {0, 1}}, {"/summary/d", {7}}};
    auto const found = sim::differences(before, after);
    REQUIRE(found.size() == 3);
    CHECK(found[0].name == "/series/a");
    CHECK(found[0].rows == 2);
    CHECK(found[0].first_row == 1);
    CHECK(found[0].before == 2);
    CHECK(found[0].after == 2.5);
    CHECK(found[0].largest == 1);
    CHECK(found[1].name == "/summary/b");
    CHECK(found[1].before == 5);
    CHECK(std::isnan(found[1].after));
    CHECK(std::isinf(found[1].largest));
    CHECK(found[2].name == "/summary/d");
    CHECK(std::isnan(found[2].before));
    CHECK(found[2].after == 7);
    CHECK(sim::differences(before, before).empty());
    // 0 and -0 are equal numbers and other bits.
    CHECK(sim::differences({{"/summary/e", {0.0}}}, {{"/summary/e", {-0.0}}}).size() == 1);
}

TEST_CASE("a run is repeated from its result file to the last bit; with another battery the figures differ") {
    ScratchFolder folder;
    std::string const scenario = HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml";
    auto const file = scenarios::read_design_file(scenario);
    auto const design = scenarios::base_design(file).scenario;
    sim::RunInputs in;
    in.scenario_text = file.text;
    in.scenario_path = scenario;
    in.weather = fuzz::made_year();
    auto const path = (folder / "a.h5").string();
    auto const hourly = sim::make_inputs(design, in.weather);
    auto result = sim::simulate(sim::make_system(design), hourly, {24, 240});
    sim::add_light_series(hourly, result);
    // The hours of the run: its hour 11 is hour 35 of the year, 11 to 12 on 2 January.
    REQUIRE(result.plane_light_w_m2.size() == 240);
    sim::HourlyInputs const& year = hourly;
    CHECK(year.plane_light_w_m2[35] > 0);
    CHECK(result.plane_light_w_m2[11] == year.plane_light_w_m2[35]);
    CHECK(result.cell_c[11] == year.cell_c[35]);
    sim::write_result(path, result, in);
    auto stored = sim::read_stored_run(path);
    CHECK(stored.clock.first_hour == 24);
    CHECK(stored.clock.hours == 240);
    auto const again = sim::differences(stored.figures, sim::figures_of(sim::repeat(stored).result));
    for (auto const& d : again) MESSAGE(d.name);
    CHECK(again.empty());
    std::string const capacity = "\"5.0 kWh\"";
    auto& text = stored.inputs.scenario_text;
    text.replace(text.find(capacity), capacity.size(), "\"4.0 kWh\"");
    auto const other = sim::differences(stored.figures, sim::figures_of(sim::repeat(stored).result));
    CHECK(std::any_of(other.begin(), other.end(),
                      [](auto const& d) { return d.name == "/series/battery_stored_kwh"; }));
}

TEST_SUITE_END();
