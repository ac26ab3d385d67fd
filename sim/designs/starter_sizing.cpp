#include "sim/designs/starter_sizing.hpp"

#include <algorithm>
#include <cmath>

#include "models/electric/conductor.hpp"
#include "models/numeric/parameter_error.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/pressure_tank.hpp"

namespace holdwater::sim {
namespace {

using scenarios::Backup;

// The stage with the highest flow first.
constexpr std::array starter_stage_table{
    StarterStage{20,
                 {0, 4, 8, 12, 16, 20, 24, 28, 32},
                 {29, 28.6, 27.9, 26.7, 24.9, 22.3, 18.6, 13.6, 7},
                 {0.0946, 0.1111, 0.1287, 0.1463, 0.1639, 0.1782, 0.1848, 0.1804, 0.1628}},
    StarterStage{10,
                 {0, 2, 4, 6, 8, 10, 12, 14, 16},
                 {27, 26.6, 25.9, 24.8, 23.1, 20.6, 17, 12, 5.5},
                 {0.0520, 0.0611, 0.0671, 0.0737, 0.0812, 0.0867, 0.0896, 0.0884, 0.0794}},
    StarterStage{5,
                 {0, 1, 2, 3, 4, 5, 6, 7, 8},
                 {24, 23.8, 23.2, 22.2, 20.7, 18.6, 15.7, 12, 7},
                 {0.0330, 0.0360, 0.0390, 0.0415, 0.0440, 0.0460, 0.0470, 0.0465, 0.0440}}};

constexpr double head_margin = 1.18, kpa_per_m_water = 9.80665;

double greatest_hp(StarterStage const& s) { return *std::max_element(s.shaft_hp.begin(), s.shaft_hp.end()); }

double shut_off_m(StarterStage const& s) { return s.head_ft.front() * models::m_per_ft; }

// Number of stages that the motor can drive within its service factor.
int most_stages(StarterStage const& s, models::MotorParameters const& m) {
    return static_cast<int>(m.rated_power_w * m.service_factor / models::w_per_hp / greatest_hp(s));
}

// Head in addition to the static level.
double head_above_m(StarterSite const& site) {
    return site.lift_to_tank_m + site.cut_out_kpa / kpa_per_m_water;
}

double up_to_step(double value, double step) { return step * std::ceil(value / step - 1e-9); }

double service_amps(models::MotorParameters const& m) {
    return models::running_current_a(m, m.rated_power_w * m.service_factor);
}

}  // namespace

std::span<StarterStage const> starter_stages() { return starter_stage_table; }

std::optional<StarterPump> choose_starter_pump(StarterSite const& site) {
    double const needed_m = head_margin * (site.static_level_m + head_above_m(site));
    for (auto const& stage : starter_stage_table) {
        int const needed = static_cast<int>(std::ceil(needed_m / shut_off_m(stage)));
        int const most = most_stages(stage, site.motor);
        if (needed <= most) return StarterPump{&stage, std::max(needed, static_cast<int>(0.7 * most))};
    }
    return std::nullopt;
}

double starter_reach_m(StarterSite const& site) {
    double reach_m = 0;
    for (auto const& stage : starter_stage_table)
        reach_m = std::max(reach_m, most_stages(stage, site.motor) * shut_off_m(stage));
    return reach_m / head_margin - head_above_m(site);
}

double starter_tank_m3(StarterSite const& site, StarterPump const& pump) {
    models::PressureTankParameters tank;
    tank.precharge_kpa = site.precharge_kpa;
    tank.cut_in_kpa = site.cut_in_kpa;
    tank.cut_out_kpa = site.cut_out_kpa;
    double const flow_m3_s = 1.3 * pump.stage->rated_gpm * models::m3_s_per_gpm;
    return models::volume_for_min_run_m3(tank, flow_m3_s, site.motor.min_run_s);
}

double starter_sun_h(double latitude_deg) {
    return std::clamp(5.5 - 0.07 * std::abs(latitude_deg), 1.5, 5.0);
}

StarterSizes size_starter(StarterSite const& site, StarterPump const& pump) {
    StarterSizes s{};
    bool const alone = site.backup == Backup::none;
    s.pump_w =
        models::electrical_input_w(site.motor, pump.stages * greatest_hp(*pump.stage) * models::w_per_hp);
    s.start_kva = models::locked_rotor_kva(site.motor);

    double const for_start_kw = 1.2 * s.start_kva / 2, for_running_kw = 1.6e-3 * s.pump_w;
    s.inverter_by =
        for_start_kw >= for_running_kw ? InverterDecider::motor_start : InverterDecider::running_load;
    s.inverter_kw = 18;
    for (double const kw : {12.0, 8.0, 6.0, 4.0})
        if (kw >= std::max(for_start_kw, for_running_kw)) s.inverter_kw = kw;
    s.idle_w = 7.5 * s.inverter_kw;

    double const pump_h = site.daily_m3 / (pump.stage->rated_gpm * models::m3_s_per_gpm) / 3600;
    s.daily_kwh = 1e-3 * (s.pump_w * pump_h + 24 * (site.small_loads_w + s.idle_w));

    s.sun_h = starter_sun_h(site.latitude_deg);
    s.array_kw = up_to_step((alone ? 1.7 : 1.2) * s.daily_kwh / (0.7 * s.sun_h), 0.4);

    s.battery_days = alone ? 3.0 : 1.5;
    double const for_days_kwh = s.battery_days * s.daily_kwh / 0.9, for_pump_kwh = 2e-3 * s.pump_w;
    s.battery_by = for_days_kwh >= for_pump_kwh ? BatteryDecider::days : BatteryDecider::pump_power;
    s.battery_kwh = up_to_step(std::max(for_days_kwh, for_pump_kwh), 5.12);

    s.charger_kw = std::min(0.3 * s.inverter_kw, 0.5 * s.battery_kwh);
    double const for_motor_kw = models::minimum_generator(site.motor).external_kw;
    if (site.generator_w) {
        s.generator_kw = *site.generator_w * 1e-3;
        s.charger_kw = std::min(s.charger_kw, std::max(0.5, s.generator_kw - for_motor_kw));
    } else {
        s.generator_kw = std::ceil(for_motor_kw + s.charger_kw);
    }
    return s;
}

std::string_view starter_cable_awg(models::MotorParameters const& m, double length_m) {
    double const amps = service_amps(m);
    for (auto const& c : models::copper_conductors()) {
        if (c.size == "14" || c.amp_60c < 1.25 * amps) continue;
        if (models::voltage_drop_v({length_m, models::ohm_per_m(c)}, amps) <= 0.04 * m.volts) return c.size;
    }
    return "4/0";
}

double starter_cable_mm2(models::MotorParameters const& m, double length_m) {
    double const amps = service_amps(m);
    try {
        return models::smallest_section_mm2(std::max(2.5, 1.25 * amps / 5), length_m, amps, m.volts, 0.04);
    } catch (models::ParameterError const&) {
        return models::common_sections_mm2().back();
    }
}

double starter_breaker_a(models::MotorParameters const& m, bool metric) {
    constexpr std::array<double, 9> metric_a{10, 16, 20, 25, 32, 40, 50, 63, 80};
    double const least_a = 1.6 * service_amps(m);
    if (!metric) return models::next_overcurrent_a(least_a);
    auto const* const found = std::lower_bound(metric_a.begin(), metric_a.end(), least_a);
    return found == metric_a.end() ? metric_a.back() : *found;
}

double starter_battery_amps(double inverter_kw) { return 1.25e3 * inverter_kw / 0.93 / 44; }

int starter_battery_cables_awg(double inverter_kw) {
    return static_cast<int>(std::ceil(starter_battery_amps(inverter_kw) / models::copper("4/0").amp_75c));
}

double starter_battery_cable_mm2(double inverter_kw) {
    auto const sections = models::common_sections_mm2();
    auto const found =
        std::lower_bound(sections.begin(), sections.end(), starter_battery_amps(inverter_kw) / 2.5);
    return found == sections.end() ? sections.back() : *found;
}

}  // namespace holdwater::sim
