#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "models/electric/grid.hpp"
#include "sim/autonomy/outage_replay.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::CheckScenario, test::Near, test::plain_system, test::steady_inputs;

namespace {

// A battery of 10 kWh, which cycles with the sun by day; a charger of 3 kW on the grid.
sim::System stormy(double warned_h) {
    auto s = plain_system();
    s.battery = {10, 1, 1, 0, 1e3, 1e3, 0};
    s.start_soc = 0.5;
    s.rules.backup = sim::Backup::grid;
    s.rules.transfer_below = 0.2;
    s.rules.return_above = 0.6;
    s.rules.backup_limit_w = 1e5;
    s.rules.restart_above = 0.1;
    s.inverter.k1 = 0;
    s.outages = {{20, 21}, {60, 60 + 48}};
    s.rules.forewarned_h = warned_h;
    return s;
}

std::string backup_error(std::string const& keys, bool charger = true) {
    CheckScenario s;
    s.set("backup", "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\n" + keys);
    if (charger) s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    return s.error();
}

}  // namespace

TEST_SUITE_BEGIN("sim/forewarned");

TEST_CASE("the times of warning: only before long outages, joined where they touch") {
    models::OutageList const outages{{20, 21}, {60, 100}, {110, 130}, {300, 320}};
    CHECK(models::warnings_of(outages, 24, 8) == models::OutageList{{36, 60}, {86, 110}, {276, 300}});
    CHECK(models::warnings_of(outages, 4, 30) == models::OutageList{{56, 60}});
    CHECK(models::warnings_of({{60, 70}, {72, 82}}, 24, 8) == models::OutageList{{36, 72}});
    CHECK(models::warnings_of(outages, 0, 0).empty());
    CHECK(models::warnings_of({}, 24, 0).empty());
}

// By hand: 100 W of loads, no sun. Without a warning the battery holds 10 x 0.5 kWh less what the loads took
// by hour 60: 5 - 6 < 2 kWh, so the grid carried them from 30 h on (2 kWh at 0.2), and the storm finds the
// battery at 20 %. With 24 h of warning it is charged to 10 kWh, which last 48 h of 0.1 kW with 5.2 left.
TEST_CASE("a storm with 24 h of warning finds the battery full") {
    auto const in = steady_inputs(0, 100, 0, 1e-3);
    auto const surprised = sim::simulate(stormy(0), in, {0, 120});
    auto const warned = sim::simulate(stormy(24), in, {0, 120});
    CHECK(surprised.hours[59].battery_soc == Near{0.2, 1e-9, 0});
    CHECK(surprised.summary.load_unserved_kwh > 2.5);
    CHECK(warned.hours[59].battery_soc == Near{1, 1e-9, 0});
    CHECK(warned.summary.load_unserved_kwh < 1e-6);
    CHECK(warned.hours[107].battery_soc == Near{0.52, 1e-9, 0});
    // Charging begins at hour 36, at 3 kW; from then on the loads are on the grid and the battery rests.
    CHECK(warned.hours[35].grid_kw == Near{0.1, 1e-9, 0});
    CHECK(warned.hours[36].grid_kw == Near{3.1, 1e-6, 0});
    for (std::size_t h = 40; h < 60; ++h) CHECK(warned.hours[h].battery_soc == Near{1, 1e-9, 0});
    // The outage of an hour at 20 h is not announced: nothing is charged before it.
    CHECK(warned.hours[19].grid_kw == 0);
    CHECK(std::abs(warned.summary.energy_residual_kwh) < 1e-9);
    // After it, the battery cycles again.
    CHECK(warned.hours[119].battery_soc < 0.45);
}

// The grid is the normal source and the battery is kept at 60 % to last longer; before the storm it is
// filled.
TEST_CASE("with the grid as the normal source only the charge rises") {
    auto s = stormy(24);
    s.rules.grid_first = true;
    s.rules.charge_to = 0.6;
    s.rules.forewarned_charge_to = 0.9;
    auto const r = sim::simulate(s, steady_inputs(0, 100, 0, 1e-3), {0, 240});
    CHECK(r.hours[19].battery_soc == Near{0.6, 1e-6, 0});
    CHECK(r.hours[35].battery_soc == Near{0.6, 1e-6, 0});
    CHECK(r.hours[59].battery_soc == Near{0.9, 1e-6, 0});
}

// A cistern with a float switch is topped up although it has not fallen to its start; so is a trough.
TEST_CASE("cistern and trough are filled before the storm") {
    auto s = stormy(24);
    s.cistern.emplace();
    auto& c = s.cistern->cistern;
    c.capacity_m3 = 5, c.fill_start_m3 = 1, c.fill_stop_m3 = 4.5;
    s.cistern->start_m3 = 3;
    s.cistern->resume_m3 = 0.2;
    s.cistern->gravity = true;
    s.cistern->filling = {{0.5e-3, 800}};
    s.trough = models::TroughParameters{1, 0.2, 0.3e-3};
    auto in = steady_inputs(0, 50, 0.01, 1e-3);
    in.trough_m3.assign(8760, 0.01);
    auto const warned = sim::simulate(s, in, {0, 120});
    s.rules.forewarned_h = 0;
    auto const surprised = sim::simulate(s, in, {0, 120});
    CHECK(surprised.hours[59].cistern_water_m3 == 3);
    CHECK(warned.hours[35].cistern_water_m3 == Near{surprised.hours[35].cistern_water_m3, 1e-9, 0});
    CHECK(warned.hours[59].cistern_water_m3 > 4.1);
    CHECK(surprised.hours[59].trough_water_m3 == Near{0.4, 1e-6, 0});
    CHECK(warned.hours[59].trough_water_m3 > 0.55);
    // In the storm the pump does not go on filling from the battery.
    for (std::size_t h = 61; h < 108; ++h) CHECK(warned.hours[h].pump_run_h == 0);
    CHECK(std::abs(warned.summary.water_residual_m3) < 1e-9);
}

// 48 h at 0.1 kW of loads and 4.8 m3 at 1.2 kW and 0.6 L/s: 7.5 kWh. A battery of 10 kWh that is found at 20
// % lasts none of them, one that is full lasts all.
TEST_CASE("outages that are tried on other dates are known before as well") {
    auto const in = steady_inputs(0, 100, 0.1, 3e-4);
    std::vector<sim::OutageToTry> const storm{{48, 12}};
    std::vector<int> const days{3, 100, 364};
    for (double const warned_h : {0.0, 24.0}) {
        CAPTURE(warned_h);
        auto const rows = sim::replay_outages(stormy(warned_h), in, storm, days);
        REQUIRE(rows.size() == 1);
        CHECK(rows[0].tried == 3);
        CHECK(rows[0].kept == (warned_h > 0 ? 3 : 0));
    }
}

TEST_CASE("keys: read with their defaults, refused with what is accepted") {
    CheckScenario s;
    s.set("backup",
          "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\nforewarned = \"2 days\"");
    s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    auto const r = s.read().rules;
    CHECK(r.forewarned_h == 48);
    CHECK(r.forewarned_over_h == 8);
    CHECK(r.forewarned_charge_to == 1);
    struct Row {
        std::string text, reason;
        bool charger = true;
    };
    for (auto const& [text, reason, charger] : std::vector<Row>{
             {"forewarned = \"24 h\"", "needs a table [charger]", false},
             {"forewarned_over = \"4 h\"", "needs forewarned"},
             {"forewarned = \"24 h\"\nforewarned_charge_to = 0.3", "must not be below transfer_below"},
             {"forewarned = \"60 days\"", "out of range"}}) {
        CAPTURE(text);
        auto const error = backup_error(text, charger);
        CAPTURE(error);
        CHECK(error.find("backup.forewarned") != std::string::npos);
        CHECK(error.find(reason) != std::string::npos);
    }
}

TEST_SUITE_END();
