#include "sim/inputs/make_water_system.hpp"

#include <algorithm>
#include <map>

namespace holdwater::sim {
namespace {

constexpr int bands = 24;  // of water level, between static level and dry-run trip

MotorDuty duty_of(models::MotorParameters const& m) {
    auto const start = models::start_draw(m);
    MotorDuty duty;
    duty.start_power_w = start.power_w;
    duty.start_extra_j =
        std::max(0.0, (start.power_w - models::electrical_input_w(m, m.rated_power_w)) * start.seconds);
    duty.min_rest_s = m.min_rest_s;
    // A drive starts without surge, so its runs may be short.
    duty.least_run_s = m.wiring == models::MotorWiring::drive ? 0 : m.min_run_s;
    duty.starts_limit_per_day = models::max_starts_per_day(m);
    duty.start_s = start.seconds;
    duty.start_a = start.current_a;
    duty.running_a = models::running_current_a(m, m.rated_power_w);
    return duty;
}

// The well, and the lift at each level that has its own curve.
std::optional<WellSystem> make_well(scenarios::Scenario const& scenario,
                                    std::vector<models::LiftParameters>& lifts) {
    auto const& levels = scenario.well.static_level_m;
    WellSystem well;
    if (!scenario.well.casing) {
        std::map<double, std::size_t> curve_of_level;
        for (std::size_t month = 0; month < 12; ++month) {
            auto const [found, is_new] = curve_of_level.try_emplace(levels[month], lifts.size());
            well.curve_of_month[month] = found->second;
            if (!is_new) continue;
            lifts.push_back(scenario.lift);
            lifts.back().static_level_m = levels[month];
        }
        if (lifts.size() > 1) return well;
        return std::nullopt;
    }
    well.casing = scenario.well.casing;
    well.aquifer = scenario.well.aquifer;
    double const top_m = *std::min_element(levels.begin(), levels.end());
    double const trip_m = well.casing->intake_depth_m - well.casing->cover_m;
    for (int i = 0; i <= bands; ++i) well.band_edges_m.push_back(top_m + (trip_m - top_m) * i / bands);
    for (std::size_t i = 0; i < bands; ++i) {
        lifts.push_back(scenario.lift);
        lifts.back().static_level_m = 0.5 * (well.band_edges_m[i] + well.band_edges_m[i + 1]);
        lifts.back().specific_capacity_m2_s = std::numeric_limits<double>::infinity();
    }
    return well;
}

// The pump at the pressure tank.
void add_pressure_pump(WaterSystem& s, models::PressureTankParameters const& tank,
                       scenarios::PumpSet const& set, std::vector<models::LiftParameters> const& lifts) {
    s.tank = tank;
    s.motor = duty_of(set.motor);
    models::PumpCurve const pump(set.pump);
    auto const water = models::water_at(lifts.front().water_temperature_c);
    s.constant_pressure = set.drive.has_value();
    if (lifts.size() == 1 && !set.drive) {
        s.fill = models::make_fill_curve(tank, pump, set.motor, set.piping, lifts.front(), water);
        return;
    }
    for (auto const& lift : lifts) {
        if (set.drive) {
            s.pump_at_level.push_back(
                models::make_drive_curve(tank, pump, set.motor, *set.drive, set.piping, lift, water));
        } else {
            s.pump_at_level.emplace_back().full_speed =
                models::make_fill_curve(tank, pump, set.motor, set.piping, lift, water);
        }
    }
    s.fill = s.pump_at_level.front().full_speed;
}

CisternSystem make_cistern(scenarios::Scenario const& scenario,
                           std::vector<models::LiftParameters> const& lifts) {
    auto const& given = *scenario.cistern;
    CisternSystem c;
    c.cistern = given.cistern;
    c.rule = given.rule;
    c.sun_above_w = given.sun_above_w;
    c.battery_above_soc = given.battery_above;
    c.fill_hours = given.fill_hours;
    c.fill_band_m3 = given.fill_band_m3;
    c.start_m3 = given.start_m3;
    c.resume_m3 = given.resume_m3;
    c.gravity = !given.booster;
    c.outlet_elevation_m = given.outlet_elevation_m;
    c.water_temperature_c = scenario.lift.water_temperature_c;
    c.fill_motor = duty_of(scenario.motor);
    models::PumpCurve const pump(scenario.pump);
    auto const water = models::water_at(c.water_temperature_c);
    for (auto const& lift : lifts) {
        auto const o = models::operating_point(pump, scenario.motor, scenario.piping, lift, water, 0);
        c.filling.push_back({o.flow_m3_s, o.electrical_w});
    }
    return c;
}

}  // namespace

WaterSystem make_water_system(scenarios::Scenario const& scenario, bool starts_matter) {
    WaterSystem s;
    std::vector<models::LiftParameters> lifts;
    s.well = make_well(scenario, lifts);
    s.trough = scenario.trough;
    s.cutoff = scenario.cutoff;
    models::StartDraw const well_start =
        starts_matter ? models::start_draw(scenario.motor) : models::StartDraw{};
    if (!scenario.cistern) {
        add_pressure_pump(s, scenario.tank, {scenario.pump, scenario.motor, scenario.piping, scenario.drive},
                          lifts);
        s.pump_start = well_start;
        return s;
    }
    s.cistern = make_cistern(scenario, lifts);
    s.cistern->fill_start = well_start;
    auto const& given = *scenario.cistern;
    if (!given.booster) return s;
    models::LiftParameters lift;
    lift.flowing_well = true;
    lift.elevation_m = given.booster_lift_m;
    lift.water_temperature_c = scenario.lift.water_temperature_c;
    add_pressure_pump(s, scenario.tank, *given.booster, {lift});
    if (starts_matter) s.pump_start = models::start_draw(given.booster->motor);
    return s;
}

}  // namespace holdwater::sim
