#include "sim/year/energy_day.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "sim/autonomy/store_levels.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::HourRecord, sim::HourSource, test::Near;

TEST_SUITE_BEGIN("sim/energy_day");

// By hand: two days of 48 equal hours, kW times 24 h a day.
TEST_CASE("an average day has each loss in one part") {
    HourRecord h;
    h.pump_kw = 0.1, h.load_served_kw = 0.05;
    h.inverter_loss_kw = 0.02, h.pass_through_loss_kw = 0.005, h.battery_loss_kw = 0.01;
    h.controller_loss_kw = 0.001, h.charger_loss_kw = 0.002, h.standby_kw = 0.003, h.heater_kw = 0.004;
    auto const day = sim::mean_energy_day(std::vector<HourRecord>(48, h));
    CHECK(day.pump_kwh == Near{2.4, 0, 1e-12});
    CHECK(day.loads_kwh == Near{1.2, 0, 1e-12});
    CHECK(day.inverter_kwh == Near{0.6, 0, 1e-12});
    CHECK(day.battery_kwh == Near{0.24, 0, 1e-12});
    CHECK(day.other_kwh == Near{0.24, 0, 1e-12});
    CHECK(day.total_kwh() == Near{4.68, 0, 1e-12});
}

TEST_CASE("the source of an hour is the one of its greater part") {
    HourRecord h;
    h.pv_used_kw = 1, h.battery_discharge_kw = 0.4;
    CHECK(sim::hour_source(h, sim::Backup::grid) == HourSource::array);
    h.battery_discharge_kw = 1.2;
    CHECK(sim::hour_source(h, sim::Backup::grid) == HourSource::battery);
    h.inverter_off_h = 0.6;
    CHECK(sim::hour_source(h, sim::Backup::none) == HourSource::nothing);
    h.backup_h = 0.5;
    CHECK(sim::hour_source(h, sim::Backup::grid) == HourSource::grid);
    CHECK(sim::hour_source(h, sim::Backup::generator) == HourSource::generator);
}

// By hand, by Boyle's law: 0.3 m3 from 400 to 200 kPa gauge, precharge 200 kPa.
TEST_CASE("stored water at the taps, behind the booster and in the trough") {
    sim::System s;
    s.tank = {0.3, 200, 200, 400, 101.325};
    auto const tank_m3 = 0.3 * (1 - 301.325 / 501.325);
    CHECK(sim::stored_water(s).at_taps_m3 == Near{tank_m3, 0, 1e-12});
    CHECK(sim::stored_water(s).behind_booster_m3 == 0);
    s.cistern.emplace();
    s.cistern->cistern.fill_stop_m3 = 5, s.cistern->cistern.dead_m3 = 0.2,
    s.cistern->cistern.reserve_m3 = 0.8;
    CHECK(sim::stored_water(s).at_taps_m3 == Near{tank_m3, 0, 1e-12});
    CHECK(sim::stored_water(s).behind_booster_m3 == Near{4, 0, 1e-12});
    s.cistern->gravity = true;
    CHECK(sim::stored_water(s).at_taps_m3 == Near{4, 0, 1e-12});
    CHECK(sim::stored_water(s).behind_booster_m3 == 0);
}

TEST_SUITE_END();
