#include <benchmark/benchmark.h>

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/array_light.hpp"
#include "sim/inputs/array_year.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/places.hpp"
#include "weather/fit_maker.hpp"
#include "weather/read_weather.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater;

namespace {

struct Demo {
    explicit Demo(std::string const& name)
        : scenario(scenarios::read_scenario(std::string(HOLDWATER_SOURCE) + "/scenarios/" + name)),
          year(weather::read_weather(scenario.weather_path)),
          system(sim::make_system(scenario)),
          inputs(sim::make_inputs(scenario, year)) {}
    scenarios::Scenario scenario;
    weather::WeatherYear year;
    sim::System system;
    sim::CheckedInputs inputs;
};

void simulate_year(benchmark::State& state, char const* name) {
    Demo const demo(name);
    for (auto _ : state) benchmark::DoNotOptimize(sim::simulate(demo.system, demo.inputs, {}));
}

void make_inputs(benchmark::State& state) {
    Demo const demo("juniper-bend-household.toml");
    for (auto _ : state) benchmark::DoNotOptimize(sim::make_inputs(demo.scenario, demo.year));
}

// A made year like the demo's file, its light on the array and the array's power; the sun is shared.
void made_year_to_array_power(benchmark::State& state) {
    Demo const demo("juniper-bend-household.toml");
    weather::WeatherMaker const maker(weather::fit_maker(demo.year, 1).options);
    auto const sun = weather::sun_over_year(demo.year.site);
    int index = 0;
    for (auto _ : state) {
        auto const year = maker.year(index++);
        benchmark::DoNotOptimize(
            sim::array_over_year(demo.scenario, year, sim::light_on_array(demo.scenario, year, sun)));
    }
}

BENCHMARK_CAPTURE(simulate_year, household, "juniper-bend-household.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(simulate_year, outages, "alder-flat-outages.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(simulate_year, livestock, "saltbush-livestock.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK(made_year_to_array_power)->Unit(benchmark::kMicrosecond);
BENCHMARK(make_inputs)->Unit(benchmark::kMicrosecond);

}  // namespace
