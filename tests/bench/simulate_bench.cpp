#include <benchmark/benchmark.h>

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

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

BENCHMARK_CAPTURE(simulate_year, household, "juniper-bend-household.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(simulate_year, outages, "alder-flat-outages.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(simulate_year, livestock, "saltbush-livestock.toml")->Unit(benchmark::kMicrosecond);
BENCHMARK(make_inputs)->Unit(benchmark::kMicrosecond);

}  // namespace
