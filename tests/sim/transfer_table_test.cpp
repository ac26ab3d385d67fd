#include <doctest/doctest.h>

#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/sim/source_at.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;

using test::plain_system, test::source_at, test::steady_inputs;

namespace {

enum class Policy { none, grid, grid_no_charge, grid_first, generator };
enum class Set { none, starts, emergency, fails, dry, one_hour_a_day, by_hand_2_h, by_hand_4_h };

struct Row {
    Policy policy;
    double soc, sun_w;
    double out_from_h, out_to_h;  // outage, from now; equal: none
    Set set;
    double quiet_until_h;  // from now; 0: no quiet hours
    double load_w;
    char at_once, later;  // at 0.05 h and at 4.9 h: I inverter, B backup, N nothing
};

constexpr double now_h = 24 * 10;

// A 10 kWh battery without losses, inverter of 0.9: 900 W of load is 1 kWh an hour. Minimum SOC 0.1, restart
// 0.2, transfer 0.3, return 0.8, emergency 0.15; charger 3 kW up to 0.8; no delays. The day begins at this
// hour.
sim::System system_of(Row const& row) {
    auto s = plain_system();
    s.battery.charge_efficiency = s.battery.discharge_efficiency = 1;
    s.battery.min_soc = 0.1;
    s.start_soc = row.soc;
    s.rules.restart_above = 0.2;
    s.rules.transfer_below = 0.3;
    s.rules.return_above = 0.8;
    s.rules.charge_to = row.policy == Policy::grid_no_charge ? 0 : 0.8;
    s.rules.backup_limit_w = 1e5;
    if (row.policy == Policy::none) return s;
    if (row.policy == Policy::grid_first) {
        s.rules.grid_first = true;
        s.rules.transfer_below = 0.1;
        s.rules.return_above = 1;
    }
    if (row.policy != Policy::generator) {
        s.rules.backup = sim::Backup::grid;
        if (row.out_to_h > row.out_from_h) s.outages = {{now_h + row.out_from_h, now_h + row.out_to_h}};
        return s;
    }
    s.rules.backup = sim::Backup::generator;
    s.generator =
        models::GeneratorParameters{.rated_power_w = 8000, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
    auto& o = s.generator_operation;
    if (row.quiet_until_h > 0) {
        o.run.quiet_from_h = 20;
        o.run.quiet_to_h = row.quiet_until_h;
    }
    if (row.set == Set::emergency) o.emergency_below = 0.15;
    if (row.set == Set::fails) o.run.start_failure = 1;
    if (row.set == Set::dry) s.generator->fuel_tank_l = 0.001;
    if (row.set == Set::one_hour_a_day) o.longest_day_h = 1;
    o.run.started_by_hand = row.set == Set::by_hand_2_h || row.set == Set::by_hand_4_h;
    o.run.hand_response_h = row.set == Set::by_hand_2_h ? 2 : 4;
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("sim/transfer_table");

// By hand from the rules of DEVELOPERS.md, "Rules of the supply", and the figures above.
TEST_CASE("source at once and later by policy, level, sun, outage, generator, quiet hours and load") {
    std::vector<Row> const rows{
        // policy, level, sun, outage from, to, generator, quiet until, load, at once, later
        {Policy::none, 0.50, 0, 0, 0, Set::none, 0, 900, 'I', 'N'},     // 4 kWh above the minimum SOC
        {Policy::none, 0.50, 1000, 0, 0, Set::none, 0, 900, 'I', 'I'},  // sun balances the load
        {Policy::none, 0.10, 0, 0, 0, Set::none, 0, 900, 'N', 'N'},
        {Policy::none, 0.10, 2000, 0, 0, Set::none, 0, 900, 'I',
         // At its minimum SOC the battery still accepts charge.
         'I'},
        {Policy::none, 0.10, 500, 0, 0, Set::none, 0, 900, 'N', 'N'},  // two hours off, two on, two off
        {Policy::none, 0.90, 0, 0, 0, Set::none, 0, 900, 'I', 'I'},
        {Policy::none, 0.12, 0, 0, 0, Set::none, 0, 0, 'I', 'I'},
        {Policy::none, 0.15, 0, 0, 0, Set::none, 0, 2700, 'I', 'N'},
        {Policy::none, 0.50, 0, 0, 0, Set::none, 0, 0, 'I', 'I'},
        {Policy::grid, 0.50, 0, 0, 0, Set::none, 0, 900, 'I', 'I'},  // there at 2 h, back at 3.67 h
        {Policy::grid, 0.30, 0, 0, 0, Set::none, 0, 900, 'B', 'I'},
        {Policy::grid, 0.29, 0, 0, 0, Set::none, 0, 900, 'B', 'I'},
        {Policy::grid, 0.30, 0, 0, 3, Set::none, 0, 900, 'I', 'B'},  // off at 2 h, grid at 3 h
        {Policy::grid, 0.10, 0, 0, 3, Set::none, 0, 900, 'N', 'B'},
        {Policy::grid, 0.31, 0, 1, 3, Set::none, 0, 900, 'I', 'I'},  // the call lasts longer than the outage
        {Policy::grid, 0.90, 0, 0, 3, Set::none, 0, 900, 'I', 'I'},
        {Policy::grid, 0.30, 0, 0, 9, Set::none, 0, 900, 'I', 'N'},
        {Policy::grid, 0.50, 3000, 0, 0, Set::none, 0, 900, 'I', 'I'},
        {Policy::grid, 0.30, 3000, 0, 0, Set::none, 0, 900, 'B', 'I'},
        {Policy::grid, 0.30, 0, 0, 0, Set::none, 0, 0, 'B', 'I'},
        {Policy::grid_no_charge, 0.30, 0, 0, 0, Set::none, 0, 900, 'B', 'B'},  // nothing recharges
        {Policy::grid_no_charge, 0.30, 2500, 0, 0, Set::none, 0, 900, 'B', 'I'},
        {Policy::grid_no_charge, 0.30, 500, 0, 0, Set::none, 0, 900, 'B', 'B'},
        {Policy::grid_no_charge, 0.50, 0, 0, 0, Set::none, 0, 900, 'I', 'B'},
        {Policy::grid_no_charge, 0.30, 0, 1, 3, Set::none, 0, 900, 'B', 'B'},
        {Policy::grid_no_charge, 0.30, 0, 0, 9, Set::none, 0, 900, 'I', 'N'},
        {Policy::grid_no_charge, 0.90, 0, 0, 0, Set::none, 0, 900, 'I', 'I'},
        {Policy::grid_first, 0.90, 0, 0, 0, Set::none, 0, 900, 'B', 'B'},
        {Policy::grid_first, 0.90, 0, 0, 3, Set::none, 0, 900, 'I', 'B'},
        {Policy::grid_first, 0.90, 0, 1, 3, Set::none, 0, 900, 'B', 'B'},
        {Policy::grid_first, 0.90, 0, 1, 9, Set::none, 0, 900, 'B', 'I'},
        {Policy::grid_first, 0.20, 0, 0, 3, Set::none, 0, 900, 'I', 'B'},
        {Policy::grid_first, 0.10, 0, 0, 3, Set::none, 0, 900, 'N', 'B'},
        {Policy::grid_first, 0.90, 0, 0, 9, Set::none, 0, 900, 'I', 'I'},
        {Policy::grid_first, 0.40, 0, 0, 9, Set::none, 0, 900, 'I', 'N'},
        {Policy::grid_first, 0.10, 2000, 0, 9, Set::none, 0, 900, 'I', 'I'},
        {Policy::generator, 0.50, 0, 0, 0, Set::starts, 0, 900, 'I', 'I'},
        {Policy::generator, 0.30, 0, 0, 0, Set::starts, 0, 900, 'B', 'I'},
        {Policy::generator, 0.10, 0, 0, 0, Set::starts, 0, 900, 'B', 'I'},
        {Policy::generator, 0.90, 0, 0, 0, Set::starts, 0, 900, 'I', 'I'},
        {Policy::generator, 0.30, 2000, 0, 0, Set::starts, 0, 900, 'B', 'I'},
        {Policy::generator, 0.30, 0, 0, 0, Set::starts, 0, 2700, 'B', 'B'},  // twice within five hours
        {Policy::generator, 0.30, 0, 0, 0, Set::starts, 3, 900, 'I', 'B'},   // silent till 3 h, off at 2 h
        {Policy::generator, 0.14, 0, 0, 0, Set::emergency, 3, 900, 'B', 'I'},
        {Policy::generator, 0.20, 0, 0, 0, Set::emergency, 3, 900, 'I', 'B'},
        {Policy::generator, 0.30, 0, 0, 0, Set::emergency, 3, 900, 'I',
         'B'},  // 0.15 at 1.5 h: on to 0.25, again at 2.8 h
        {Policy::generator, 0.30, 3000, 0, 0, Set::starts, 5, 900, 'I', 'I'},  // quiet, and the sun does it
        {Policy::generator, 0.10, 0, 0, 0, Set::starts, 3, 900, 'N', 'B'},     // dark until quiet hours end
        {Policy::generator, 0.30, 0, 0, 0, Set::starts, 5, 900, 'I', 'N'},
        {Policy::generator, 0.30, 0, 0, 0, Set::by_hand_2_h, 3, 900, 'I', 'B'},  // there at 2 h, waits till 3
        {Policy::generator, 0.30, 0, 0, 0, Set::starts, 0, 0, 'B', 'I'},
        {Policy::generator, 0.30, 0, 0, 0, Set::fails, 0, 900, 'I', 'N'},
        {Policy::generator, 0.10, 0, 0, 0, Set::fails, 0, 900, 'N', 'N'},
        {Policy::generator, 0.30, 0, 0, 0, Set::dry, 0, 900, 'I', 'N'},
        {Policy::generator, 0.30, 0, 0, 0, Set::one_hour_a_day, 0, 900, 'B', 'I'},
        {Policy::generator, 0.30, 0, 0, 0, Set::by_hand_2_h, 0, 900, 'I', 'I'},
        {Policy::generator, 0.30, 0, 0, 0, Set::by_hand_4_h, 0, 900, 'I', 'B'},
    };
    CHECK(rows.size() >= 40);
    int number = 0;
    for (Row const& row : rows) {
        ++number;
        CAPTURE(number);
        auto const result = sim::simulate(system_of(row), steady_inputs(row.sun_w, row.load_w, 0, 1e-3),
                                          {static_cast<int>(now_h), 6});
        CHECK(source_at(result, now_h + 0.05) == row.at_once);
        CHECK(source_at(result, now_h + 4.9) == row.later);
    }
}

TEST_SUITE_END();
