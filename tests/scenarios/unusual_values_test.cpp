#include "scenarios/design/unusual_values.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "models/numeric/trade_units.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::Scenario;

namespace {

// Only usual values.
Scenario const& household() {
    static auto const scenario = [] {
        auto s = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
        s.motor.running_power_factor = 0.78;
        s.motor.locked_rotor_power_factor = 0.7;
        s.motor.start_seconds = 0.5;
        return s;
    }();
    return scenario;
}

struct Odd {
    std::function<void(Scenario&)> change;
    std::string said;
};

}  // namespace

TEST_SUITE_BEGIN("scenarios/unusual_values");

TEST_CASE("usual values are not spoken of") { CHECK(scenarios::unusual_values(household()).empty()); }

TEST_CASE("each value that is seldom right has one sentence, with the value, the usual ones and why") {
    auto const gpm = models::m3_s_per_gpm;
    std::vector<Odd> const odd{
        {[](Scenario& s) { s.motor.rated_power_w = 7.5 * models::w_per_hp, s.motor.full_load_a = 0; },
         "motor.rated_power: 7.5 hp is unusual (0.333 to 5 hp): house and stock wells have smaller "
         "motors; "
         "check the nameplate"},
        {[](Scenario& s) { s.motor.locked_rotor_a = 8 * s.motor.full_load_a; },
         "motor.locked_rotor: 8 x full load is unusual (3 to 7 x full load): check which figure was read"},
        {[](Scenario& s) { s.motor.running_power_factor = 1; },
         "motor.running_power_factor: 1 is unusual (0.65 to 0.95): a power factor of one would mean that "
         "volts times amps are watts"},
        {[](Scenario& s) { s.motor.locked_rotor_power_factor = 0.3; },
         "motor.locked_rotor_power_factor: 0.3"},
        {[](Scenario& s) { s.motor.start_seconds = 5; },
         "motor.start_seconds: 5 s is unusual (0.2 to 2 s): small pumps run up within a second or two"},
        {[](Scenario& s) { s.motor.full_load_a *= 2, s.motor.locked_rotor_a *= 2; }, "motor.full_load: "},
        {[&](Scenario& s) { s.pump.curve.back().flow_m3_s = 61 * gpm; },
         "pump.flow: 61 gpm at the end of the curve is unusual (5 to 60 gpm at the end of the curve): check "
         "unit and pump"},
        {[](Scenario& s) { s.well.static_level_m[7] = 200; },
         "well.static_level: 200 m is unusual (3 to 150 m): check feet and meters, and that depth to water "
         "is "
         "meant"},
        {[](Scenario& s) { s.tank.cut_in_kpa = 15 * models::kpa_per_psi; }, "tank.cut_in: 15 psi"},
        {[](Scenario& s) { s.tank.total_volume_m3 = 400 * models::m3_per_gal; },
         "tank.volume: 400 gal is unusual (10 to 320 gal): the tank's own volume is meant, not its drawdown"},
        {[](Scenario& s) { s.battery.capacity_kwh = 150; },
         "battery.capacity: 150 kWh is unusual (1 to 100 kWh): houses have 3 to 60 kWh"},
        {[](Scenario& s) { s.battery.min_soc = 0.8; },
         "battery.usable_fraction: 0.2 is unusual (0.3 to 1): lithium batteries use 80 to 90 %, lead-acid "
         "half"},
        {[](Scenario& s) { s.battery.charge_efficiency = s.battery.discharge_efficiency = 1; },
         "battery.charge_efficiency and discharge_efficiency: 1 round trip"},
        {[](Scenario& s) { s.battery_v = 12; },
         "battery.nominal_voltage: 12 V and an inverter above 2 kW mean some 200 A and more; 48 V is usual"},
        {[](Scenario& s) { s.plane.tilt_deg = 80; },
         "array.tilt: 80 deg stands almost upright; latitude plus 10 to 15 degrees is usual for winter"},
        {[](Scenario& s) { s.inverter.rated_power_w = 25000; },
         "inverter.rated_power: 25 kW is unusual (0.5 to 20 kW): check the unit"},
        {[](Scenario& s) { s.inverter.idle_w = 200; },
         "inverter.idle: 200 W is unusual (5 to 150 W): 0.3 to 2 % of the rating is common, and it runs day "
         "and night"},
        {[](Scenario& s) {
             s.inverter.surge = {{4.5, 5}};
         },
         "inverter.surge_power: 4.5 times the rating for 5 s is more than inverters are built for (1.5 to "
         "3)"},
        {[](Scenario& s) { s.loads.at(0).load.power_w = 3500; }, "load."},
        {[&](Scenario& s) {
             s.demand.uses.assign(1, {}), s.demand.uses[0].name = "trough",
                                          s.demand.uses[0].tap_flow_m3_s = 40 * gpm;
         },
         "use.trough.tap_flow: 40 gpm is unusual (0.5 to 30 gpm): the flow while its taps are open is meant"},
        {[](Scenario& s) { s.demand.uses.clear(), s.demand.daily_m3 = 6000 * models::m3_per_gal; },
         "demand.daily: 6000 gal/day is unusual (20 to 5000 gal/day)"},
    };
    for (auto const& o : odd) {
        auto s = household();
        o.change(s);
        auto const words = scenarios::unusual_values(s);
        CAPTURE(o.said);
        REQUIRE(!words.empty());
        CHECK(words.size() == 1);
        CHECK(words[0].starts_with(o.said));
    }
}

TEST_CASE("a size that was typed in liters is shown as it was typed") {
    for (auto const& [volume_m3, said] :
         {std::pair{20.0, "tank.volume: 20,000 L is"}, {95.0, "tank.volume: 95,000 L is"}}) {
        auto s = household();
        s.tank.total_volume_m3 = volume_m3;
        auto const words = scenarios::unusual_values(s);
        REQUIRE(!words.empty());
        CHECK(scenarios::in_units(scenarios::UnitSystem::metric, words[0]).starts_with(said));
    }
}

TEST_SUITE_END();
