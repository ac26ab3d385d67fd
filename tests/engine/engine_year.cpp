// Runs a year and a batch with the engine alone: no scenario file, no result file, no thread pool. Prints the
// water delivered and the balance errors. Exit code 1 if a balance does not close or the batch differs from
// the single year. Built by tests/engine/run.
#include <cmath>
#include <cstdio>
#include <exception>
#include <vector>

#include "sim/batch/batch.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"

using namespace holdwater;

int main() try {
    auto const system = test::plain_system();
    sim::CheckedInputs const inputs(test::steady_inputs(300, 50, 0.02, 2e-4));
    auto const year = sim::simulate(system, inputs, sim::Clock{}).summary;
    std::vector<sim::BatchJob> const jobs(3, {&system, &inputs});
    auto const batch = sim::run_batch(jobs, sim::Clock{}, {});
    double const apart_m3 = std::abs(batch.years.back().summary.water_delivered_m3 - year.water_delivered_m3);
    std::printf("%.3f m3 delivered, balances off by %.1e kWh and %.1e m3, batch off by %.1e m3\n",
                year.water_delivered_m3, year.energy_residual_kwh, year.water_residual_m3, apart_m3);
    return year.energy_residual_kwh < 1e-6 && year.water_residual_m3 < 1e-6 && apart_m3 < 1e-9 ? 0 : 1;
} catch (std::exception const& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
}
