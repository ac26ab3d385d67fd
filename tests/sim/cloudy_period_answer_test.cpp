#include "sim/autonomy/cloudy_period_answer.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

#include "models/array/pv_array.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/site_period.hpp"
#include "sim/inputs/make_system.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

// The same sun all year, none in the period; 90 W of load.
CloudyPeriodInputs dark_period(int days, double demand_m3, double sun_w) {
    CloudyPeriodInputs in;
    in.own = test::steady_inputs(sun_w, 90, demand_m3, 2e-4);
    in.cloudy.push_back(test::steady_inputs(0, 90, demand_m3, 2e-4));
    in.hours = 24 * days;
    in.text = "no sun";
    return in;
}

// 90 W, and 1.2 kW as long as 0.02 m3 an hour take at 0.6 L/s, all through the inverter (plain_system.hpp):
// 112 W.
constexpr double drawn_w = (90 + 1200 * (0.02 / 3600 / 0.6e-3)) / 0.9;

System with_battery(double carries_h) {
    auto s = test::plain_system();
    s.battery.capacity_kwh = carries_h * drawn_w / 900;
    s.start_soc = 1;
    s.rules.restart_above = 0.2;
    return s;
}

CloudyPeriodAnswer answer(System const& system, CloudyPeriodInputs const& in, bool no_backup = false) {
    scenarios::Scenario scenario;
    scenario.array = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml").array;
    return answer_cloudy_period(scenario, system, no_backup, in, {10, 100, 200}, {});
}

}  // namespace

TEST_SUITE_BEGIN("sim/cloudy_period_answer");

// A battery for 30 h and a period of 72 h: the tank holds up to 4 h more, and 2.4 times the battery less
// those 4 h would have been enough. 600 W of sun fill its 3.7 kWh again in half a day.
TEST_CASE("a battery for 30 hours in 72 hours without sun: short for the rest, and by how much too small") {
    auto const system = with_battery(30);
    auto const a = answer(system, dark_period(3, 0.02, 600));
    CHECK(a.cloudy_period_text == "no sun");
    CHECK((!a.has_cistern && !a.has_trough && !a.has_well_level && !a.has_battery_temperature));
    for (auto const& start : a.outcome.starts) {
        CHECK(start.first_shortage_h >= 29);
        CHECK(start.first_shortage_h <= 35);
        CHECK(start.shortage_hours == 72 - start.first_shortage_h);
    }
    CHECK(a.median_until_shortage_h == a.outcome.starts[1].first_shortage_h);  // all days are alike
    CHECK(a.failed_first == std::vector<std::pair<LimitReason, int>>{{LimitReason::battery_empty, 3}});
    CHECK(a.never_full == 0);
    CHECK(a.battery_kwh == system.battery.capacity_kwh);
    CHECK(!a.sized_without_backup);
    REQUIRE(a.battery_factor);
    CHECK(*a.battery_factor >= (72 - 5) / 30.0);
    CHECK(*a.battery_factor <= 72 / 30.0 * 1.05);
    CHECK(!a.array_factor);  // no array helps where there is no light
    CHECK(failure_of(a, 1) == PeriodFailure::none);
    CHECK(failure_of(a, 2) == PeriodFailure::shortage);
}

// 100 W of sun are less than the 112 W drawn: whatever the period takes is never put back.
TEST_CASE("a battery that is never full again fails the period though no water is short in it") {
    auto system = with_battery(400);
    auto in = dark_period(1, 0.02, 100);
    auto const a =
        answer_cloudy_period(scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"),
                             system, false, in, {0}, {.soc = 1});
    CHECK(std::isinf(a.outcome.starts[0].first_shortage_h));
    CHECK(a.never_full == 1);
    CHECK(failure_of(a, 1) == PeriodFailure::never_full_again);
}

// A grid carries any period, so it says nothing about the sizes: they are asked without it.
TEST_CASE("with a backup that carries the period, the sizes are those without it") {
    auto system = with_battery(30);
    system.rules.backup = Backup::grid;
    system.rules.transfer_below = 0.3;
    system.rules.return_above = 0.5;
    system.rules.charge_to = 0.5;
    system.rules.backup_limit_w = 1e5;
    auto const in = dark_period(3, 0.02, 600);
    auto const with = answer(system, in);
    CHECK(with.backup == Backup::grid);
    CHECK(std::isinf(with.outcome.starts[with.outcome.worst].first_shortage_h));
    CHECK(with.sized_without_backup);
    auto const without = answer(system, in, true);
    CHECK(without.backup == Backup::none);
    CHECK(!without.sized_without_backup);
    CHECK(std::isfinite(without.outcome.starts[0].first_shortage_h));
    REQUIRE((with.battery_factor && without.battery_factor));
    CHECK(*with.battery_factor == *without.battery_factor);
}

// Three start dates: water short after 10 h, 50 h and never; power lost after 10 h, 40 h and 45 h.
TEST_CASE("the site's period has the worst and the median start date, and the reason of the worst") {
    CloudyPeriodOutcome alone;
    auto const start = [](int day, double short_h, double power_h, LimitReason reason) {
        CloudyPeriodStart s;
        s.first_day = day, s.first_shortage_h = short_h, s.power_lost_h = power_h, s.reason = reason;
        return s;
    };
    alone.starts = {start(3, 50, 45, LimitReason::battery_empty), start(40, 10, 10, LimitReason::well_dry),
                    start(90, INFINITY, 40, LimitReason::none)};
    alone.survival = {2 / 3.0, 2 / 3.0, 1 / 3.0};
    SiteCloudyPeriod site;
    site.years = 50;
    auto const period = site_period_of(site, alone, {3, 40, 90});
    CHECK(period.site.years == 50);
    CHECK(period.held == Near{1 / 3.0, 1e-12, 0});
    CHECK(period.water.worst_day == 40);
    CHECK(period.water.worst_d == Near{10 / 24.0, 1e-12, 0});
    CHECK(period.water.median_d == Near{50 / 24.0, 1e-12, 0});
    CHECK(period.power.median_d == Near{40 / 24.0, 1e-12, 0});
    CHECK(period.reason == LimitReason::well_dry);
}

TEST_SUITE_END();
