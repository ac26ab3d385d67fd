// How long each of three batteries keeps the water running; shows how to use the engine as a library.
//   well_check SCENARIO
#include <cstdio>
#include <exception>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

using namespace holdwater;

int main(int, char** argv) try {
    auto const scenario = scenarios::read_scenario(argv[1]);
    auto const inputs = sim::make_inputs(scenario, scenarios::read_scenario_weather(scenario));
    auto system = sim::make_system(scenario);
    double const quoted_kwh = system.battery.capacity_kwh;
    for (double const share : {0.5, 1.0, 2.0}) {
        system.battery.capacity_kwh = share * quoted_kwh;
        auto const result = sim::simulate(system, inputs, sim::Clock{});
        std::printf("%.9g %.17g\n", system.battery.capacity_kwh, result.summary.water_delivered_m3);
    }
} catch (std::exception const& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 2;
}
