#include "scenarios/design/unusual_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/pressure_tank.hpp"

namespace holdwater::scenarios {
namespace {

using Words = std::vector<std::string>;

/// Warns if a value is outside [low, high], all in `unit` ("": a plain number); `why` ends the sentence.
void usual(Words& words, char const* key, double value, double low, double high, char const* unit,
           char const* why) {
    double const rounding = 1e-9 * high;  // "50 psi" is not above 50 psi
    if (value >= low - rounding && value <= high + rounding) return;
    std::string const after = *unit == 0 ? "" : " " + std::string(unit);
    // So many digits that "20000 L", shown in gallons here, is 20,000 L again. A ratio needs fewer.
    int const digits = *unit == 'x' ? 4 : 6;
    words.push_back(fmt::format("{}: {:.{}g}{} is unusual ({:.3g} to {:.4g}{}): {}", key, value, digits,
                                after, low, high, after, why));
}

void motor_and_pump(Scenario const& s, Words& words) {
    models::MotorParameters const& m = s.motor;
    // Most homes have 1/2 to 2 hp (American Ground Water Trust, The American Well Owner, 1999 no. 3).
    usual(words, "motor.rated_power", m.rated_power_w / models::w_per_hp, 1.0 / 3, 5, "hp",
          "house and stock wells have smaller motors; check the nameplate");
    if (m.full_load_a > 0 && m.locked_rotor_a > 0)
        usual(words, "motor.locked_rotor", m.locked_rotor_a / m.full_load_a, 3, 7, "x full load",
              "check which figure was read");
    usual(words, "motor.running_power_factor", m.running_power_factor, 0.65, 0.95, "",
          "a power factor of one would mean that volts times amps are watts");
    usual(words, "motor.locked_rotor_power_factor", m.locked_rotor_power_factor, 0.5, 0.85, "",
          "the start's real power depends on it");
    usual(words, "motor.start_seconds", m.start_seconds, 0.2, 2, "s",
          "small pumps run up within a second or two");
    if (s.wiring.rules == WiringRules::us && m.phases == 1 && m.full_load_a > 0 &&
        std::abs(m.volts - 230) < 1) {
        double const hp = std::round(m.rated_power_w / models::w_per_hp * 100) / 100;
        try {
            double const table_a = models::code_full_load_a(hp, 230);
            usual(words, "motor.full_load", m.full_load_a / table_a, 0.75, 1.25, "x the code table's current",
                  "volts, hp and amps may not belong to one nameplate");
        } catch (models::ParameterError const&) {
            // The table has no row for this size.
        }
    }
    if (s.wiring.rules == WiringRules::us && std::abs(m.volts - 115) < 1 &&
        m.rated_power_w > 0.5 * models::w_per_hp)
        words.push_back(
            "motor.volts: above 1/2 hp a 115 V motor draws twice the current of a 230 V one; check cable and "
            "inverter leg");
    models::PumpCurvePoint const& last = s.pump.curve.back();
    usual(words, "pump.flow", last.flow_m3_s / models::m3_s_per_gpm, 5, 60, "gpm at the end of the curve",
          "check unit and pump");
    usual(words, "well.static_level",
          *std::max_element(s.well.static_level_m.begin(), s.well.static_level_m.end()), 3, 150, "m",
          "check feet and meters, and that depth to water is meant");
}

void usual_drawdown(Words& words, double percent) {
    constexpr double least = 15, most = 36;
    if (percent >= least && percent <= most) return;
    words.push_back(fmt::format(
        "tank.precharge: the drawdown is {:.1f} % of the tank's volume; {:g} to {:g} % is usual: check "
        "precharge, cut-in and cut-out",
        percent, least, most));
}

void well_and_tank(Scenario const& s, Words& words) {
    if (s.well.casing) {
        models::WellParameters const& w = *s.well.casing;
        usual(words, "well.casing_inside_diameter", w.casing_inside_diameter_m * 1e3, 100, 200, "mm",
              "drilled house wells are 4 to 8 inches");
        if (std::isfinite(w.yield_limit_m3_s))
            usual(words, "well.yield_limit", w.yield_limit_m3_s / models::m3_s_per_gpm, 0.25, 20, "gpm",
                  "check the driller's test");
    }
    bool const by_gravity = s.cistern && !s.cistern->booster;
    if (by_gravity || s.drive) return;  // no tank, or a drive that needs only a small one
    models::PressureTankParameters const& t = s.tank;
    usual(words, "tank.cut_in", t.cut_in_kpa / models::kpa_per_psi, 20, 50, "psi",
          "20/40, 30/50 and 40/60 are common");
    usual(words, "tank.cut_out", t.cut_out_kpa / models::kpa_per_psi, 40, 80, "psi",
          "20/40, 30/50 and 40/60 are common");
    usual(words, "tank.volume", t.total_volume_m3 / models::m3_per_gal, 10, 320, "gal",
          "the tank's own volume is meant, not its drawdown");
    if (t.air_fraction == 1) usual_drawdown(words, 100 * models::drawdown_m3(t) / t.total_volume_m3);
}

void demand(Scenario const& s, Words& words) {
    for (models::WaterUse const& use : s.demand.uses)
        if (use.tap_flow_m3_s > 0)
            usual(words, ("use." + use.name + ".tap_flow").c_str(), use.tap_flow_m3_s / models::m3_s_per_gpm,
                  0.5, 30, "gpm", "the flow while its taps are open is meant");
    if (s.demand.uses.empty()) {
        usual(words, s.demand.series ? "demand.series" : "demand.daily",
              s.demand.daily_m3 / models::m3_per_gal, 20, 5000, "gal/day",
              "50 to 100 gal a person and day are common (Penn State Extension, 2022)");
        usual(words, "demand.tap_flow", s.demand.tap_flow_m3_s / models::m3_s_per_gpm, 0.5, 30, "gpm",
              "the flow while taps are open is meant");
    }
}

void battery_and_sun(Scenario const& s, Words& words) {
    if (s.battery.capacity_kwh > 0)
        usual(words, "battery.capacity", s.battery.capacity_kwh, 1, 100, "kWh", "houses have 3 to 60 kWh");
    usual(words, "battery.usable_fraction", 1 - s.battery.min_soc, 0.3, 1, "",
          "lithium batteries use 80 to 90 %, lead-acid half");
    double const round_trip = s.battery.charge_efficiency * s.battery.discharge_efficiency;
    usual(words, "battery.charge_efficiency and discharge_efficiency", round_trip, 0.7, 0.98, "round trip",
          "lithium batteries return 92 to 95 %, lead-acid 75 to 85 %");
    if (s.battery_v > 0 && s.battery_v <= 13 && s.inverter.rated_power_w > 2000)
        words.push_back(
            "battery.nominal_voltage: 12 V and an inverter above 2 kW mean some 200 A and more; 48 V is "
            "usual");
    double const array_w = models::array_rated_power_w(s.array);
    if (array_w > 0) usual(words, "array", array_w * 1e-3, 0.2, 20, "kW of modules", "check the unit");
    if (s.plane.tilt_deg > 75 && s.tilt_changes.empty() && !s.tracker)
        words.push_back(
            fmt::format("array.tilt: {:.0f} deg stands almost upright; latitude plus 10 to 15 degrees "
                        "is usual for winter",
                        s.plane.tilt_deg));
}

void inverter_and_backup(Scenario const& s, Words& words) {
    models::InverterParameters const& i = s.inverter;
    usual(words, "inverter.rated_power", i.rated_power_w * 1e-3, 0.5, 20, "kW", "check the unit");
    if (i.idle_w > 0)
        usual(words, "inverter.idle", i.idle_w, 5, 150, "W",
              "0.3 to 2 % of the rating is common, and it runs day and night");
    for (auto const& surge : i.surge)
        if (surge.ratio > 4)
            words.push_back(
                fmt::format("inverter.surge_power: {:.1f} times the rating for {:g} s is more than "
                            "inverters are built for (1.5 to 3)",
                            surge.ratio, surge.seconds));
    if (s.generator) {
        usual(words, "generator.rated_power", s.generator->rated_power_w * 1e-3, 0.8, 30, "kW",
              "check the unit");
        if (s.charger.dc_power_limit_w > 0.9 * s.generator->rated_power_w && s.rules.charge_to > 0)
            words.push_back(
                "charger.power_limit: more than 90 % of the generator's rating leaves no room to start "
                "the pump");
    }
    for (ScenarioLoad const& load : s.loads)
        if (load.load.power_w > 3000)
            words.push_back(fmt::format("load.{}: {:.0f} W is more than a small load; check the unit",
                                        load.load.name, load.load.power_w));
}

}  // namespace

std::vector<std::string> unusual_values(Scenario const& scenario) {
    Words words;
    motor_and_pump(scenario, words);
    well_and_tank(scenario, words);
    demand(scenario, words);
    battery_and_sun(scenario, words);
    inverter_and_backup(scenario, words);
    return words;
}

}  // namespace holdwater::scenarios
