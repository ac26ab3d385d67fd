#include "sim/autonomy/autonomy_study.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "models/battery/battery_aging.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/text/quantity.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/check/design_check.hpp"
#include "sim/check/hand_calculation.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near;

namespace {

constexpr double gallon_m3 = 3.785411784e-3;

scenarios::Design demo(std::string const& name, std::string const& option = "") {
    return scenarios::named_design(
        scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/" + name + ".toml"), option);
}

sim::AutonomyOptions quick() {
    sim::AutonomyOptions o;
    o.every_days = 45;
    o.start_hours = 2;
    o.site.clearness.assign(sim::site_period_d, 0.12);
    return o;
}

}  // namespace

TEST_SUITE_BEGIN("sim/autonomy_study");

TEST_CASE("the default leak is one gallon a minute as the text is read, to the last digit") {
    CHECK(sim::AutonomyOptions{}.leak_m3_s == scenarios::read_quantity("1 gpm", "m3/s"));
}

TEST_CASE("worst and middle of many starts; never is the last") {
    auto const l =
        sim::worst_and_median({48, 24, sim::CloudyPeriodStart::never, 72, 24}, {0, 10, 20, 30, 40});
    CHECK(l.worst_d == 1);
    CHECK(l.worst_day == 10);
    CHECK(l.median_d == 2);
    auto const none =
        sim::worst_and_median({sim::CloudyPeriodStart::never, sim::CloudyPeriodStart::never}, {7, 8});
    CHECK(std::isinf(none.worst_d));
    CHECK(std::isinf(none.median_d));
}

// Between the least that can be used and full: a battery of 20 % minimum SOC, a cistern of 10 m3 that fills
// to 9 m3 with 1 m3 dead and 2 m3 of reserve, a trough of 2 m3.
TEST_CASE("half of what is stored lies between minimum and full in battery, cistern and trough") {
    auto s = test::plain_system();
    s.battery.min_soc = 0.2;
    s.cistern.emplace();
    s.cistern->cistern.capacity_m3 = 10;
    s.cistern->cistern.fill_stop_m3 = 9;
    s.cistern->cistern.dead_m3 = 1;
    s.cistern->cistern.reserve_m3 = 2;
    s.trough.emplace();
    s.trough->full_m3 = 2;
    struct Row {
        double share, soc, cistern_m3, trough_m3;
    };
    for (Row const& r : {Row{0, 0.2, 3, 0}, Row{0.5, 0.6, 6, 1}, Row{1, 1, 9, 2}}) {
        auto const levels = sim::levels_at_share(s, r.share);
        CHECK(levels.soc == Near{r.soc, 1e-12, 0});
        CHECK(levels.cistern_m3 == Near{r.cistern_m3, 1e-12, 0});
        CHECK(levels.trough_m3 == Near{r.trough_m3, 1e-12, 0});
    }
}

TEST_CASE("days by hand are check's, and nothing stored or nothing used is said in words") {
    auto const scenario = demo("juniper-bend-household").scenario;
    auto const day = sim::day_by_hand(scenario);
    double by_hand = 0;
    for (auto const& c : sim::design_check(scenario).checks)
        if (c.name == "autonomy") by_hand = c.value;
    CHECK(sim::days_by_hand(day, day.usable_kwh) == Near{by_hand, 0, 1e-12});
    // 10.2 kWh, nine tenths of it, at 0.97.
    CHECK(day.usable_kwh == Near{10.2 * 0.9 * 0.97, 1e-9, 0});
    sim::DayByHand idle;
    CHECK(std::isinf(sim::days_by_hand(idle, 5)));
    CHECK(sim::days_by_hand(idle, 0) == 0);
}

TEST_CASE("three kinds of no-sun days keep their order, and a lower start never lasts longer") {
    for (std::string const name : {"juniper-bend-household", "saltbush-livestock", "alder-flat-outages"}) {
        CAPTURE(name);
        auto const scenario = demo(name).scenario;
        auto const year = scenarios::read_scenario_weather(scenario);
        auto const f = sim::study_autonomy(scenario, year, quick());
        CHECK(f.usable_kwh > 0);
        CHECK(f.by_hand_d > 0);
        CHECK(f.autonomy.power.worst_d <= f.autonomy.power.median_d);
        // Cloudy days from all full last longer; they begin at another hour of the day's use.
        REQUIRE(f.levels.size() == 5);
        CHECK(f.autonomy.water.worst_d <= f.levels[0].water.worst_d + 0.25);
        CHECK(f.autonomy.water.worst_d >= std::floor(24 * f.autonomy.power.worst_d) / 24 - 1e-9);
        CHECK(f.levels[0].level == 1);
        CHECK(!f.levels[4].usable_share.has_value());
        CHECK(f.levels[4].water.worst_d <= f.levels[0].water.worst_d);
        for (std::size_t k = 1; k < 4; ++k) {
            CHECK(f.levels[k].water.worst_d <= f.levels[k - 1].water.worst_d);
            CHECK(f.levels[k].water.median_d <= f.levels[k - 1].water.median_d);
        }
        CHECK(f.leak_power.worst_d < f.no_leak_power.worst_d);
        CHECK(f.leak_starts_per_day > f.starts_per_day);
        bool const grid = name == "alder-flat-outages";
        CHECK(f.outages.empty() == !grid);
        for (std::size_t i = 0; i < f.outages.size(); ++i) {
            auto const& o = f.outages[i];
            CHECK(o.tried > 0);
            CHECK(o.kept <= o.tried);
            CHECK((o.worst_gap_h > 0) == (o.kept < o.tried));
            if (i > 0) CHECK(f.outages[i - 1].kept / f.outages[i - 1].tried <= o.kept / o.tried);
        }
        // Without sun the hour by hour figure is near the one by hand: both spend the same day.
        if (name == "juniper-bend-household") CHECK(f.autonomy.power.median_d == Near{f.by_hand_d, 0, 0.1});
    }
}

TEST_CASE("a leak comes on top of the demand of every hour and changes nothing else") {
    for (std::string const name : {"juniper-bend-household", "alder-flat-cistern"}) {
        CAPTURE(name);
        auto const scenario = demo(name).scenario;
        auto const year = scenarios::read_scenario_weather(scenario);
        double const leak_m3_s = gallon_m3 / 60;
        auto const without = sim::make_inputs(scenario, year),
                   with = sim::make_inputs(sim::with_leak(scenario, leak_m3_s), year);
        double worst = 0;
        for (std::size_t h = 0; h < 8760; ++h)
            worst = std::max(worst, std::abs(with->demand_m3[h] - without->demand_m3[h] - 3600 * leak_m3_s));
        CHECK(worst < 1e-12);
        CHECK(with->array_power_w == without->array_power_w);
    }
}

TEST_CASE(
    "an aged design: the array's straight line, the battery's share of its life, at its end without one") {
    auto const scenario = demo("tamarack-gulch-lithium").scenario;
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const now = sim::aged(scenario, year, 0), later = sim::aged(scenario, year, 10);
    CHECK(now.battery_left == Near{1, 1e-12, 0});
    CHECK(now.array_left == Near{1, 1e-12, 0});
    // 0.5 % a year of the first rating.
    CHECK(later.array_left == Near{0.95, 1e-9, 0});
    CHECK(later.scenario.battery.capacity_kwh ==
          Near{later.battery_left * scenario.battery.capacity_kwh, 1e-12, 0});
    CHECK(later.battery_left < 1);
    CHECK(later.battery_left >= 0.8);
    CHECK(!later.life_assumed);
    auto const unknown = demo("saltbush-livestock").scenario;
    auto const old = sim::aged(unknown, scenarios::read_scenario_weather(unknown), 3);
    CHECK(old.life_assumed);
    CHECK(old.battery_left == Near{models::remaining_capacity(1), 1e-12, 0});
    CHECK(old.battery_left == Near{0.8, 1e-12, 0});
}

// A cistern holds days of water and needs power only for its booster; a battery three times as large does not
// come up to it in days of water stored.
TEST_CASE("water stored against energy stored") {
    auto const run = [](std::string const& option) {
        auto const scenario = demo("alder-flat-store", option).scenario;
        return sim::study_autonomy(scenario, scenarios::read_scenario_weather(scenario), quick());
    };
    auto const cistern = run(""), large = run("large battery"), small = run("small battery");
    CHECK(large.battery_kwh == Near{3 * cistern.battery_kwh, 1e-9, 0});
    CHECK(small.battery_kwh == cistern.battery_kwh);
    // 1450 gal less 560 in the cistern; the pressure tank beside it.
    CHECK(cistern.water_m3 - small.water_m3 == Near{890 * gallon_m3, 1e-9, 0});
    CHECK(cistern.water_d > 5);
    CHECK(large.water_d < 1);
    CHECK(large.autonomy.water.worst_d > 2 * small.autonomy.water.worst_d);
    // From the median start date. At the winter solstice the typical year has the cistern near its minimum:
    // it fills by day only, and the worst start date (2.3 days) is then worse than without it (2.9 days).
    CHECK(cistern.autonomy.water.median_d > small.autonomy.water.median_d);
}

TEST_CASE("a bypass is part of the answer: who switches back, and after how long") {
    auto scenario = demo("alder-flat-outages").scenario;
    auto const options = quick();
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const off = sim::study_autonomy(scenario, year, options);
    CHECK(!off.hand_response_h);
    CHECK(off.listed_bypass_h == 0);
    scenario.rules.charge_to = 0;
    scenario.rules.by_hand = true;
    scenario.rules.hand_response_h = 2;
    scenario.rules.bypass = {{100, 108}, {200, 204}};
    auto const on = sim::study_autonomy(scenario, year, options);
    CHECK(on.hand_response_h == 2);
    CHECK(on.listed_bypass_h == 12);
    // Days without sun are without the grid, so without the bypass.
    CHECK(on.autonomy.water.worst_d == off.autonomy.water.worst_d);
    scenario.rules.backup = scenarios::Backup::none;
    CHECK(scenarios::listed_bypass_h(scenario.rules) == 0);
    CHECK(!scenarios::bypassed_by_hand(scenario.rules));
}

TEST_SUITE_END();
