#include "sim/year/summarize.hpp"

#include <algorithm>

#include "models/electric/motor.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/battery_life.hpp"

namespace holdwater::sim {

double start_heating_index(HourRecord const& r, MotorDuty const& motor) {
    if (r.pump_starts < 2 || !(motor.running_a > 0) || !(motor.start_a > 0)) return 0;
    double const on_s = std::max(r.pump_run_h * seconds_per_hour / r.pump_starts, motor.start_s);
    double const off_s = std::max(seconds_per_hour / r.pump_starts - on_s, 0.0);
    return models::start_heating_index(motor.start_a, motor.running_a, motor.start_s, on_s, off_s);
}

double energy_residual_kwh(Summary const& s, double other_losses_kwh, double gained_kwh) {
    return s.pv_used_kwh + s.grid_kwh + s.generator_kwh - s.ac_served_kwh - s.inverter_loss_kwh -
           s.pass_through_loss_kwh - other_losses_kwh - s.battery_loss_kwh - gained_kwh;
}

void add_by_price(scenarios::Tariff const& tariff, double now_h, double grid_kwh, double& peak_kwh,
                  double& low_kwh) {
    double const clock_h = models::hour_of_day(now_h);
    if (tariff.peak.has(clock_h)) peak_kwh += grid_kwh;
    if (tariff.low.has(clock_h)) low_kwh += grid_kwh;
}

YearBooks::YearBooks(RunResult& result, System const& system, RunStart const& start)
    : result_(result), s_(system), start_(start) {
    full_.go_on(system.start_soc, full_soc, 0);
}

void YearBooks::add_day(std::span<HourRecord const> hours) {
    if (hours.empty()) return;
    Summary& s = result_.summary;
    Findings& f = result_.findings;
    DayRecord& d = result_.days.emplace_back();
    HourRecord const sum = sum_of(hours);
    // Local copies, so that they stay in registers during the loop.
    double coldest_c = f.battery_coldest_c, soc_min = d.soc_min;
    auto full = full_;
    for (HourRecord const& r : hours) {
        soc_min = std::min(soc_min, r.battery_soc);
        coldest_c = std::min(coldest_c, r.battery_temperature_c);
        full.go_on(r.battery_soc, full_soc, 1);
        f.start_heating_index = std::max(f.start_heating_index, start_heating_index(r, s_.motor));
    }
    f.battery_coldest_c = coldest_c;
    d.soc_min = soc_min;
    full_ = full;
    // If no water is short, in these hours or just before, there is nothing to count.
    if (dry_.run_h > 0 || sum.water_short_m3 > some_water_m3)
        for (HourRecord const& r : hours) {
            bool const dry = r.water_short_m3 > some_water_m3;
            d.shortage_hours += dry ? 1 : 0;
            dry_.add(dry, r.water_demand_m3 > 0);
        }
    d.pv_available_kwh = sum.pv_available_kw;
    d.pump_kwh = sum.pump_kw;
    d.load_kwh = sum.load_served_kw;
    d.grid_kwh = sum.grid_kw;
    d.generator_kwh = sum.generator_kw;
    d.water_delivered_m3 = sum.water_delivered_m3;
    d.water_short_m3 = sum.water_short_m3;
    d.pump_starts = sum.pump_starts;
    d.soc_end = hours.back().battery_soc;

    s.water_demand_m3 += sum.water_demand_m3;
    s.water_delivered_m3 += sum.water_delivered_m3;
    s.water_short_m3 += sum.water_short_m3;
    pumped_m3_ += sum.water_pumped_m3;
    spilled_m3_ += sum.water_spilled_m3;
    s.pump_starts += sum.pump_starts;
    s.pump_run_h += sum.pump_run_h;
    s.pv_available_kwh += sum.pv_available_kw;
    s.pv_used_kwh += sum.pv_used_kw;
    s.pv_curtailed_kwh += sum.pv_curtailed_kw;
    s.battery_in_kwh += sum.battery_charge_kw;
    s.battery_out_kwh += sum.battery_discharge_kw;
    s.battery_loss_kwh += sum.battery_loss_kw;
    s.ac_served_kwh += sum.load_served_kw + sum.pump_kw;
    s.load_unserved_kwh += sum.load_unserved_kw;
    s.pump_energy_kwh += sum.pump_kw;
    s.inverter_loss_kwh += sum.inverter_loss_kw;
    s.pass_through_loss_kwh += sum.pass_through_loss_kw;
    s.grid_kwh += sum.grid_kw;
    if (s_.rules.tariff && sum.grid_kw > 0)
        for (std::size_t i = 0; i < hours.size(); ++i)
            add_by_price(*s_.rules.tariff, result_.clock.first_hour + hours_ + static_cast<double>(i),
                         hours[i].grid_kw, s.grid_peak_kwh, s.grid_low_kwh);
    s.generator_kwh += sum.generator_kw;
    s.generator_run_h += sum.generator_run_h;
    s.generator_fuel_l += sum.generator_fuel_l;
    other_losses_kwh_ += sum.controller_loss_kw + sum.standby_kw + sum.heater_kw + sum.charger_loss_kw;
    soc_sum_ += sum.battery_soc;

    f.fill_pump_starts += sum.fill_pump_starts;
    f.fill_pump_run_h += sum.fill_pump_run_h;
    f.water_spilled_m3 += sum.water_spilled_m3;
    f.charge_refused_h += sum.charge_refused_h;
    s.max_starts_per_day = std::max(s.max_starts_per_day, d.pump_starts);
    f.longest_day_run_h = std::max(f.longest_day_run_h, sum.pump_run_h);
    hours_ += static_cast<double>(hours.size());
    HourRecord const& end = hours.back();
    end_stored_kwh_ = end.battery_stored_kwh;
    end_water_m3_ = end.tank_water_m3 + end.cistern_water_m3 + end.trough_water_m3;
}

void YearBooks::finish() {
    if (hours_ == 0) return;
    Summary& s = result_.summary;
    Findings& f = result_.findings;
    s.shortage_hours = dry_.hours;
    s.longest_shortage_h = dry_.longest_h;
    s.demand_met_fraction = s.water_demand_m3 > 0 ? s.water_delivered_m3 / s.water_demand_m3 : 1;
    s.battery_equivalent_cycles =
        s_.battery.capacity_kwh > 0 ? s.battery_out_kwh / s_.battery.capacity_kwh : 0;
    s.soc_mean = soc_sum_ / hours_;
    s.energy_residual_kwh =
        energy_residual_kwh(s, other_losses_kwh_, end_stored_kwh_ - start_.battery_stored_kwh);
    s.water_residual_m3 =
        pumped_m3_ - s.water_delivered_m3 - spilled_m3_ - (end_water_m3_ - start_.water_m3());
    f.full_charges = full_.full_charges;
    f.longest_without_full_h = full_.longest_gap_h;
}

}  // namespace holdwater::sim
