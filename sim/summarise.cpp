#include "sim/summarise.hpp"

#include <algorithm>

#include "sim/water_side.hpp"

namespace holdwater::sim {

void summarise(RunResult& result, System const& system, RunStart const& start) {
    if (result.hours.empty()) return;
    Summary& s = result.summary;
    double standby = 0, controller_loss = 0, charger_loss = 0, pumped_m3 = 0, spilled_m3 = 0, soc_sum = 0,
           dry_run_h = 0;
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        HourRecord const& r = result.hours[i];
        std::size_t const day = i / 24;
        if (day == result.days.size()) result.days.emplace_back();
        DayRecord& d = result.days[day];
        bool const dry = r.water_unmet_m3 > some_water_m3;
        d.array_available_kwh += r.array_available_kw;
        d.pump_kwh += r.pump_kw;
        d.load_kwh += r.load_served_kw;
        d.grid_kwh += r.grid_kw;
        d.generator_kwh += r.generator_kw;
        d.water_delivered_m3 += r.water_delivered_m3;
        d.water_unmet_m3 += r.water_unmet_m3;
        d.pump_starts += r.pump_starts;
        d.dry_hours += dry ? 1 : 0;
        d.soc_min = std::min(d.soc_min, r.battery_soc);
        d.soc_end = r.battery_soc;

        s.water_demand_m3 += r.water_demand_m3;
        s.water_delivered_m3 += r.water_delivered_m3;
        s.water_unmet_m3 += r.water_unmet_m3;
        pumped_m3 += r.water_pumped_m3;
        spilled_m3 += r.water_spilled_m3;
        if (dry) {
            s.dry_hours += 1;
            dry_run_h += 1;
        } else if (r.water_demand_m3 > 0) {
            dry_run_h = 0;
        } else if (dry_run_h > 0) {
            dry_run_h += 1;
        }
        if (dry) s.longest_dry_h = std::max(s.longest_dry_h, dry_run_h);
        s.pump_starts += r.pump_starts;
        s.pump_run_h += r.pump_run_h;
        s.pv_available_kwh += r.array_available_kw;
        s.pv_used_kwh += r.array_used_kw;
        s.pv_curtailed_kwh += r.array_curtailed_kw;
        s.battery_in_kwh += r.battery_charge_kw;
        s.battery_out_kwh += r.battery_discharge_kw;
        s.battery_loss_kwh += r.battery_loss_kw;
        s.load_served_kwh += r.load_served_kw + r.pump_kw;
        s.load_unserved_kwh += r.load_unserved_kw;
        s.pump_energy_kwh += r.pump_kw;
        s.inverter_loss_kwh += r.inverter_loss_kw;
        s.grid_kwh += r.grid_kw;
        s.generator_kwh += r.generator_kw;
        s.generator_run_h += r.generator_run_h;
        s.generator_fuel_l += r.generator_fuel_l;
        controller_loss += r.controller_loss_kw;
        standby += r.standby_kw + r.heater_kw;
        charger_loss += r.charger_loss_kw;
        soc_sum += r.battery_soc;
    }
    for (DayRecord const& d : result.days)
        s.max_starts_per_day = std::max(s.max_starts_per_day, d.pump_starts);
    s.water_kept_fraction = s.water_demand_m3 > 0 ? s.water_delivered_m3 / s.water_demand_m3 : 1;
    s.battery_equivalent_cycles =
        system.bank.capacity_kwh > 0 ? s.battery_out_kwh / system.bank.capacity_kwh : 0;
    s.soc_mean = result.hours.empty() ? 0 : soc_sum / static_cast<double>(result.hours.size());
    s.energy_residual_kwh = s.pv_used_kwh + s.grid_kwh + s.generator_kwh - s.load_served_kwh -
                            s.inverter_loss_kwh - standby - controller_loss - charger_loss -
                            s.battery_loss_kwh - (result.hours.back().battery_stored_kwh - start.stored_kwh);
    HourRecord const& end = result.hours.back();
    s.water_residual_m3 = pumped_m3 - s.water_delivered_m3 - spilled_m3 -
                          (end.tank_water_m3 + end.cistern_water_m3 + end.trough_water_m3 - start.water_m3);
}

}  // namespace holdwater::sim
