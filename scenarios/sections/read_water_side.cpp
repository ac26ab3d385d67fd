#include "scenarios/sections/read_water_side.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "models/numeric/trade_units.hpp"
#include "scenarios/sections/level_band.hpp"
#include "scenarios/sections/read_cistern.hpp"
#include "scenarios/sections/read_demand.hpp"
#include "scenarios/sections/read_pump.hpp"
#include "scenarios/sections/read_well.hpp"
#include "scenarios/settings/metered_pump.hpp"

namespace holdwater::scenarios {
namespace {

// Keys of a pressure switch with a low-pressure cutoff.
void read_cutoff(Section& s, Scenario& scenario) {
    auto const keys = {"low_pressure_reset", "reset_after", "attended_from", "attended_to", "visit_every"};
    if (!s.has("low_pressure_cutoff")) {
        for (auto const* key : keys)
            if (s.has(key)) s.fail(key, "needs low_pressure_cutoff, the pressure at which the switch opens");
        return;
    }
    models::LowPressureCutoff c;
    c.cutoff_kpa = s.quantity("low_pressure_cutoff", "kPa", {0, 700});
    if (c.cutoff_kpa >= scenario.tank.cut_in_kpa)
        s.fail("low_pressure_cutoff", "must be below cut_in; about 10 psi below is common");
    c.by_hand = s.choice("low_pressure_reset",
                         std::array{std::pair{std::string_view("by-hand"), true},
                                    std::pair{std::string_view("automatic"), false}},
                         true);
    c.reset_after_h = s.quantity("reset_after", "h", {1.0 / 60, 8760}, c.by_hand ? 0.5 : 5.0 / 60);
    bool const hours = s.has("attended_from") || s.has("attended_to"), visits = s.has("visit_every");
    if (!c.by_hand) {
        for (auto const* key : {"attended_from", "attended_to", "visit_every"})
            if (s.has(key)) s.fail(key, "is for low_pressure_reset = \"by-hand\": this one resets itself");
    } else if (!hours && !visits) {
        s.fail("low_pressure_cutoff",
               "a switch that is reset by hand needs someone: give attended_from and attended_to (such as "
               "\"07:00\" and \"22:00\"), visit_every (such as \"72 h\"), or low_pressure_reset = "
               "\"automatic\"");
    }
    if (s.has("attended_from") != s.has("attended_to"))
        s.fail(s.has("attended_from") ? "attended_from" : "attended_to",
               "give attended_from and attended_to: from when to when is someone on site?");
    if (hours || visits) {
        c.attended_from_h = s.clock_time("attended_from", 12);
        c.attended_to_h = s.clock_time("attended_to", 13);
        if (c.attended_to_h <= c.attended_from_h) c.attended_to_h += 24;
    }
    c.visit_every_h = s.quantity("visit_every", "h", {24, 8760}, 24);
    s.checked([&] { models::validate(c); });
    scenario.cutoff = c;
}

void read_tank(Section& s, Scenario& scenario) {
    models::PressureTankParameters& t = scenario.tank;
    if (s.has("volumes")) {
        if (s.has("volume")) s.fail("volume", "give volume or volumes, not both");
        auto const each = s.list("volumes", 0, "m3", {0.002, 20});
        t.total_volume_m3 = std::accumulate(each.begin(), each.end(), 0.0);
    } else {
        t.total_volume_m3 = s.quantity("volume", "m3", {0.002, 20}) * s.count("count", 1, 20, 1);
    }
    t.cut_in_kpa = s.quantity("cut_in", "kPa", {60, 700});
    t.cut_out_kpa = s.quantity("cut_out", "kPa", {80, 800});
    t.precharge_kpa =
        s.quantity("precharge", "kPa", {0, 700}, std::max(t.cut_in_kpa - 2 * models::kpa_per_psi, 0.0));
    t.air_fraction = s.number("air_left", {0.01, 1}, 1);
    t.atmosphere_kpa = models::standard_atmosphere_kpa_at(scenario.elevation_m);
    s.checked([&] { models::validate(t); });
    read_cutoff(s, scenario);
    if (t.precharge_kpa < t.cut_in_kpa - 6 * models::kpa_per_psi)
        scenario.warnings.push_back(
            fmt::format("tank.precharge: {:.0f} kPa below cut-in; 13.8 kPa is common, and the less air, the "
                        "smaller the drawdown",
                        t.cut_in_kpa - t.precharge_kpa));
    s.finish();
}

models::LiftParameters booster_lift(CisternSettings const& c, models::LiftParameters const& well) {
    models::LiftParameters lift;
    lift.flowing_well = true;
    lift.elevation_m = c.booster_lift_m;
    lift.water_temperature_c = well.water_temperature_c;
    return lift;
}

void read_pump_gate(Section s, Scenario& scenario) {
    models::PumpGate gate;
    if (s.has("from") != s.has("until"))
        s.fail("from", "a part of the day needs from and until, such as \"09:00\" and \"15:00\"");
    gate.from_h = s.clock_time("from", 0);
    gate.until_h = s.clock_time("until", 0);
    if (s.has("from") && gate.from_h == gate.until_h)
        s.fail("until", "is the same as from: give two times of day, or leave both out");
    gate.battery_above = s.number("battery_above", {0, 1}, gate.battery_above);
    gate.surplus_above_w = s.quantity("surplus_above", "W", {0, 1e6}, gate.surplus_above_w);
    if (!s.has("from") && std::isinf(gate.battery_above) && std::isinf(gate.surplus_above_w))
        s.fail(
            "battery_above",
            "give from and until, battery_above or surplus_above, or several: when may the well pump run?");
    if (s.has("battery_band") && std::isinf(gate.battery_above))
        s.fail("battery_band", "needs battery_above");
    gate.battery_band = s.number("battery_band", {least_band, 1}, gate.battery_band);
    if (!s.has("battery_band")) gate.battery_band = std::min(gate.battery_band, gate.battery_above);
    s.checked([&] { models::validate(gate); });
    if (std::isfinite(gate.battery_above) &&
        gate.battery_above - gate.battery_band < scenario.battery.min_soc)
        scenario.warnings.push_back(fmt::format(
            "pump_gate.battery_above: it shuts at {:g}, below the battery's minimum SOC {:g}: it never will",
            gate.battery_above - gate.battery_band, scenario.battery.min_soc));
    scenario.pump_gate = gate;
    s.finish();
}

// Whether the pump reaches cut-out at the deepest water level: an error for the static level, a warning for
// the level at the cover over the intake.
void check_reach(Section& tank, Section& well, Scenario& scenario) {
    auto const water = models::water_at(scenario.lift.water_temperature_c);
    models::PumpCurve const pump(scenario.pump);
    double const cut_out_kpa = scenario.tank.cut_out_kpa;
    if (scenario.cistern) {
        if (models::shut_off_pressure_kpa(pump, scenario.lift, water) <= 0)
            well.fail("lift_to_tank",
                      well.in_own_units(
                          fmt::format("the pump's shut-off head ({:.1f} m) does not lift the water to the "
                                      "cistern",
                                      pump.shut_off_head_m)));
        if (auto const& booster = scenario.cistern->booster)
            tank.checked([&] {
                models::require_reaches_cut_out(models::PumpCurve(booster->pump),
                                                booster_lift(*scenario.cistern, scenario.lift), water,
                                                cut_out_kpa);
            });
        return;
    }
    tank.checked([&] { models::require_reaches_cut_out(pump, scenario.lift, water, cut_out_kpa); });
    if (!scenario.well.casing) return;
    auto lowest = scenario.lift;
    lowest.static_level_m = scenario.well.casing->intake_depth_m - scenario.well.casing->cover_m;
    double const most_kpa = models::shut_off_pressure_kpa(pump, lowest, water);
    if (most_kpa <= cut_out_kpa)
        scenario.warnings.push_back(
            fmt::format("tank.cut_out: with the well drawn down to the intake's cover the pump tops out at "
                        "{:.0f} kPa and does not switch off until the well recovers or trips",
                        most_kpa));
}

}  // namespace

void read_water_side(Section& root, Scenario& scenario, std::shared_ptr<DemandSeries const> stored) {
    Section well = root.table("well");
    bool const lift = root.attempt(true, [&] { read_well(well, scenario); });
    bool const pump = root.attempt(true, [&] { scenario.pump = read_pump(root.table("pump")); });
    bool const motor = root.attempt(
        true, [&] { scenario.motor = read_motor(root.table("motor"), "motor", scenario.warnings); });
    bool const pipes = root.attempt(true, [&] { scenario.piping = read_piping(root); });
    (void)root.has("drive");  // the drive is read only if pump and motor were read
    bool const set = pump && motor && root.attempt(true, [&] {
        scenario.drive = read_drive(root, scenario.motor, scenario.pump);
    });
    bool const gate = root.attempt(true, [&] {
        if (auto s = root.optional_table("pump_gate")) read_pump_gate(*s, scenario);
    });
    bool const cistern = root.attempt(lift, [&] { read_cistern(root, scenario); });
    bool const trough = root.attempt(true, [&] { read_trough(root, scenario); });
    bool const gravity = cistern && scenario.cistern && !scenario.cistern->booster;
    if (gravity && root.has("tank"))
        root.fail("tank", "the taps run from the cistern by gravity; add a [booster] or leave the tank out");
    bool const no_tank =
        gravity || (!cistern && !root.has("tank"));  // an error of the cistern is reported first
    Section tank = no_tank ? well : root.table("tank");
    bool const pressure = root.attempt(true, [&] {
        if (!no_tank) read_tank(tank, scenario);
    });
    bool const demand = root.attempt(trough, [&] { read_demand(root, scenario, std::move(stored)); });
    if (!(lift && set && pipes && gate && cistern && pressure && demand)) return;
    check_reach(tank, well, scenario);
    bool const driven = scenario.cistern ? scenario.cistern->booster && scenario.cistern->booster->drive
                                         : scenario.drive.has_value();
    if (scenario.cutoff && driven)
        tank.fail(
            "low_pressure_cutoff",
            "is a lever of a mechanical pressure switch, and a drive holds the pressure by itself: leave it "
            "out, with low_pressure_reset, reset_after, attended_from, attended_to and visit_every. What "
            "stops a pump behind a drive is a dry well: give well.intake_depth, restart_delay and "
            "restart_tries");
    if (scenario.demand.metered_pump_w > 0 && scenario.cistern)
        root.fail("demand", "metered_pump_energy belongs to one pump; with a cistern there are two");
    if (auto const warning = metered_pump_warning(scenario); !warning.empty())
        scenario.warnings.push_back(warning);
}

}  // namespace holdwater::scenarios
