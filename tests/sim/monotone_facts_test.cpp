#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/from_own_start.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Draw, test::random_inputs, test::random_system;

namespace {

constexpr int designs = 500;
constexpr int days = 12;

// A random design of any backup, made one without.
sim::System alone(Draw& draw) {
    auto s = sim::without_backup(random_system(draw));
    s.start_soc = 1;
    return s;
}

double first_shortage_h(sim::RunResult const& r) {
    for (std::size_t h = 0; h < r.hours.size(); ++h)
        if (r.hours[h].water_short_m3 > 1e-9) return static_cast<double>(h);
    return sim::CloudyPeriodStart::never;
}

sim::HourlyInputs more_sun(sim::HourlyInputs in, double factor) {
    for (double& w : in.array_power_w.edit()) w *= factor;
    return in;
}

// Longest time the generator ran on end, hours.
double longest_run_h(sim::RunResult const& r) {
    double longest_h = 0, run_h = 0;
    for (auto const& h : r.hours) {
        run_h = h.generator_run_h > 0 ? run_h + h.generator_run_h : 0;
        longest_h = std::max(longest_h, run_h);
    }
    return longest_h;
}

}  // namespace

TEST_SUITE_BEGIN("sim/monotone_facts");

// Small loads are left out here: a small battery that cannot carry them beside the pump sheds them, uses less
// energy and may last longer than a battery that serves everything.
TEST_CASE("500 designs: a bigger battery never runs dry sooner") {
    int later = 0, dry = 0;
    for (std::uint64_t seed = 1; seed <= designs; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 40000);
        auto const s = alone(draw);
        auto in = random_inputs(draw, 24 * days);
        for (double& w : in.load_w.edit()) w = 0;
        for (double& w : in.array_power_w.edit()) w *= 0.1;
        // Little enough for the pump to deliver, so that power decides.
        for (double& m3 : in.demand_m3.edit()) m3 *= 0.2;
        for (double& flow : in.tap_flow_m3_s.edit()) flow = std::min(flow, 0.2e-3);
        double const factor = draw(1.02, 3);
        double const small_h = first_shortage_h(sim::simulate(s, in, {0, 24 * days}));
        double const large_h =
            first_shortage_h(sim::simulate(sim::with_battery_factor(s, factor), in, {0, 24 * days}));
        CHECK(large_h >= small_h);
        later += large_h > small_h ? 1 : 0;
        dry += std::isfinite(small_h) ? 1 : 0;
    }
    MESSAGE(dry, " of ", designs, " run dry, ", later, " later with the bigger battery");
    CHECK(later > 50);
}

// A call for the generator lasts until the battery is at return_above, whatever the sun does. So running time
// comes in whole runs, and more sun moves the moment of a call: it may then come before a night instead of a
// morning, or before the end of the run instead of after it. Hence one run is allowed for, the longest of the
// two designs; beyond that, more sun never adds an hour.
TEST_CASE("500 designs: more sun never adds generator hours, one run allowed for") {
    int designs_run = 0, more = 0, less = 0;
    double most_over_h = 0;
    for (std::uint64_t seed = 1; designs_run < designs; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 80000);
        auto s = random_system(draw);
        auto const in = random_inputs(draw, 24 * days);
        if (s.rules.backup != sim::Backup::generator) continue;
        ++designs_run;
        auto const cloudy = sim::simulate(s, in, {0, 24 * days});
        auto const sunny = sim::simulate(s, more_sun(in, draw(1.02, 3)), {0, 24 * days});
        double const added_h = sunny.summary.generator_run_h - cloudy.summary.generator_run_h;
        CHECK(added_h <= std::max(longest_run_h(cloudy), longest_run_h(sunny)) + 1e-9);
        more += added_h > 1e-9 ? 1 : 0;
        less += added_h < -1e-9 ? 1 : 0;
        most_over_h = std::max(most_over_h, added_h);
    }
    MESSAGE(less, " designs with fewer hours, ", more, " with more, at most ", most_over_h, " h");
    CHECK(less > 200);
    CHECK(more < designs / 10);
}

TEST_CASE("500 designs: a longer cloudy period never keeps more start dates wet") {
    int shrank = 0;
    for (std::uint64_t seed = 1; seed <= designs; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 120000);
        auto const s = draw.coin() ? alone(draw) : random_system(draw);
        sim::CloudyPeriodInputs in;
        in.own = random_inputs(draw, sim::hours_per_year);
        in.cloudy.push_back(more_sun(random_inputs(draw, sim::hours_per_year), 0.1));
        in.hours = 24 * 6;
        std::vector<int> const first_days{static_cast<int>(draw(0, 365)), static_cast<int>(draw(0, 365))};
        auto const six = test::run_cloudy_periods(s, in, first_days, sim::FollowUntil::period_end).survival;
        CHECK(std::is_sorted(six.rbegin(), six.rend()));
        int const shorter = static_cast<int>(draw(1, 6));
        in.hours = 24 * shorter;
        CHECK(test::run_cloudy_periods(s, in, first_days, sim::FollowUntil::period_end).survival.back() ==
              six[static_cast<std::size_t>(shorter) - 1]);
        shrank += six.front() > six.back() ? 1 : 0;
    }
    CHECK(shrank > 50);
}

TEST_SUITE_END();
