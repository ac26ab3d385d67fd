#include "sim/supply/generator_control.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::EventKind, sim::LimitReason;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

std::vector<double> times_of(sim::RunResult const& result, EventKind kind) {
    std::vector<double> times;
    for (auto const& e : result.events)
        if (e.kind == kind) times.push_back(e.time_h);
    return times;
}

// A 10 kWh battery without losses and an inverter of 0.9: 900 W of load are 1 kWh an hour. Called at 0.3,
// released at 0.8, charger of 3 kW DC. A generator of 6 kW that burns 0.6 L/h and 0.4 L/kWh; it has no
// delays.
sim::System with_generator() {
    auto s = plain_system();
    s.battery = {10, 1, 1, 0, 1e3, 1e3, 0};
    s.start_soc = 0.5;
    s.rules.backup = sim::Backup::generator;
    s.rules.transfer_below = 0.3;
    s.rules.return_above = s.rules.charge_to = 0.8;
    s.generator =
        models::GeneratorParameters{.rated_power_w = 6000, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
    return s;
}

// Quiet hours from 22:00 to 06:00, called at 0.5 from 19:00 on.
sim::System with_top_up() {
    auto s = with_generator();
    auto& o = s.generator_operation;
    o.run.quiet_from_h = 22;
    o.run.quiet_to_h = 6;
    o.run.top_up_within_h = 3;
    o.top_up_below = 0.5;
    return s;
}

}  // namespace

// The generator's rules through the year loop, by hand: two hours on the battery from 0.5 to 0.3, then 5 kWh
// at 3 kW, 5/3 h, on the generator.
TEST_SUITE_BEGIN("sim/generator_control");

// Crank 10 s, warm up 6 min: the loads come at 2 h 6 min 10 s, at level 0.3 - 0.0103; charged 5/3 h and that;
// cooling for 3 min burns 0.6 L/h.
TEST_CASE("warm-up delays the loads, cool-down costs fuel") {
    auto s = with_generator();
    s.generator_operation.run.warm_up_h = 0.1;
    s.generator_operation.run.cool_down_h = 0.05;
    s.generator_operation.run.crank_s = 10;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 6});
    double const ready_h = 2 + 10. / 3600 + 0.1, charge_h = (5 + 10. / 3600 + 0.1) / 3;
    CHECK(times_of(r, EventKind::generator_start) == std::vector{2.0});
    REQUIRE(times_of(r, EventKind::to_backup).size() == 1);
    CHECK(times_of(r, EventKind::to_backup)[0] == Near{ready_h, 1e-9, 0});
    CHECK(times_of(r, EventKind::to_inverter)[0] == Near{ready_h + charge_h, 1e-9, 0});
    CHECK(r.summary.generator_run_h == Near{0.1 + charge_h + 0.05, 1e-9, 0});
    CHECK(r.summary.generator_fuel_l == Near{0.6 * (0.15 + charge_h) + 0.4 * 3.9 * charge_h, 1e-9, 0});
    CHECK(r.summary.soc_min == Near{0.3 - 0.1 * (ready_h - 2), 1e-9, 0});
}

// Started by hand, a generator with 0.02 L: warming up burns 0.6 L/h, so it is dry after 2 min of the 6 and
// never carries the loads; while it cranks it burns nothing.
TEST_CASE("a tank that is dry before the warm-up is over: the loads never come to the set") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    s.generator->fuel_tank_l = 0.02;
    s.generator_operation.run.warm_up_h = 0.1;
    s.generator_operation.run.crank_s = 10;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 4});
    auto const dry = times_of(r, EventKind::generator_failed);
    REQUIRE(!dry.empty());
    CHECK(dry[0] == Near{2 + 10. / 3600 + 2. / 60, 1e-9, 0});
    CHECK(r.summary.generator_run_h == Near{2. / 60, 1e-9, 0});
    CHECK(r.summary.generator_fuel_l == Near{0.02, 1e-9, 0});
    CHECK(times_of(r, EventKind::to_backup).empty());
}

// By hand calculation: nothing is drawn before 21:00, then 1 kWh in 59 min; called at 21:59, it would be warm
// at 22:05. The quiet hours that begin at 22:00 stop it: it has run a minute, except for the 10 s of
// cranking, and cools for 3 min.
TEST_CASE("quiet hours that begin in the warm-up end it") {
    auto s = with_generator();
    s.start_soc = 0.4;
    auto& run = s.generator_operation.run;
    run.warm_up_h = 0.1;
    run.cool_down_h = 0.05;
    run.crank_s = 10;
    run.quiet_from_h = 22;
    run.quiet_to_h = 6;
    auto inputs = steady_inputs(0, 0, 0, 1e-3);
    inputs.load_w[21] = 900 * 60 / 59.;
    auto const r = sim::simulate(s, inputs, {0, 24});
    REQUIRE(times_of(r, EventKind::generator_start).size() == 1);
    CHECK(times_of(r, EventKind::generator_start)[0] == Near{21 + 59. / 60, 1e-9, 0});
    CHECK(times_of(r, EventKind::generator_stop)[0] == Near{22, 1e-9, 0});
    CHECK(r.summary.generator_run_h == Near{50. / 3600 + 0.05, 1e-9, 0});
    CHECK(times_of(r, EventKind::to_backup).empty());
}

// Called at 2 h; with 2 s of least step everything is looked at so often that nothing can be passed over.
TEST_CASE("hours, fuel and level do not depend on how often crank, warm-up and cool-down are looked at") {
    auto s = with_generator();
    auto& run = s.generator_operation.run;
    run.warm_up_h = 0.1;
    run.cool_down_h = 0.6;  // over the hour's end
    run.crank_s = 10;
    auto const inputs = steady_inputs(0, 900, 0, 1e-3);
    auto const whole = sim::simulate(s, inputs, {0, 30}), cut = sim::simulate(s, inputs, {0, 30, 2});
    CHECK(whole.summary.generator_starts == cut.summary.generator_starts);
    CHECK(whole.summary.generator_run_h == Near{cut.summary.generator_run_h, 1e-9, 0});
    CHECK(whole.summary.generator_fuel_l == Near{cut.summary.generator_fuel_l, 1e-9, 0});
    for (std::size_t h = 0; h < whole.hours.size(); ++h) {
        CAPTURE(h);
        CHECK(whole.hours[h].generator_run_h == Near{cut.hours[h].generator_run_h, 1e-9, 0});
        CHECK(whole.hours[h].battery_soc == Near{cut.hours[h].battery_soc, 1e-9, 0});
    }
}

// A minimum run of 3 h: full at 2 + 5/3 h; the loads stay on the generator until 5 h, at 900 W, with the SOC
// held.
TEST_CASE("the least run keeps the loads on the set after the battery is back") {
    auto s = with_generator();
    s.generator_operation.run.min_run_h = 3;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 6});
    CHECK(times_of(r, EventKind::to_inverter)[0] == Near{5, 1e-9, 0});
    CHECK(r.hours[4].battery_soc == Near{0.8, 1e-9, 0});
    CHECK(r.summary.generator_kwh == Near{3 * 0.9 + 5, 1e-9, 0});
}

// A minimum rest of 12 h after the stop at 2 + 5/3 h: called again at 8 + 2/3 h, started at 15 + 2/3 h; the
// minimum SOC of 0.1 is reached at 10 + 2/3 h.
TEST_CASE("the least rest delays the next start, and the battery goes on to its floor") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    s.generator_operation.run.min_rest_h = 12;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 20});
    auto const starts = times_of(r, EventKind::generator_start);
    REQUIRE(starts.size() == 2);
    CHECK(starts[1] == Near{2 + 5. / 3 + 12, 1e-9, 0});
    CHECK(times_of(r, EventKind::inverter_off)[0] == Near{2 + 5. / 3 + 7, 1e-9, 0});
    CHECK(r.hours[12].limit_reason == static_cast<double>(LimitReason::battery_empty));
}

// Started by hand, someone at home from 17:00 to 22:00 who takes half an hour: called at 02:00, answered at
// 17:30; with the minimum SOC at 0.1 no power from 04:00 on. Called at 18:00, answered at 18:30.
TEST_CASE("started by hand: the call waits until somebody is home") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    auto& run = s.generator_operation.run;
    run.started_by_hand = true;
    run.hand_response_h = 0.5;
    run.attended_from_h = 17;
    run.attended_to_h = 22;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 24});
    CHECK(times_of(r, EventKind::generator_start)[0] == Near{17.5, 1e-9, 0});
    CHECK(times_of(r, EventKind::inverter_off)[0] == Near{4, 1e-9, 0});
    CHECK(r.summary.load_unserved_kwh == Near{13.5 * 0.9, 1e-9, 0});
    auto const evening = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {16, 6});
    CHECK(times_of(evening, EventKind::generator_start)[0] == Near{18.5, 1e-9, 0});
}

// At 0.75 at 18:00: 0.65 at 19:00, called at 20:30, 0.8 an hour later. At 0.6 at 17:00: 0.4 at
// 19:00, called then, 0.8 after 4/3 h.
TEST_CASE("before quiet hours the set is called at the higher level, and back at the same one") {
    auto s = with_top_up();
    auto const in = steady_inputs(0, 900, 0, 1e-3);
    s.start_soc = 0.75;
    auto const late = sim::simulate(s, in, {18, 6});
    CHECK(times_of(late, EventKind::generator_start) == std::vector{20.5});
    REQUIRE(times_of(late, EventKind::to_inverter).size() == 1);
    CHECK(times_of(late, EventKind::to_inverter)[0] == Near{21.5, 1e-9, 0});
    CHECK(late.hours[5].battery_soc == Near{0.55, 1e-9, 0});
    s.start_soc = 0.6;
    auto const early = sim::simulate(s, in, {17, 6});
    CHECK(times_of(early, EventKind::generator_start) == std::vector{19.0});
    REQUIRE(times_of(early, EventKind::to_inverter).size() == 1);
    CHECK(times_of(early, EventKind::to_inverter)[0] == Near{19 + 4. / 3, 1e-9, 0});
    s.start_soc = 0.65;  // 0.4 at 08:30, when it is not called
    CHECK(sim::simulate(s, in, {6, 3}).summary.generator_starts == 0);
}

// A charger of 0.3 kW: 0.4 at 19:00, 0.49 at 22:00, when the generator must stop. Nothing draws in the night.
// A call for the night does not continue in the morning; the call at 0.3 at 18:00 does.
TEST_CASE("a call before quiet hours ends with them, another stands") {
    auto s = with_top_up();
    s.charger.dc_power_limit_w = 300;
    auto in = steady_inputs(0, 900, 0, 1e-3);
    for (std::size_t h = 22; h < 31; ++h) in.load_w[h] = 0;
    s.start_soc = 0.6;
    auto const for_the_night = sim::simulate(s, in, {17, 14});
    CHECK(times_of(for_the_night, EventKind::generator_start) == std::vector{19.0});
    CHECK(times_of(for_the_night, EventKind::generator_stop) == std::vector{22.0});
    CHECK(for_the_night.hours.back().battery_soc == Near{0.49, 1e-9, 0});
    s.start_soc = 0.4;
    auto const low = sim::simulate(s, in, {17, 14});
    CHECK(times_of(low, EventKind::generator_start) == std::vector{18.0, 30.0});
    CHECK(low.hours[12].battery_soc == Near{0.42, 1e-9, 0});
    // Called at 19:00 for the night, but nobody was there before 20:30; since 0.3 at 20:00 it is an ordinary
    // call.
    s.start_soc = 0.6;
    s.charger.dc_power_limit_w = 1000;
    s.generator_operation.run.started_by_hand = true;
    s.generator_operation.run.hand_response_h = 1.5;
    auto const by_hand = sim::simulate(s, in, {17, 14});
    CHECK(times_of(by_hand, EventKind::generator_start) == std::vector{20.5, 30.0});
    CHECK(by_hand.hours[12].battery_soc == Near{0.4, 1e-9, 0});
}

// One hour a day: 3 kWh at 02:00, 0.3 -> 0.6, three hours of battery, 0.3 at 06:00 and nothing until
// midnight: at 0.1 two hours later.
TEST_CASE("the day's limit stops the set, and the next day begins anew") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    s.generator_operation.longest_day_h = 1;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 48});
    auto const starts = times_of(r, EventKind::generator_start);
    REQUIRE(starts.size() == 2);
    CHECK(starts[0] == Near{2, 1e-9, 0});
    CHECK(starts[1] == Near{24, 1e-9, 0});
    CHECK(times_of(r, EventKind::to_inverter)[0] == Near{3, 1e-9, 0});
    CHECK(times_of(r, EventKind::inverter_off)[0] == Near{8, 1e-9, 0});
    CHECK(r.summary.generator_run_h == Near{2, 1e-9, 0});
}

// Charging takes 0.6 + 0.4 x 3.9 = 2.16 L/h: 2.16 L last an hour. Then it takes 24 h until someone brings
// fuel, and the generator is called at once.
TEST_CASE("an empty tank stops the set until somebody refuels") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    s.generator->fuel_tank_l = 2.16;
    s.generator_operation.refuel_after_h = 24;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 36});
    auto const starts = times_of(r, EventKind::generator_start),
               stops = times_of(r, EventKind::generator_stop);
    REQUIRE(starts.size() == 2);
    CHECK(stops[0] == Near{3, 1e-9, 0});
    CHECK(starts[1] == Near{27, 1e-9, 0});
    CHECK(r.findings.fuel_outs == 2);
    CHECK(r.summary.generator_fuel_l == Near{2 * 2.16, 1e-9, 0});
}

// At 1500 m and 35 deg C, 3.5 % per 300 m and 1 % per 5.6 K above 25: 0.825 x 0.98214 = 0.8103 (form of
// public rating sheets, recomputed). 6 kW give 4.86 kW: a pump of 4.9 kW does not run; on a cool day at sea
// level it runs.
TEST_CASE("height and heat derate the set") {
    for (bool const high : {true, false}) {
        CAPTURE(high);
        auto s = with_generator();
        s.start_soc = 0.3;
        auto nodes = s.fill.nodes;
        for (auto& n : nodes) n.power_w = 4900;
        s.fill = models::fill_curve_from_nodes(nodes, s.fill.cut_in_m3, s.fill.cut_out_m3);
        s.generator->derate_per_300_m = 0.035;
        s.generator_operation.elevation_m = high ? 1500 : 0;
        auto in = steady_inputs(0, 0, 0.72, 0.2e-3);
        in.ambient_c.assign(in.load_w.size(), high ? 35 : 15);
        s.charger = {0, 1, 1};
        auto const r = sim::simulate(s, in, {0, 3});
        CHECK((r.summary.pump_starts > 0) == !high);
        if (high) CHECK(r.hours[2].limit_reason == static_cast<double>(LimitReason::backup_limit));
    }
}

// Least load 0.5 of 6 kW: 900 W and 3 kW of charging are above, the least run at 900 W alone is below: of 3
// h, 3 - 5/3.
TEST_CASE("hours under the least load are reported") {
    auto s = with_generator();
    s.generator_operation.run.min_run_h = 3;
    s.generator->least_load_fraction = 0.5;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 6});
    CHECK(r.findings.generator_low_load_h == Near{3 - 5. / 3, 1e-9, 0});
}

// A generator that never starts: three cranks, 50 s; someone comes after 10 h, three more cranks.
TEST_CASE("a start given up waits for the repair and is tried again") {
    auto s = with_generator();
    s.battery.min_soc = 0.1;
    s.rules.restart_above = 0.2;
    s.generator_operation.run.start_failure = 1;
    s.generator_operation.run.crank_tries = 3;
    s.generator_operation.run.crank_s = 10;
    s.generator_operation.repair_after_h = 10;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 24});
    auto const failed = times_of(r, EventKind::generator_failed);
    REQUIRE(failed.size() == 3);
    for (std::size_t i = 0; i < 3; ++i)
        CHECK(failed[i] == Near{2 + 50. / 3600 + static_cast<double>(i) * (10 + 50. / 3600), 1e-9, 0});
    CHECK(r.findings.generator_failures == 3);
    CHECK(r.summary.generator_starts == 0);
    CHECK(r.summary.generator_fuel_l == 0);
    // Half the cranks fail: 1/8 of the starts, seeded, by an interval of three standard deviations.
    s = with_generator();
    s.generator_operation.run.start_failure = 0.5;
    s.generator_operation.run.crank_tries = 3;
    s.generator_operation.repair_after_h = 0.5;
    auto const many = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 8760});
    double const tries = many.summary.generator_starts + many.findings.generator_failures;
    CHECK(tries > 1000);
    CHECK(many.findings.generator_failures / tries == Near{0.125, 3 * std::sqrt(0.125 * 0.875 / tries), 0});
}

// From 0.5 to 0.3 in two hours; one hour on the generator brings 3 kWh; three hours later the battery is at
// 0.3 again and at 7:00 at 0.2, the emergency. The day's hour is spent, so the generator waits until midnight
// all the same.
TEST_CASE("an emergency overrides quiet hours, but not the most hours that the generator may run a day") {
    auto s = with_generator();
    s.generator_operation.longest_day_h = 1;
    s.generator_operation.emergency_below = 0.2;
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 25});
    auto const starts = times_of(r, EventKind::generator_start);
    REQUIRE(starts.size() == 2);
    CHECK(starts[0] == 2);
    CHECK(starts[1] == 24);
    CHECK(r.hours[7].battery_soc == Near{0.1, 1e-9, 0});
}

// 0.6 L/h and 0.4 L/kWh: 1.8 L/h at 3 kW, so 3 L last 5/3 h.
TEST_CASE("a generator carries an hour evenly only if its fuel lasts longer than that") {
    auto s = with_generator();
    s.generator->fuel_tank_l = 3;
    std::vector<sim::Event> events;
    sim::GeneratorControl control(s, events);
    control.begin_hour(20);
    control.look(0, true, false);
    REQUIRE(control.burns_fuel());
    double const lasts_h = control.hours_of_fuel(3000);
    CHECK(lasts_h == Near{5.0 / 3, 1e-9, 0});
    CHECK(control.carries_evenly(3000, 3000, 0.999 * lasts_h));
    CHECK_FALSE(control.carries_evenly(3000, 3000, lasts_h));
}

TEST_SUITE_END();
