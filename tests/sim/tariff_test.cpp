#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "models/numeric/daily_span.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::CheckScenario, test::Near, test::plain_system, test::steady_inputs;

namespace {

// The grid is the normal source. A battery of 10 kWh without losses, inverter of 0.9: 900 W of load is 1 kWh
// an hour. High price from 16 to 21, down to 50 %; low price from 0 to 6, up to 90 % with a charger of 2 kW.
sim::System on_tariff() {
    auto s = plain_system();
    s.battery.charge_efficiency = s.battery.discharge_efficiency = 1;
    s.start_soc = 0.9;
    s.charger = {2000, 1, 1};
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.charge_to = 0.9;
    s.rules.backup_limit_w = 1e5;
    s.rules.restart_above = 0.2;
    s.rules.tariff = scenarios::Tariff{{16, 21}, {0, 6}, 0.5, 0.1, 0.5};
    return s;
}

sim::RunResult run(sim::System const& s, int days = 2, double sun_w = 0) {
    return sim::simulate(s, steady_inputs(sun_w, 900, 0, 1e-3), {0, 24 * days});
}

std::string refused(std::string const& tariff, std::string const& backup = "charge_to = 0.9\n") {
    CheckScenario s;
    s.set("backup", "[backup]\nkind = \"grid\"\nnormal_source = \"grid\"\n" + backup);
    s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    s.set("tariff", "[tariff]\n" + tariff);
    return s.error();
}

}  // namespace

TEST_SUITE_BEGIN("sim/tariff");

TEST_CASE("the next change of daily hours") {
    CHECK(models::next_change_h({16, 21}, 30) == 40);
    CHECK(models::next_change_h({16, 21}, 40) == 45);
    CHECK(models::next_change_h({16, 21}, 45) == 64);
    CHECK(models::next_change_h({22, 6}, 23.5) == 30);
    CHECK(models::next_change_h({0, 24}, 3) == 24);
    CHECK(std::isinf(models::next_change_h({0, 0}, 3)));
}

// By hand: 4 kWh from 16 to 20, then the grid until 21 at the high price. At midnight the charger takes 4 kWh
// in two hours. A day: 0.9 kWh at the high price, 6 x 0.9 + 4 at the low one, 13 x 0.9 between, of which the
// first day has no charging.
TEST_CASE("the battery works from the high price to its reserve and is charged at the low price") {
    auto const result = run(on_tariff());
    CHECK(result.hours[15].battery_soc == Near{0.9, 1e-9, 0});
    CHECK(result.hours[17].battery_soc == Near{0.7, 1e-9, 0});
    CHECK(result.hours[17].grid_kw == 0);
    CHECK(result.hours[19].battery_soc == Near{0.5, 1e-9, 0});
    CHECK(result.hours[20].grid_kw == Near{0.9, 1e-9, 0});
    for (std::size_t h = 20; h < 24; ++h) CHECK(result.hours[h].battery_soc == Near{0.5, 1e-9, 0});
    CHECK(result.hours[24].grid_kw == Near{2.9, 1e-9, 0});
    CHECK(result.hours[25].battery_soc == Near{0.9, 1e-9, 0});
    CHECK(result.summary.grid_peak_kwh == Near{2 * 0.9, 1e-9, 0});
    CHECK(result.summary.grid_low_kwh == Near{2 * 5.4 + 4, 1e-9, 0});
    CHECK(result.summary.grid_kwh == Near{2 * (0.9 + 5.4 + 11.7) + 4, 1e-9, 0});
    CHECK(result.summary.load_unserved_kwh < 1e-9);
    CHECK(std::abs(result.summary.energy_residual_kwh) < 1e-9);
    // Two prices: without hours of a low one the charger works as soon as the high one ends.
    auto two = on_tariff();
    two.rules.tariff->low = {};
    auto const after = run(two);
    CHECK(after.hours[21].grid_kw == Near{2.9, 1e-9, 0});
    CHECK(after.hours[22].battery_soc == Near{0.9, 1e-9, 0});
    CHECK(after.summary.grid_low_kwh == 0);
}

// 7 kW go off at 16 h, just when the high price begins and the loads come to an inverter of 6 kW, at whatever
// moment taps and pump changed before: they come with the loads of the new hour. An hour longer, and each day
// the inverter trips.
TEST_CASE("loads that go off as the high price begins do not trip the inverter") {
    auto s = on_tariff();
    s.battery_behavior.store.acceptance_per_h = 1;  // computed step by step
    s.inverter.rated_power_w = 6000;
    s.rules.trip_on_overload = true;
    constexpr std::size_t days = 60;
    for (std::size_t const until : {16U, 17U}) {
        auto in = steady_inputs(0, 900, 0, 1e-3);
        for (std::size_t d = 0; d < days; ++d) {
            in.demand_m3[24 * d + 15] = 0.11 + 0.0007 * static_cast<double>(d);
            in.tap_flow_m3_s[24 * d + 15] = 0.31e-3;
            for (std::size_t h = 12; h < until; ++h) in.load_w[24 * d + h] = 7000;
        }
        auto const result = sim::simulate(s, in, {0, 24 * days});
        CHECK(result.findings.overload_transfers == (until == 16 ? 0 : days));
        CHECK((result.findings.inverter_trips > 0) == (until == 17));
    }
}

// The outage at 22 h finds what the evening left, the one at 12 h of the next day a charged battery. In the
// outage that begins at 18 h the battery goes on below the reserve: 0.7 at 18 h, 0.4 at 21 h; back on the
// grid it is charged up to the reserve only, at 2 kW.
TEST_CASE("an outage finds the battery as the tariff left it") {
    auto s = on_tariff();
    s.outages = {{22, 22.5}, {36, 37}, {66, 69}};
    auto const result = run(s, 4);
    REQUIRE(result.outages.size() == 3);
    CHECK(result.outages[0].soc_at_start == Near{0.5, 1e-9, 0});
    CHECK(result.outages[1].soc_at_start == Near{0.9, 1e-9, 0});
    CHECK(result.outages[2].soc_at_start == Near{0.7, 1e-9, 0});
    CHECK(result.hours[68].battery_soc == Near{0.4, 1e-9, 0});
    CHECK(result.hours[69].battery_soc == Near{0.5, 1e-9, 0});
    CHECK(result.hours[69].grid_kw == Near{1.9, 1e-9, 0});
    CHECK(result.hours[71].battery_soc == Near{0.5, 1e-9, 0});
    CHECK(result.summary.load_unserved_kwh < 1e-9);
    // A storm that is announced: the battery is kept full for it.
    s.outages = {{66, 90}};
    s.rules.forewarned_h = 24;
    s.rules.forewarned_charge_to = 1;
    CHECK(run(s, 4).outages[0].soc_at_start == Near{1, 1e-9, 0});
}

// 500 W of sun: it charges the battery by day and carries half of the loads in the evening.
TEST_CASE("the sun counts, and steps of other lengths change nothing") {
    auto s = on_tariff();
    auto const hourly = run(s, 6, 500);
    CHECK(hourly.summary.pv_used_kwh > 10);
    sim::Clock clock{0, 24 * 6};
    clock.longest_step_s = 300;
    auto const fine = sim::simulate(s, steady_inputs(500, 900, 0, 1e-3), clock);
    CHECK(fine.summary.grid_kwh == Near{hourly.summary.grid_kwh, 1e-9, 1e-9});
    CHECK(fine.summary.grid_peak_kwh == Near{hourly.summary.grid_peak_kwh, 1e-9, 1e-9});
    CHECK(fine.hours.back().battery_soc == Near{hourly.hours.back().battery_soc, 1e-9, 0});
}

// 10 kWh at 0.50, 40 at 0.10, 50 at 0.20: 5 + 4 + 10.
TEST_CASE("the grid costs what the tariff says") {
    scenarios::Prices prices;
    prices.grid_per_kwh = 0.2, prices.grid_peak_per_kwh = 0.5, prices.grid_low_per_kwh = 0.1;
    prices.years = 1, prices.discount_rate = 0;
    sim::Summary year;
    year.grid_kwh = 100, year.grid_peak_kwh = 10, year.grid_low_kwh = 40;
    CHECK(sim::cost_of(prices, year, {})->energy == Near{19, 1e-9, 0});
}

TEST_CASE("keys: read with their defaults, refused with what is accepted") {
    std::string const peak = "peak_from = 16\npeak_until = 21\npeak_price = 0.5\n",
                      low = "low_from = 0\nlow_until = 6\nlow_price = 0.1\n";
    CHECK(refused(peak) == "");
    CHECK(refused(peak + low + "reserve = 0.5") == "");
    struct Case {
        std::string tariff, reason, backup = "charge_to = 0.9\n";
    };
    for (auto const& c : std::vector<Case>{
             {"peak_from = 16\npeak_until = 16\npeak_price = 0.5\n", "is the same as peak_from"},
             {peak + "low_price = 0.1", "needs low_from"},
             {peak + "low_from = 20\nlow_until = 6\nlow_price = 0.1",
              "the hour from 20:00 has the high and the low price"},
             {peak + "reserve = 0.9", "below backup.charge_to"},
             {peak + "reserve = 0.3", "must not be below backup.transfer_below",
              "charge_to = 0.9\ntransfer_below = 0.4\n"}}) {
        auto const error = refused(c.tariff, c.backup);
        CAPTURE(error);
        CHECK(error.find("tariff.") != std::string::npos);
        CHECK(error.find(c.reason) != std::string::npos);
    }
    CheckScenario s;
    s.set("backup", "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\ncharge_to = 0.9\n");
    s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    s.set("tariff", "[tariff]\n" + peak + "reserve = 0.5");
    CHECK_THROWS_AS(s.read(), scenarios::ScenarioError);
}

// From 50 to 10 % of 10 kWh at 0.97 are 3.88 kWh. 100 W of lights, the inverter's idle draw of 40 W and the
// pump take less than 3.88 kW and more than 0.1 kW: between 1 and 39 h.
TEST_CASE("check: how long the reserve lasts") {
    for (int const hours : {1, 100}) {
        CheckScenario s;
        s.set("backup", "[backup]\nkind = \"grid\"\nnormal_source = \"grid\"\ncharge_to = 0.9\n");
        s.set("charger", "[charger]\npower_limit = \"2 kW\"");
        s.set("load", "[[load]]\nname = \"lights\"\npower = \"100 W\"\n");
        s.set("tariff", "[tariff]\npeak_from = 16\npeak_until = 21\npeak_price = 0.5\nreserve = 0.5\n");
        s.set("outage",
              "[[outage]]\nstart = \"01-05 00:00\"\nlength = \"" + std::to_string(hours) + " h\"\n");
        auto const design = s.run();
        auto const& check = test::check_named(design, "tariff-reserve");
        CHECK(check.verdict == (hours == 1 ? models::Verdict::pass : models::Verdict::marginal));
        CHECK(check.value > 1);
        CHECK(check.value < 39);
    }
}

TEST_SUITE_END();
