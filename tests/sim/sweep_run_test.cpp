#include "sim/sweep/sweep_run.hpp"

#include <doctest/doctest.h>
#include <oneapi/tbb/global_control.h>

#include <cmath>
#include <set>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using sim::SweepBlock, sim::SweepPlan, sim::YearSweep;
using test::Near;

namespace {

std::string const demo = HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml";

SweepBlock run_all(SweepPlan const& plan) {
    YearSweep years(scenarios::read_design_file(demo), {}, "", plan.axes());
    SweepBlock all;
    all.width = sim::year_figures().size();
    sim::run_blocks(
        plan, {0, plan.size()}, all.width, [&](SweepBlock& b) { years.run(b); },
        [&](SweepBlock const& b) {
            all.settings.insert(all.settings.end(), b.settings.begin(), b.settings.end());
            all.figures.insert(all.figures.end(), b.figures.begin(), b.figures.end());
            all.problems.insert(all.problems.end(), b.problems.begin(), b.problems.end());
        });
    return all;
}

SweepBlock with_threads(SweepPlan const& plan, std::size_t threads) {
    oneapi::tbb::global_control const limit(oneapi::tbb::global_control::max_allowed_parallelism, threads);
    return run_all(plan);
}

}  // namespace

TEST_SUITE_BEGIN("sim/sweep_run");

// The thread sanitizer also runs these: -tc="*sweep*threads*".
TEST_CASE("sweep of years on one, two and five threads: the same numbers to the bit") {
    SweepPlan const plan(
        {sim::SweepMethod::latin_hypercube,
         {"battery.capacity=normal(5 kWh, 1 kWh)", "array.tilt=20 deg..40 deg",
          "weather.decomposition=erbs,boland-ridley-lauret", "battery.restart_above=0.4,0.65"},
         40,
         3});
    auto const one = with_threads(plan, 1);
    CHECK(one.refused() == 20);  // restart_above below the minimum SOC
    for (std::size_t const threads : {2U, 5U}) {
        auto const more = with_threads(plan, threads);
        CHECK(more.problems == one.problems);
        bool same = true;
        for (std::size_t i = 0; i < one.figures.size(); ++i)
            same = same && (one.figures[i] == more.figures[i] ||
                            (std::isnan(one.figures[i]) && std::isnan(more.figures[i])));
        CHECK(same);
    }
}

// Shards, interruptions and growing blocks divide the rows in different places, which must not change the
// bytes.
TEST_CASE("sweep of years: a row is the same to the bit in a block of any rows, and alone") {
    SweepPlan const plan({sim::SweepMethod::latin_hypercube,
                          {"battery.capacity=5 kWh..14 kWh", "backup.transfer_below=0.2..0.35",
                           "array.rated_power=1.5 kW..3 kW", "tank.volume=0.2 m3,0.4 m3"},
                          24,
                          11});
    std::string const household = HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml";
    auto const rows_cut = [&](std::vector<std::size_t> const& lengths) {
        YearSweep years(scenarios::read_design_file(household), {}, "", plan.axes());
        std::vector<double> figures;
        std::size_t next = 0;
        for (std::size_t i = 0; next < plan.size(); ++i) {
            SweepBlock block;
            block.width = sim::year_figures().size();
            for (std::size_t n = 0; n < lengths[i % lengths.size()] && next < plan.size(); ++n)
                block.settings.push_back(plan.row(next++));
            block.figures.assign(block.size() * block.width, sim::not_run);
            block.problems.assign(block.size(), "");
            years.run(block);
            for (auto const& problem : block.problems) CHECK(problem == "");
            figures.insert(figures.end(), block.figures.begin(), block.figures.end());
        }
        return figures;
    };
    auto const whole = rows_cut({24});
    CHECK(rows_cut({1}) == whole);
    CHECK(rows_cut({7, 2, 1, 13}) == whole);
}

TEST_CASE("sweep of years: a row's figures are those of a run of the same design") {
    SweepPlan const plan({sim::SweepMethod::grid, {"battery.capacity=4 kWh,8 kWh", "inverter.idle=30 W"}});
    auto const all = run_all(plan);
    auto const figures = sim::year_figures();
    for (std::size_t i = 0; i < 2; ++i) {
        scenarios::DesignOption option;
        option.overrides = {{"battery.capacity", i == 0 ? "\"4 kWh\"" : "\"8 kWh\"", 0},
                            {"inverter.idle", "\"30 W\"", 0}};
        auto const scenario = scenarios::option_design(scenarios::read_design_file(demo), option).scenario;
        auto const year = scenarios::read_scenario_weather(scenario, "");
        auto const run =
            sim::simulate(sim::make_system(scenario), sim::make_inputs(scenario, year), sim::Clock{});
        std::size_t at = 0;
        for (auto const& f : sim::summary_fields()) {
            if (f.name == "wall_time_s") continue;
            CHECK(figures[at].name == f.name);
            CHECK(all.figures_of(i)[at++] == Near{run.summary.*f.value, 1e-9, 1e-9});
        }
        for (auto const& f : sim::finding_fields())
            CHECK(all.figures_of(i)[at++] == Near{run.findings.*f.value, 1e-9, 1e-9});
        CHECK(at == figures.size());
    }
}

TEST_CASE("sweep of years: names of the figures are told apart") {
    std::set<std::string> names;
    for (auto const& f : sim::year_figures()) names.insert(f.name);
    CHECK(names.size() == sim::year_figures().size());
}

TEST_CASE("sweep of years: many weather files, one not readable") {
    test::ScratchFolder folder;
    std::string list;
    auto const weather = HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv";
    for (int i = 0; i < 3; ++i) {
        auto const path = (folder / ("w" + std::to_string(i) + ".csv")).string();
        if (i != 1) std::filesystem::copy_file(weather, path);
        list += (i == 0 ? "" : ",") + path;
    }
    SweepPlan const plan({sim::SweepMethod::grid, {"battery.capacity=4 kWh,8 kWh", "weather.file=" + list}});
    auto const all = run_all(plan);
    CHECK(all.refused() == 2);
    // The rows of a file stand together.
    CHECK(all.problems[2].find("w1.csv") != std::string::npos);
    CHECK(all.problems[3] == all.problems[2]);
    CHECK(all.figures_of(0)[3] == all.figures_of(4)[3]);
    CHECK(all.figures_of(0)[3] > all.figures_of(1)[3]);  // hours short of water, the smaller battery first
    // Another weather, another hash.
    auto const hash = [&] {
        return YearSweep(scenarios::read_design_file(demo), {}, "", plan.axes()).inputs_hash();
    };
    auto const before = hash();
    CHECK(hash() == before);
    std::filesystem::copy_file(weather, folder / "w1.csv");
    CHECK(hash() != before);
}

TEST_CASE("sweep of years: a scenario that is wrong by itself is no finding of a row") {
    CHECK_THROWS_AS(YearSweep(scenarios::read_design_text("title = 1\n", "x.toml"), {}, "", {}),
                    scenarios::ScenarioError);
}

TEST_SUITE_END();
