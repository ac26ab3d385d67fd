#include "sim/inputs/draw_segments.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <numeric>

#include "sim/inputs/make_demand.hpp"
#include "sim/water/taps.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

namespace {

constexpr double step = models::event_flow_step_m3_s;

double drawn_in_m3(sim::HourlyInputs const& in, std::size_t hour) {
    double sum_m3 = 0, from_s = 0;
    for (auto i = in.first_draw[hour]; i < in.first_draw[hour + 1]; ++i) {
        sum_m3 += in.draws[i].flow_m3_s * (in.draws[i].until_s - from_s);
        from_s = in.draws[i].until_s;
    }
    return sum_m3;
}

scenarios::Scenario household(double daily_m3, double tap_flow_m3_s) {
    scenarios::Scenario s;
    s.demand.uses = {models::household_use("house", 1, daily_m3, tap_flow_m3_s),
                     models::leak_use("leak", 1e-6)};
    s.demand.uses[0].fixtures = models::household_fixtures();
    s.demand.from_trough = {false, false};
    return s;
}

weather::WeatherYear mild() {
    weather::WeatherYear year;
    year.temperature_c.assign(8760, 10);
    return year;
}

}  // namespace

TEST_SUITE_BEGIN("sim/draw_segments");

TEST_CASE("uses that overlap, cross an hour, midnight and the end of the year") {
    sim::OpenTaps taps;
    std::vector<double> volumes(8760);
    taps.add({600, 1200, 3 * step}, volumes);           // 00:10 to 00:30
    taps.add({1200, 3000, 2 * step}, volumes);          // 00:20 to 01:10
    taps.add({86400 - 100, 300, step}, volumes);        // over midnight of the first day
    taps.add({8760 * 3600.0 - 50, 80, step}, volumes);  // over the end of the year
    taps.add_at_start(5, 900, 4 * step);
    sim::HourlyInputs in;
    taps.fill(in);
    REQUIRE(in.first_draw.size() == 8761);
    auto const hour = [&](std::size_t h) {
        return std::vector<sim::DrawSegment>(in.draws.begin() + in.first_draw[h],
                                             in.draws.begin() + in.first_draw[h + 1]);
    };
    using Segments = std::vector<sim::DrawSegment>;
    CHECK(hour(0) == Segments{{30, step}, {600, 0}, {1200, 3 * step}, {1800, 5 * step}, {3600, 2 * step}});
    CHECK(hour(1) == Segments{{600, 2 * step}});
    CHECK(hour(5) == Segments{{900, 4 * step}});
    CHECK(hour(23) == Segments{{3500, 0}, {3600, step}});
    CHECK(hour(24) == Segments{{200, step}});
    CHECK(hour(8759) == Segments{{3550, 0}, {3600, step}});
    volumes[5] += 900 * 4 * step;  // the taps that were added by their hour
    for (std::size_t h = 0; h < 8760; ++h) CHECK(volumes[h] == Near{drawn_in_m3(in, h), 1e-12, 0});
}

// 0.1 L/s for 10 minutes (60 L), nothing for 10 minutes, then 0.2 L/s.
TEST_CASE("how long the taps take for a volume, alone and beside a float valve") {
    std::vector<sim::DrawSegment> const draws{{600, 1e-4}, {1200, 0}, {3600, 2e-4}};
    constexpr double hour_s = 3600, never = std::numeric_limits<double>::infinity();
    sim::Taps taps;
    taps.begin_hour(draws);
    CHECK(taps.seconds_to_draw(0, 0.03, 0, hour_s) == Near{300, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.06, 0, hour_s) == Near{600, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.10, 0, hour_s) == Near{1400, 1e-12, 0});  // 40 L at 0.2 L/s after 20 min
    CHECK(taps.seconds_to_draw(300, 0.03, 0, hour_s) == Near{300, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.54, 0, hour_s) == Near{3600, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.55, 0, hour_s) == never);
    CHECK(taps.seconds_to_draw(0, 0.10, 0, 1000) == never);
    // A valve of 0.1 L/s: 120 L in 10 minutes, 60 L in the next 10, then 0.3 L/s.
    CHECK(taps.seconds_to_draw(0, 0.15, 1e-4, hour_s) == Near{900, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.21, 1e-4, hour_s) == Near{1300, 1e-12, 0});
    // After the last draw of the hour only the valve is left.
    taps.begin_hour(std::span(draws).first(1));
    CHECK(taps.seconds_to_draw(0, 0.17, 1e-4, hour_s) == Near{1100, 1e-12, 0});
    CHECK(taps.seconds_to_draw(0, 0.17, 0, hour_s) == never);
}

TEST_CASE("the year keeps its volume, every hour's demand is what its taps draw, the leak goes on") {
    sim::HourlyInputs in;
    sim::add_demand(household(0.66, 2e-4), mild(), in);
    CHECK(std::accumulate(in.demand_m3.begin(), in.demand_m3.end(), 0.0) ==
          Near{365 * (0.66 + 0.0864), 1e-6, 0});
    for (std::size_t h = 0; h < 8760; ++h) {
        CHECK(drawn_in_m3(in, h) == Near{in.demand_m3[h], 1e-12, 0});
        CHECK(in.uses[0].wanted_m3[h] + in.uses[1].wanted_m3[h] == Near{in.demand_m3[h], 1e-15, 0});
        CHECK(in.uses[1].wanted_m3[h] == Near{3.6e-3, 1e-12, 0});
    }
    // The same seed gives the same uses, whatever else the design has.
    auto other = household(0.66, 2e-4);
    other.battery.capacity_kwh = 99;
    sim::HourlyInputs again, another;
    sim::add_demand(other, mild(), again);
    CHECK(again == in);
    other.demand.seed = 2;
    sim::add_demand(other, mild(), another);
    CHECK(!(another == in));
    // A single demand draws the same events as the first of several uses.
    scenarios::Scenario single;
    single.demand.daily_m3 = 0.66;
    single.demand.varying = household(0.66, 2e-4).demand.uses[0];
    sim::HourlyInputs one;
    sim::add_demand(single, mild(), one);
    CHECK(one.uses.empty());
    for (std::size_t h = 0; h < 8760; ++h) CHECK(one.demand_m3[h] == in.uses[0].wanted_m3[h]);
}

// An outage from 07:00 to 12:00 of the third day: what could not be drawn then is lost and not drawn later.
TEST_CASE("water that was missed is not drawn later") {
    auto s = test::plain_system();
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.backup_limit_w = 1e5;
    s.battery.min_soc = s.start_soc;
    s.rules.transfer_below = s.start_soc;
    sim::HourlyInputs in = test::steady_inputs(0, 0, 0, 0);
    in.demand_m3 = {};
    sim::add_demand(household(0.66, 2e-4), mild(), in);
    auto const whole = sim::simulate(s, in, {0, 240});
    s.outages = {{55, 60}};
    auto const cut = sim::simulate(s, in, {0, 240});
    CHECK(whole.summary.water_short_m3 < 1e-9);
    // What the taps wanted in these five hours less what was in the tank.
    double wanted_m3 = 0;
    for (std::size_t h = 55; h < 60; ++h) wanted_m3 += in.demand_m3[h];
    CHECK(cut.summary.water_short_m3 > 0.02);
    CHECK(cut.summary.water_short_m3 == Near{wanted_m3 - cut.hours[54].tank_water_m3, 1e-9, 0});
    for (std::size_t h = 0; h < 240; ++h) {
        auto const& r = cut.hours[h];
        CHECK(r.water_delivered_m3 + r.water_short_m3 == Near{in.demand_m3[h], 1e-9, 0});
        if (h < 55 || h >= 61) CHECK(r.water_short_m3 < 1e-9);
    }
    CHECK(std::abs(cut.summary.water_residual_m3) < 1e-9);
}

TEST_SUITE_END();
