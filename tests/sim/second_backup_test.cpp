#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "models/electric/grid.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/sim/source_at.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::CheckScenario, test::Near, test::plain_system, test::steady_inputs;

namespace {

constexpr int first_hour = 240;

// A 10 kWh battery without losses, inverter of 0.9: 900 W of load is 1 kWh an hour. Minimum SOC 0.1, restart
// 0.2; grid from 0.4 to 0.8, generator from 0.3 to 0.6; charger 3 kW up to 0.8 and to 0.6; no delays.
sim::System two_backups(double soc, double out_from_h, double out_to_h) {
    auto s = plain_system();
    s.battery.charge_efficiency = s.battery.discharge_efficiency = 1;
    s.battery.min_soc = 0.1;
    s.start_soc = soc;
    s.rules.restart_above = 0.2;
    s.rules.backup = sim::Backup::grid;
    s.rules.transfer_below = 0.4;
    s.rules.return_above = s.rules.charge_to = 0.8;
    s.rules.backup_limit_w = 1e5;
    s.rules.second = scenarios::SecondBackup{0.3, 0.6, 0.6, 0};
    s.generator =
        models::GeneratorParameters{.rated_power_w = 8000, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
    if (out_to_h > out_from_h) s.outages = {{first_hour + out_from_h, first_hour + out_to_h}};
    return s;
}

enum class Normal { inverter, grid };
enum class Set { starts, fails, dry, one_hour_a_day };

struct Row {
    Normal normal;
    double soc, sun_w, out_from_h, out_to_h;
    Set set;
    double quiet_until_h;
    std::string at;  // 0.05, 1.5 and 4.9 h: I inverter, R grid, G generator, N nothing
};

// The source at a time, told from the events and from which meter turns in that hour.
char source_at(sim::System const& s, sim::RunResult const& result, double time_h) {
    char const source = test::source_at(result, time_h);
    if (source != 'B') return source;
    auto const& hour = result.hours[static_cast<std::size_t>(time_h) - first_hour];
    bool const grid = models::grid_up(s.outages, time_h);
    CHECK((grid ? hour.grid_kw : hour.generator_kw) > 0);
    return grid ? 'R' : 'G';
}

sim::RunResult run(sim::System const& s, double sun_w = 0) {
    return sim::simulate(s, steady_inputs(sun_w, 900, 0, 1e-3), {first_hour, 6});
}

// Loads and a pump on the grid, with a 6 kW inverter that carries 12 kW for 5 s and 9 kW for 30 s. The taps
// take all that the 4.5 kW pump gives, so it runs through from hour 2 on. The grid is out from hour 5 to 8.
sim::RunResult grid_lost(double load_w, bool pumps, bool trips, double lost_at_h = 5, double then_w = -1) {
    auto s = plain_system();
    s.battery = {100, 1, 1, 0, 1e3, 1e3, 0};
    s.start_soc = 1;
    s.inverter.rated_power_w = 6000;
    s.inverter.k1 = 0;
    s.inverter.surge = {{2, 5}, {1.5, 30}};
    s.rules.trip_on_overload = trips;
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.backup_limit_w = 1e5;
    s.outages = {{lost_at_h, 8}};
    auto nodes = s.fill.nodes;
    for (auto& n : nodes) n.power_w = 4500;
    s.fill = models::fill_curve_from_nodes(nodes, s.fill.cut_in_m3, s.fill.cut_out_m3);
    auto in = steady_inputs(0, load_w, 0, 1e-3);
    if (then_w >= 0)
        for (std::size_t h = 6; h < in.load_w.size(); ++h) in.load_w[h] = then_w;
    for (std::size_t h = 2; pumps && h < 8; ++h)
        in.demand_m3[h] = 0.6e-3 * 3600, in.tap_flow_m3_s[h] = 0.6e-3;
    return sim::simulate(s, in, {0, 10});
}

std::string refused(std::string const& second, std::string const& kind = "grid", bool charger = true,
                    std::string const& generator = "") {
    CheckScenario s;
    s.set("backup", "[backup]\nkind = \"" + kind + "\"\ntransfer_below = 0.4\nreturn_above = 0.8\n");
    s.set("second", "[second_backup]\n" + second);
    s.set("generator",
          "[generator]\nrated_power = \"6 kW\"\nfuel_at_half_load = \"1 L/h\"\n"
          "fuel_at_full_load = \"2 L/h\"\n" +
              generator);
    if (charger) s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    return s.error();
}

}  // namespace

TEST_SUITE_BEGIN("sim/second_backup");

// By hand from the rules of DEVELOPERS.md, "Rules of the supply", and the figures above.
TEST_CASE("source at three times by normal source, level, sun, outage, generator and quiet hours") {
    for (Row const& row : std::vector<Row>{
             {Normal::inverter, 0.9, 0, 0, 0, Set::starts, 0, "III"},
             {Normal::inverter, 0.5, 0, 0, 0, Set::starts, 0, "IRI"},  // grid from 1 h to 2.33 h
             {Normal::inverter, 0.1, 0, 0, 0, Set::starts, 0, "RRI"},  // the grid is up: no generator
             {Normal::inverter, 0.4, 0, 0, 3, Set::starts, 0, "IGI"},  // generator 1-2 h, grid 3-4 h
             {Normal::inverter, 0.3, 0, 0, 9, Set::starts, 0, "GIG"},  // 0-1 h, and again at 4 h
             {Normal::inverter, 0.3, 0, 0, 0.5, Set::starts, 0, "GRI"},
             {Normal::inverter, 0.1, 0, 0, 9, Set::starts, 0, "GGG"},  // until 1.67 h, again at 4.67 h
             {Normal::inverter, 0.5, 1000, 0, 9, Set::starts, 0, "III"},
             {Normal::inverter, 0.3, 0, 0, 9, Set::fails, 0, "IIN"},
             {Normal::inverter, 0.3, 0, 0, 9, Set::dry, 0, "IIN"},
             {Normal::inverter, 0.3, 0, 0, 4, Set::fails, 0, "IIR"},   // dark from 2 h until the grid is back
             {Normal::inverter, 0.3, 0, 0, 9, Set::starts, 3, "III"},  // off at 2 h, generator 3-4.67 h
             {Normal::inverter, 0.2, 0, 0, 9, Set::one_hour_a_day, 0, "GII"},
             {Normal::grid, 0.9, 0, 0, 0, Set::starts, 0, "RRR"},
             {Normal::grid, 0.9, 0, 1, 3, Set::starts, 0, "RIR"},
             {Normal::grid, 0.3, 0, 0, 9, Set::starts, 0, "GIG"},
             {Normal::grid, 0.45, 0, 0, 1.6, Set::starts, 0, "IGR"},  // generator from 1.5 h
             {Normal::grid, 0.3, 0, 1, 9, Set::starts, 0, "RIG"},     // charged to 0.6, until 4 h
         }) {
        CAPTURE(row.soc);
        CAPTURE(row.out_to_h);
        CAPTURE(row.at);
        auto s = two_backups(row.soc, row.out_from_h, row.out_to_h);
        s.rules.grid_first = row.normal == Normal::grid;
        if (s.rules.grid_first) s.rules.transfer_below = 0.1, s.rules.return_above = 1;
        auto& o = s.generator_operation;
        if (row.quiet_until_h > 0) o.run.quiet_from_h = 20, o.run.quiet_to_h = row.quiet_until_h;
        if (row.set == Set::fails) o.run.start_failure = 1;
        if (row.set == Set::dry) s.generator->fuel_tank_l = 0.001;
        if (row.set == Set::one_hour_a_day) o.longest_day_h = 1;
        auto const result = run(s, row.sun_w);
        std::string at;
        for (double const t : {0.05, 1.501, 4.9}) at += source_at(s, result, first_hour + t);
        CHECK(at == row.at);
        if (row.at.find('G') == std::string::npos && row.quiet_until_h == 0 && row.set != Set::dry)
            CHECK(result.summary.generator_kwh == 0);
        CHECK(std::abs(result.summary.energy_residual_kwh) < 1e-9);
    }
}

// The grid comes back after a quarter of an hour: the loads and the charger leave the generator at once,
// which runs the rest of its half hour without load. 0.25 h of 0.9 + 3 kW; fuel 0.5 h x 0.8 L/h + 0.4 L/kWh.
TEST_CASE("the generator runs its minimum time without load when the grid is back") {
    auto s = two_backups(0.3, 0, 0.25);
    s.generator_operation.run.min_run_h = 0.5;
    auto const result = run(s);
    CHECK(result.summary.generator_run_h == Near{0.5, 1e-9, 0});
    CHECK(result.summary.generator_kwh == Near{0.975, 1e-9, 0});
    CHECK(result.summary.generator_fuel_l == Near{0.4 + 0.4 * 0.975, 1e-9, 0});
    CHECK(result.hours[0].grid_kw == Near{0.75 * 3.9, 1e-9, 0});
}

// To the generator, and from it to the grid: 9 s each; from the grid to the inverter, and at 5.7 h back, at
// once; then 20 s each.
TEST_CASE("each source has its transfer time") {
    auto s = two_backups(0.3, 0, 0.5);
    s.rules.second->break_s = 9;
    auto const result = run(s);
    CHECK(result.summary.transfers == 4);
    CHECK(result.summary.load_unserved_kwh == Near{0.9 * 18 / 3600, 1e-9, 0});
    s.rules.break_s = 20;
    CHECK(run(s).summary.load_unserved_kwh == Near{0.9 * 58 / 3600, 1e-9, 0});
}

// 4.5 kW of loads and a pump of 4.5 kW: 9 kW through an inverter of 6 kW. It carries them for 30 s, trips,
// and is back after 45 s; both are still on, so it trips again. After three restarts it waits for someone,
// and house and taps are without power until the grid is back at hour 8: 3 h x 4.5 kW without 4 x 30 s.
TEST_CASE("grid lost at 9 kW through 6 kW") {
    auto const result = grid_lost(4500, true, true);
    CHECK(result.findings.overload_transfers == 1);
    CHECK(result.findings.inverter_trips == 4);
    CHECK(result.summary.load_unserved_kwh == Near{13.5 - 4.5 * 120 / 3600, 1e-9, 0});
    CHECK(result.hours[5].pump_kw == Near{4.5 * 120 / 3600, 1e-6, 0});
    CHECK(result.hours[6].pump_kw == 0);
    CHECK(result.hours[6].water_short_m3 > 1);
    CHECK(result.hours[6].water_short_reason == static_cast<double>(sim::LimitReason::inverter_tripped));
    CHECK(result.hours[8].pump_kw > 0);
    CHECK(std::abs(result.summary.energy_residual_kwh) < 1e-9);
    // An inverter that holds loads back carries the pump, and 1.5 of the 4.5 kW of loads.
    auto const held = grid_lost(4500, true, false);
    CHECK(held.findings.inverter_trips == 0);
    CHECK(held.summary.load_unserved_kwh == Near{9, 1e-9, 0});
    CHECK(held.hours[6].water_short_m3 < 1e-9);
}

// 7 kW of loads are still there at each restart: four times 30 s, then it waits for someone until the grid is
// back at hour 8. 3 h x 7 kW without 120 s x 7 kW.
TEST_CASE("loads above the rating lock the inverter out") {
    auto const result = grid_lost(7000, false, true);
    CHECK(result.findings.inverter_trips == 4);
    CHECK(result.findings.overload_transfers == 1);
    CHECK(result.summary.load_unserved_kwh == Near{21 - 7 * 120. / 3600, 1e-9, 0});
    CHECK(result.hours[6].limit_reason == static_cast<double>(sim::LimitReason::inverter_tripped));
    CHECK(result.hours[8].load_served_kw == Near{7, 1e-9, 0});
    CHECK(grid_lost(7000, false, false).summary.load_unserved_kwh == Near{3, 1e-9, 0});
    // The loads go off within the 30 s: no trip. At 6 kW nothing is too much.
    auto const relieved = grid_lost(7000, false, true, 6 - 10. / 3600, 3000);
    CHECK(relieved.findings.overload_transfers == 1);
    CHECK(relieved.findings.inverter_trips == 0);
    CHECK(relieved.summary.load_unserved_kwh < 1e-9);
    CHECK(grid_lost(6000, false, true).findings.overload_transfers == 0);
    // They go off 50 s after the grid: one trip after 30 s, back after 75 s. 20 s x 7 kW and 25 s x 3 kW.
    auto const once = grid_lost(7000, false, true, 6 - 50. / 3600, 3000);
    CHECK(once.findings.inverter_trips == 1);
    CHECK(once.summary.load_unserved_kwh == Near{(20 * 7. + 25 * 3.) / 3600, 1e-9, 0});
}

// A tripped inverter calls the generator at any SOC, and it carries what the inverter could not.
TEST_CASE("the generator takes over from an inverter that tripped") {
    auto s = two_backups(0.9, 2, 5);
    s.rules.grid_first = true;
    s.inverter.rated_power_w = 800;
    s.inverter.surge = {{1.1, 5}};
    s.rules.trip_on_overload = true;
    auto const result = run(s);
    // 900 W are above 110 %: it trips at once, and the generator is there at once for an hour at least.
    CHECK(result.findings.inverter_trips >= 1);
    CHECK(result.hours[2].generator_kw == Near{0.9, 1e-9, 0});
    CHECK(result.summary.load_unserved_kwh < 1e-9);
}

TEST_CASE("keys: read with their defaults, refused with what is accepted") {
    CHECK(refused("kind = \"generator\"\ntransfer_below = 0.3\nreturn_above = 0.6") == "");
    CHECK(refused("kind = \"none\"\ntransfer_below = 0.3", "generator") == "");
    std::string const levels = "kind = \"generator\"\ntransfer_below = 0.3\nreturn_above = 0.6\n";
    struct Case {
        std::string second, key, reason, kind = "grid", generator = "";
        bool charger = true;
    };
    for (auto const& c : std::vector<Case>{
             {levels, "second_backup.kind", "needs backup.kind = \"grid\"", "generator"},
             {"kind = \"generator\"\ntransfer_below = 0.05\nreturn_above = 0.6", "transfer_below",
              "minimum SOC"},
             {"kind = \"generator\"\ntransfer_below = 0.3\nreturn_above = 0.3", "return_above", "at least"},
             {levels + "charge_to = 0.2", "charge_to", "must be above transfer_below"},
             {levels + "charge_to = 0.6", "second_backup", "needs a table [charger]", "grid", "", false},
             {levels, "top_up_within", "not for the second backup", "grid",
              "quiet_from = \"22:00\"\nquiet_to = \"06:00\"\ntop_up_within = \"3 h\"\ntop_up_below = 0.5\n"},
             {"kind = \"battery\"", "kind", "generator"}}) {
        auto const error = refused(c.second, c.kind, c.charger, c.generator);
        CAPTURE(error);
        CHECK(error.find(c.key) != std::string::npos);
        CHECK(error.find(c.reason) != std::string::npos);
    }
}

// A motor start with the grid away comes at the generator's SOC; the load of all that runs says what a lost
// grid does.
TEST_CASE("check: what a lost grid does") {
    CheckScenario s;
    s.set("backup", "[backup]\nkind = \"grid\"\ntransfer_below = 0.5\nreturn_above = 0.8\n");
    s.set("load", "[[load]]\nname = \"heater\"\npower = \"6 kW\"\n");
    CHECK(test::check_named(s.run(), "running-load").detail.find("on_overload") != std::string::npos);
    s.set("inverter",
          "[inverter]\nrated_power = \"5 kW\"\noutput_voltage = \"230 V\"\nsplit_phase = false\n"
          "surge_power = [\"10 kW\", \"7.5 kW\"]\nsurge_times = [\"5 s\", \"30 s\"]\n"
          "efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]\nidle = \"40 W\"\non_overload = \"trip\"");
    CHECK(test::check_named(s.run(), "running-load").detail.find("the inverter trips after") !=
          std::string::npos);
    s.set("backup", "[backup]\nkind = \"none\"");
    CHECK(test::check_named(s.run(), "running-load").detail.find("trips") == std::string::npos);
}

TEST_SUITE_END();
