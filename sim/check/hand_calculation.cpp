#include "sim/check/hand_calculation.hpp"

#include <limits>

#include "models/electric/small_loads.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim {

DayByHand day_by_hand(scenarios::Scenario const& s) {
    DayByHand day;
    std::vector<models::SmallLoad> loads;
    for (auto const& l : s.loads) loads.push_back(l.load);
    double const base_w = 1e3 * models::day_energy_kwh(models::day_load(loads)) / 24;
    day.base_kwh = 24e-3 * models::dc_input_w(s.inverter, base_w);
    day.water_m3 = check_detail::busiest_day_m3(s.demand);
    for (auto const& p : check_detail::make_design(s, {}).pumps) {
        double const kpa = p.at_tank ? 0.5 * (s.tank.cut_in_kpa + s.tank.cut_out_kpa) : 0;
        auto const o = check_detail::point_at(p, kpa);
        if (!(o.flow_m3_s > 0)) continue;
        double const watts_in = o.electrical_w / (p.drive != nullptr ? p.drive->efficiency : 1);
        double const hours = day.water_m3 / o.flow_m3_s / 3600;
        day.pump_kwh +=
            1e-3 * hours *
            (models::dc_input_w(s.inverter, base_w + watts_in) - models::dc_input_w(s.inverter, base_w));
        if (p.drive != nullptr) day.base_kwh += 24e-3 * p.drive->standby_w;
    }
    day.base_kwh += 24e-3 * (s.battery_standby_w + s.controller.standby_w);
    day.usable_kwh = s.battery.capacity_kwh * (1 - s.battery.min_soc) * s.battery.discharge_efficiency;
    return day;
}

double days_by_hand(DayByHand const& day, double usable_kwh) {
    double const kwh = day.base_kwh + day.pump_kwh;
    if (kwh > 0) return usable_kwh / kwh;
    return usable_kwh > 0 ? std::numeric_limits<double>::infinity() : 0;
}

}  // namespace holdwater::sim
