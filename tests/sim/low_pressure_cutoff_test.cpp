#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "sim/check/design_check.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/water_remarks.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::LimitReason;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

int short_for(sim::RunResult const& result, LimitReason reason) {
    int hours = 0;
    for (auto const& r : result.hours) hours += r.water_short_reason == static_cast<double>(reason) ? 1 : 0;
    return hours;
}

// A house on the grid, whose battery is out of service. The tank holds 80 L from cut-out to cut-in and a few
// below; the pump gives 0.6 L/s.
sim::System grid_house() {
    auto s = plain_system();
    s.battery.capacity_kwh = 10;
    s.battery.min_soc = 0.1;
    s.start_soc = 0.1;
    s.rules.restart_above = 0.9;
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.transfer_below = 0.1;
    s.rules.backup_limit_w = 1e5;
    s.cutoff = models::LowPressureCutoff{.cutoff_kpa = 130};
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("sim/low_pressure_cutoff");

// Taps take 0.2 L/s all the time; the grid is away from Friday 20:00 for one hour. The tank is empty within
// minutes, and the switch opens. The family is back on Monday at 18:00 (70 h later) and holds the lever half
// an hour after that.
TEST_CASE("a switch stays off over a weekend away, for an outage of one hour") {
    auto s = grid_house();
    constexpr double fails_h = 20, back_h = 90;
    s.outages = {{fails_h, fails_h + 1}};
    s.cutoff->attended_from_h = 18;
    s.cutoff->attended_to_h = 20;
    s.cutoff->visit_every_h = 72;
    auto const in = steady_inputs(0, 0, 0.72, 0.2e-3);
    auto const by_hand = sim::simulate(s, in, {0, 120});
    CHECK(by_hand.findings.low_pressure_cutoffs == 1);
    double opened_h = 0, reset_h = 0;
    for (auto const& e : by_hand.events) {
        if (e.kind == sim::EventKind::low_pressure_cutoff) opened_h = e.time_h;
        if (e.kind == sim::EventKind::low_pressure_reset) reset_h = e.time_h;
    }
    // From 20:00 on the taps draw what is in the tank, at most 80 L above cut-in and the rest below.
    double const held_m3 = by_hand.hours[19].tank_water_m3;
    CHECK((opened_h - fails_h) * 3600 == Near{held_m3 / 0.2e-3, 1, 0});
    // The lever is held from 90.5 h until cut-in; the taps take 0.2 of the 0.6 L/s.
    double const to_cut_in_s = models::stored_water_m3(s.tank, s.tank.cut_in_kpa) / 0.4e-3;
    CHECK(reset_h == Near{back_h + 0.5 + to_cut_in_s / 3600, 1e-4, 0});
    // The first hour is short because the battery is empty, and all others because of the switch.
    CHECK(by_hand.summary.shortage_hours == Near{71, 0, 0});
    CHECK(short_for(by_hand, LimitReason::low_pressure) == 70);
    double const short_s = (back_h + 0.5 - opened_h) * 3600;
    CHECK(by_hand.summary.water_short_m3 == Near{short_s * 0.2e-3, 1e-4, 0});
    CHECK(std::abs(by_hand.summary.water_residual_m3) < 1e-9);

    sim::CheckedInputs const checked(in);
    auto const remarks = sim::water_remarks(s, checked, by_hand);
    REQUIRE(remarks.size() >= 2);
    CHECK(remarks.back().kind == sim::WaterRemarkKind::self_reset);
    CHECK(remarks.back().limit == 71);
    CHECK(remarks.back().value == 1);

    // Its own control tries again 5 min after the pressure was lost, in vain until the grid is back.
    s.cutoff = models::LowPressureCutoff{.cutoff_kpa = 130, .by_hand = false, .reset_after_h = 1.0 / 12};
    auto const by_itself = sim::simulate(s, in, {0, 120});
    CHECK(by_itself.summary.shortage_hours == 1);
    CHECK(short_for(by_itself, LimitReason::low_pressure) == 0);
    CHECK(by_itself.summary.water_short_m3 == Near{(fails_h + 1 - opened_h) * 3600 * 0.2e-3, 1e-6, 0});
}

// Eleven dips of a minute each on the grid, one an hour. With open taps at 0.5 L/s the tank is empty within
// a minute at cut-in, so some dips lock the pump out until the evening.
TEST_CASE("eleven short dips become waits for a visit") {
    auto s = grid_house();
    for (int i = 0; i < 11; ++i) s.outages.push_back({24.0 * i + 7.999, 24.0 * i + 8.05});
    s.cutoff->attended_from_h = 18;
    s.cutoff->attended_to_h = 22;
    // 1.8 m3 an hour from 07:00 to 12:00 keeps the tank near cut-in.
    auto in = steady_inputs(0, 0, 0, 0.59e-3);
    for (std::size_t h = 0; h < in.demand_m3.size(); ++h)
        if (h % 24 >= 7 && h % 24 < 12) in.demand_m3[h] = 0.59e-3 * 3600;
    auto const waits = sim::simulate(s, in, {0, 24 * 11});
    CHECK(waits.findings.low_pressure_cutoffs == 11);
    // Each morning: the hour of the dip and the three after it.
    CHECK(waits.summary.shortage_hours == 44);
    CHECK(short_for(waits, LimitReason::low_pressure) == 44);
    s.cutoff.reset();
    auto const plain = sim::simulate(s, in, {0, 24 * 11});
    CHECK(plain.summary.shortage_hours == 11);
}

// A transfer of 15 s while a hose runs: at cut-in the tank holds less than that above its precharge.
TEST_CASE("a transfer alone can open the switch, but not with shut taps") {
    auto s = grid_house();
    s.start_soc = 1;
    s.battery.min_soc = 0;
    s.rules.grid_first = true;
    s.rules.break_s = 15;
    s.tank.precharge_kpa = 195;
    s.fill = models::fill_curve_from_nodes({{0, 0.6e-3, 1200},
                                            {models::stored_water_m3(s.tank, 200), 0.6e-3, 1200},
                                            {models::stored_water_m3(s.tank, 400), 0.6e-3, 1200},
                                            {1.1 * models::stored_water_m3(s.tank, 400), 0.6e-3, 1200}},
                                           models::stored_water_m3(s.tank, 200),
                                           models::stored_water_m3(s.tank, 400));
    double const left_m3 = models::stored_water_m3(s.tank, 200);
    REQUIRE(left_m3 / 0.59e-3 < 15);
    s.outages = {{0.5, 1.5}};
    s.cutoff->attended_from_h = 18;
    s.cutoff->attended_to_h = 22;
    // Drawn just below the pump's flow, the tank stays near cut-in for hours.
    auto const hose = sim::simulate(s, steady_inputs(0, 0, 0.599e-3 * 3600, 0.599e-3), {0, 24});
    CHECK(hose.findings.low_pressure_cutoffs >= 1);
    CHECK(short_for(hose, LimitReason::low_pressure) >= 11);
    auto const shut = sim::simulate(s, steady_inputs(0, 0, 0.01, 0.3e-3), {0, 24});
    CHECK(shut.findings.low_pressure_cutoffs == 0);
    CHECK(shut.summary.shortage_hours == 0);
}

// While the lever is held the pump fails again: the lever has to be held once more.
TEST_CASE("a lever that is held without power does not help") {
    auto s = grid_house();
    s.outages = {{2, 40}};
    s.cutoff->attended_from_h = 18;
    s.cutoff->attended_to_h = 20;
    auto const r = sim::simulate(s, steady_inputs(0, 0, 0.72, 0.2e-3), {0, 72});
    // Held at 18:30 and until 20:00 in vain; the grid is back at 16:00 of the next day, the lever held at
    // 18:30. The rest of the time is the battery's.
    CHECK(short_for(r, LimitReason::low_pressure) == 3);
    CHECK(r.summary.longest_shortage_h == 41);
}

TEST_CASE("check says when a transfer can open the switch") {
    test::CheckScenario design;
    auto const with = [&](std::string const& transfer, std::string const& reset,
                          std::string const& precharge = "38 psi") {
        design.set("tank",
                   "[tank]\nvolume = \"85 gal\"\ncut_in = \"40 psi\"\ncut_out = \"60 psi\"\nprecharge = \"" +
                       precharge + "\"\nlow_pressure_cutoff = \"30 psi\"\n" + reset);
        design.set("backup",
                   "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = "
                   "0.8\ntransfer_time = \"" +
                       transfer + "\"");
        return test::check_named(design.run(), "low-pressure-cutoff");
    };
    // 85 gal hold 85 x 2 / (40 + 14.696) = 3.11 gal above the precharge: 62 s at 3 gpm.
    auto const fast = with("20 ms", "visit_every = \"72 h\"");
    CHECK(fast.value == Near{62.2, 0.2, 0});
    CHECK(fast.verdict == models::Verdict::pass);
    // Air of 25 psi: 85 x (1 - 39.696 / 54.696) = 23.31 gal at cut-in, 85 x (1 - 39.696 / 44.696) = 9.51 gal
    // at the cutoff, 13.80 gal between them: 276 s at 3 gpm.
    CHECK(with("20 ms", "visit_every = \"72 h\"", "25 psi").value == Near{276.0, 0.3, 0});
    CHECK(with("70 s", "visit_every = \"72 h\"").verdict == models::Verdict::marginal);
    CHECK(with("70 s", "low_pressure_reset = \"automatic\"").verdict == models::Verdict::pass);
}

TEST_SUITE_END();
