#include <benchmark/benchmark.h>

#include <filesystem>
#include <fstream>

#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater::weather;

namespace {

MakeOptions options() {
    MakeOptions o;
    o.place = "Dry Fork";
    o.site = {40, -105, 1600, -7};
    o.clearness = {.55, .57, .58, .58, .6, .62, .63, .62, .62, .6, .56, .54};
    o.temperature_c = {-2, 0, 4, 9, 14, 19, 23, 22, 17, 10, 4, -1};
    return o;
}

void read_file(benchmark::State& state, std::string const& path) {
    if (!std::filesystem::exists(path)) {
        state.SkipWithError("the open weather files are not here");
        return;
    }
    for (auto _ : state) benchmark::DoNotOptimize(read_weather(path));
}

void read_tmy3(benchmark::State& state) { read_file(state, HOLDWATER_SHARED "/weather/boise-tmy3.csv"); }
BENCHMARK(read_tmy3)->Unit(benchmark::kMillisecond);

void read_epw(benchmark::State& state) { read_file(state, HOLDWATER_SHARED "/weather/denver-intl.epw"); }
BENCHMARK(read_epw)->Unit(benchmark::kMillisecond);

void read_plain_csv(benchmark::State& state) {
    std::string const csv = plain_csv_of(make_weather(options()));
    for (auto _ : state) benchmark::DoNotOptimize(read_weather_text(csv, "made"));
}
BENCHMARK(read_plain_csv)->Unit(benchmark::kMillisecond);

void year_of_sun(benchmark::State& state) {
    Site const site = options().site;
    for (auto _ : state) benchmark::DoNotOptimize(sun_over_year(site));
}
BENCHMARK(year_of_sun)->Unit(benchmark::kMillisecond);

void year_on_plane(benchmark::State& state) {
    auto const year = make_weather(options());
    auto const sun = sun_over_year(year.site);
    for (auto _ : state)
        benchmark::DoNotOptimize(plane_of_array(year, sun, Plane{40, 180}, TranspositionModel::perez));
}
BENCHMARK(year_on_plane)->Unit(benchmark::kMillisecond);

void year_made(benchmark::State& state) {
    auto o = options();
    o.keep_monthly_means = false;
    WeatherMaker const maker(o);
    int index = 0;
    for (auto _ : state) benchmark::DoNotOptimize(maker.year(index++));
}
BENCHMARK(year_made)->Unit(benchmark::kMillisecond);

}  // namespace
