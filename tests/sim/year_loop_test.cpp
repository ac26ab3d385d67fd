#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/random_water.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Draw, test::Near;

TEST_SUITE_BEGIN("sim/year_loop");

TEST_CASE("a watched run sees the hours of simulate, to the bit, and stops where it is told to") {
    sim::Clock const clock{24 * 40, 24 * 10};
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 7000);
        auto system = test::random_wet_system(draw);
        auto hourly = test::random_wet_inputs(draw, system, clock.first_hour + clock.hours);
        if (seed % 2 == 0) test::add_supply_features(draw, system, hourly, clock.first_hour + clock.hours);
        sim::CheckedInputs const inputs(hourly);
        auto const whole = sim::simulate(system, inputs, clock);
        int seen = 0, differing = 0;
        int const stop_at = static_cast<int>(5 * seed);
        sim::watch(system, inputs, clock, [&](int i, sim::HourRecord const& r, auto) {
            CHECK(i == seen++);
            differing +=
                std::memcmp(&r, &whole.hours[static_cast<std::size_t>(i)], sizeof(sim::HourRecord)) == 0 ? 0
                                                                                                         : 1;
            return i < stop_at;
        });
        CHECK(seen == stop_at + 1);
        CHECK(differing == 0);
    }
}

// Each figure counted here from the hours alone, in the plainest way.
TEST_CASE("what the summary says of a run is what its hours add up to") {
    int const days = 20;
    double cycles = 0, coldest_c = 0, starts = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 7100);
        auto system = test::random_wet_system(draw);
        auto hourly = test::random_wet_inputs(draw, system, 24 * days);
        test::add_supply_features(draw, system, hourly, 24 * days);
        auto const result = sim::simulate(system, sim::CheckedInputs(hourly), {0, 24 * days});
        auto const& s = result.summary;
        double soc_sum = 0, discharged_kwh = 0, run_h = 0, coldest = INFINITY, busiest_starts = 0,
               longest_run_h = 0;
        for (std::size_t day = 0; day < static_cast<std::size_t>(days); ++day) {
            double day_starts = 0, day_run_h = 0;
            for (std::size_t h = 24 * day; h < 24 * (day + 1); ++h) {
                auto const& r = result.hours[h];
                soc_sum += r.battery_soc;
                discharged_kwh += r.battery_discharge_kw;
                coldest = std::min(coldest, r.battery_temperature_c);
                day_starts += r.pump_starts;
                day_run_h += r.pump_run_h;
            }
            run_h += day_run_h;
            busiest_starts = std::max(busiest_starts, day_starts);
            longest_run_h = std::max(longest_run_h, day_run_h);
            CHECK(result.days[day].pump_starts == day_starts);
        }
        CHECK(s.soc_mean == Near{soc_sum / (24 * days), 1e-9, 0});
        CHECK(s.battery_equivalent_cycles * system.battery.capacity_kwh == Near{discharged_kwh, 1e-9, 1e-9});
        CHECK(s.pump_run_h == Near{run_h, 1e-9, 0});
        CHECK(s.max_starts_per_day == busiest_starts);
        CHECK(result.findings.longest_day_run_h == Near{longest_run_h, 1e-9, 0});
        CHECK(result.findings.battery_coldest_c == coldest);
        cycles += s.battery_equivalent_cycles;
        coldest_c = std::min(coldest_c, coldest);
        starts += s.pump_starts;
    }
    CHECK(cycles > 10);
    CHECK(coldest_c < 0);
    CHECK(starts > 100);
}

TEST_CASE("inputs are refused when they are made: a series too short, not finite or negative") {
    Draw draw(3);
    auto const good = test::random_inputs(draw, 48);
    CHECK_NOTHROW(sim::CheckedInputs{good});
    auto const refused = [&](auto spoil, char const* says) {
        auto bad = good;
        spoil(bad);
        CHECK_THROWS_WITH_AS(sim::CheckedInputs{bad}, says, models::ParameterError);
    };
    refused([](auto& in) { in.load_w[7] = std::numeric_limits<double>::infinity(); },
            "load_w = inf (must be finite and not negative in every hour)");
    refused([](auto& in) { in.demand_m3[8] = -1; },
            "demand_m3 = -1 (must be finite and not negative in every hour)");
    refused([](auto& in) { in.array_power_w.edit().pop_back(); },
            "array_power_w = 8759 (must hold 8760 hourly values)");
    refused([](auto& in) { in.ambient_c.assign(8760, std::numeric_limits<double>::quiet_NaN()); },
            "ambient_c = nan (must be finite in every hour)");
    refused([](auto& in) { in.first_draw.assign(8761, 0), in.first_draw.back() = 5; },
            "first_draw = 8761 (must hold 8761 positions, the last one the end of draws)");
}

TEST_CASE("the peaks of inputs are those of the year, and of both years when hours of another are taken") {
    Draw draw(4);
    auto hourly = test::random_inputs(draw, 48);
    hourly.load_w[100] = 5000;
    sim::CheckedInputs in(hourly);
    CHECK(in.peaks().load_w == 5000);
    hourly.load_w[100] = 10;
    hourly.load_w[200] = 9000;
    in.take_hours(hourly, 190, 20);
    CHECK(in->load_w[200] == 9000);
    CHECK(in->load_w[100] == 5000);
    CHECK(in.peaks().load_w == 9000);
    hourly.demand_m3[300] = -1;
    CHECK_NOTHROW(in.take_hours(hourly, 190, 20));
    CHECK_THROWS_AS(in.take_hours(hourly, 290, 20), models::ParameterError);
}

TEST_CASE("the lowest SOC is reached in its hour: it is higher in a run that ends before it") {
    sim::Clock const clock{24 * 40, 24 * 10};
    int later = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 9000);
        auto system = test::random_wet_system(draw);
        auto hourly = test::random_wet_inputs(draw, system, clock.first_hour + clock.hours);
        if (seed % 2 == 0) test::add_supply_features(draw, system, hourly, clock.first_hour + clock.hours);
        sim::CheckedInputs const inputs(hourly);
        auto const whole = sim::simulate(system, inputs, clock);
        int const hour = whole.lowest_soc_hour;
        REQUIRE(hour >= clock.first_hour);
        REQUIRE(hour < clock.first_hour + clock.hours);
        auto const soc_min = [&](int hours) {
            return sim::simulate(system, inputs, {clock.first_hour, hours}).summary.soc_min;
        };
        CHECK(soc_min(hour - clock.first_hour + 1) == Near{whole.summary.soc_min, 1e-3, 0});
        if (hour == clock.first_hour) continue;
        ++later;
        CHECK(soc_min(hour - clock.first_hour) > soc_min(hour - clock.first_hour + 1));
    }
    CHECK(later >= 10);
}

TEST_SUITE_END();
