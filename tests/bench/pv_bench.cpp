#include <benchmark/benchmark.h>

#include <cmath>
#include <cstddef>
#include <vector>

#include "models/array/array_curve.hpp"
#include "models/array/charge_controller.hpp"
#include "models/array/single_diode_fit.hpp"

namespace {

using namespace holdwater::models;

constexpr int hours = 8760;

/// A year of days with more and less light; only the spread of the values matters here, not the place.
std::vector<PlaneSample> year() {
    std::vector<PlaneSample> samples(hours);
    for (int h = 0; h < hours; ++h) {
        double const day = std::sin((h % 24 - 6) / 12.0 * 3.14159);
        if (day <= 0) continue;
        double const cloud = 0.5 + 0.5 * std::sin(0.37 * h);
        samples[static_cast<std::size_t>(h)] = {700 * day * cloud, 60 * day * cloud, 150 * day,
                                                15 * day,          80 - 70 * day,    35};
    }
    return samples;
}

int month_of(int hour) { return 1 + hour / 731; }

void array_power_year(benchmark::State& state, ModuleModel model) {
    PvArrayParameters p;
    p.module_model = model;
    p.modules_in_series = 3;
    p.strings_in_parallel = 4;
    auto const samples = year();
    for (auto _ : state) {
        double sum = 0;
        for (int h = 0; h < hours; ++h)
            sum += array_power_w(p, samples[static_cast<std::size_t>(h)], 15, 2, month_of(h));
        benchmark::DoNotOptimize(sum);
    }
    state.SetItemsProcessed(state.iterations() * hours);
}
BENCHMARK_CAPTURE(array_power_year, linear, ModuleModel::linear)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(array_power_year, single_diode, ModuleModel::single_diode)->Unit(benchmark::kMicrosecond);

void diode_maximum_power(benchmark::State& state) {
    SingleDiodeParameters const p;
    double s = 100;
    for (auto _ : state) {
        s = s > 1100 ? 100 : s + 7;
        benchmark::DoNotOptimize(maximum_power_point(p, s, 40));
    }
}
BENCHMARK(diode_maximum_power);

void diode_current(benchmark::State& state) {
    auto const c = translate({}, 800, 40);
    double v = 10;
    for (auto _ : state) {
        v = v > 44 ? 10 : v + 0.3;
        benchmark::DoNotOptimize(current_a(c, v));
    }
}
BENCHMARK(diode_current);

void controller_on_curve(benchmark::State& state) {
    PvArrayParameters p;
    p.module_model = ModuleModel::single_diode;
    p.modules_in_series = 3;
    auto const c = array_curve(p, {800, 780, 40});
    for (auto _ : state) benchmark::DoNotOptimize(controller_point({}, c, 51.2, 1e9, true));
}
BENCHMARK(controller_on_curve);

void fit_from_data_sheet(benchmark::State& state) {
    ModuleDatasheet const d{10.20, 49.0, 9.60, 40.6, 0.0051, -0.1421};
    for (auto _ : state) benchmark::DoNotOptimize(fit_single_diode(d));
}
BENCHMARK(fit_from_data_sheet)->Unit(benchmark::kMicrosecond);

}  // namespace
