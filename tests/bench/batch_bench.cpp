#include <benchmark/benchmark.h>

#include <chrono>
#include <list>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/batch/batch.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;

namespace {

// The designs of a sizing sweep on the household demo: array sizes, battery sizes and transfer levels, with
// the battery as one store of energy or as two wells.
struct Fleet {
    Fleet(models::BatteryKind kind, int arrays, int batteries, bool pump_as_load = false,
          bool events = false) {
        auto scenario = scenarios::read_scenario(std::string(HOLDWATER_SOURCE) +
                                                 "/scenarios/juniper-bend-household.toml");
        if (events) {
            auto& use = scenario.demand.varying.emplace();
            use.daily_m3 = scenario.demand.daily_m3;
            use.tap_flow_m3_s = scenario.demand.tap_flow_m3_s;
            use.weekday = use.weekend = scenario.demand.profile;
            use.fixtures = models::household_fixtures();
        }
        sim::HourlyInputs first = sim::make_inputs(scenario, weather::read_weather(scenario.weather_path));
        if (pump_as_load)
            for (std::size_t h = 0; h < first.load_w.size(); ++h) {
                first.load_w[h] += 620 * first.demand_m3[h];  // Wh per m3, as in plain_loop.py
                first.demand_m3[h] = 0;
            }
        auto system = sim::make_system(scenario);
        system.battery_behavior.voltage = {};
        system.battery_behavior.store.kind = kind;
        for (int a = 0; a < arrays; ++a) {
            auto scaled = first;
            for (double& w : scaled.array_power_w.edit()) w *= 0.6 + 1.6 * a / arrays;
            auto const& in = inputs.emplace_back(std::move(scaled));
            for (int b = 0; b < batteries; ++b) {
                auto& s = systems.emplace_back(system);
                s.battery.capacity_kwh = 5 + 15.0 * b / batteries;
                s.battery.charge_limit_kw = 0.5 * s.battery.capacity_kwh;
                s.rules.transfer_below = 0.2 + 0.05 * (b % 4);
                jobs.push_back({&s, &in});
            }
        }
    }
    std::list<sim::System> systems;
    std::list<sim::CheckedInputs> inputs;
    std::vector<sim::BatchJob> jobs;
};

void batch(benchmark::State& state, models::BatteryKind kind, int arrays, int threads) {
    Fleet const fleet(kind, arrays, 200);
    sim::BatchRun run;
    for (auto _ : state) run = sim::run_batch(fleet.jobs, {}, {.threads = threads});
    state.counters["years"] = static_cast<double>(fleet.jobs.size());
    state.counters["in_lanes"] = static_cast<double>(run.in_lanes);
    state.counters["alone_share"] = run.alone_share;
}

// The same designs with their water drawn as events and as lumps, in turns; they share one water year.
void events_against_lumps(benchmark::State& state) {
    Fleet const lumps(models::BatteryKind::energy_bucket, 4, 200),
        events(models::BatteryKind::energy_bucket, 4, 200, false, true);
    double of_lumps_s = 0, of_events_s = 0;
    auto const seconds_of = [](Fleet const& fleet) {
        auto const begin = std::chrono::steady_clock::now();
        benchmark::DoNotOptimize(sim::run_batch(fleet.jobs, {}, {.threads = 1}));
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    };
    for (auto _ : state) {
        of_lumps_s += seconds_of(lumps);
        of_events_s += seconds_of(events);
    }
    state.counters["years"] = static_cast<double>(lumps.jobs.size() + events.jobs.size());
    state.counters["events_rate_over_lumps"] = of_lumps_s / of_events_s;
}

// The equations of plain_loop.py: without pump cycles; the energy of the pump is a load of the hour.
void pump_as_load(benchmark::State& state) {
    Fleet const fleet(models::BatteryKind::energy_bucket, 8, 200, true);
    for (auto _ : state) benchmark::DoNotOptimize(sim::run_batch(fleet.jobs, {}, {.threads = 1}));
    state.counters["years"] = static_cast<double>(fleet.jobs.size());
}

void one_by_one(benchmark::State& state) {
    Fleet const fleet(models::BatteryKind::energy_bucket, 4, 8);
    for (auto _ : state)
        for (auto const& job : fleet.jobs)
            benchmark::DoNotOptimize(sim::simulate(*job.system, *job.inputs, {}));
    state.counters["years"] = static_cast<double>(fleet.jobs.size());
}

void minute_steps(benchmark::State& state) {
    Fleet const fleet(models::BatteryKind::energy_bucket, 1, 1);
    sim::Clock const clock{0, sim::hours_per_year, 60};
    for (auto _ : state)
        benchmark::DoNotOptimize(sim::simulate(*fleet.jobs[0].system, *fleet.jobs[0].inputs, clock));
    state.counters["years"] = 1;
}

using models::BatteryKind;
BENCHMARK_CAPTURE(batch, bucket_one_thread, BatteryKind::energy_bucket, 8, 1)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK_CAPTURE(batch, bucket_two_threads, BatteryKind::energy_bucket, 8, 2)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK_CAPTURE(batch, two_wells_one_thread, BatteryKind::two_well, 1, 1)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK(events_against_lumps)->Unit(benchmark::kMillisecond);
BENCHMARK(pump_as_load)->Unit(benchmark::kMillisecond)->MeasureProcessCPUTime();
BENCHMARK(one_by_one)->Unit(benchmark::kMillisecond);
BENCHMARK(minute_steps)->Unit(benchmark::kMillisecond);

}  // namespace
