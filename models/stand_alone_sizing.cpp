#include "models/stand_alone_sizing.hpp"

#include <algorithm>
#include <limits>

namespace holdwater::models {

double needed_pv_kwh(RepeatingDay const& d) {
    double const night_kwh = d.load_kw * (24 - d.sun_h);
    return d.load_kw * d.sun_h + night_kwh / (d.charge_efficiency * d.discharge_efficiency);
}

double autonomy_capacity_kwh(RepeatingDay const& d, double days, double depth) {
    return days * 24 * d.load_kw / d.discharge_efficiency / depth;
}

double sized_bank_ah(double daily_load_ah, double days, double depth, double daily_depth,
                     double temperature_factor, double end_of_life_factor, double margin) {
    double const usable = std::max(days * daily_load_ah / depth, daily_load_ah / daily_depth);
    return usable / (temperature_factor * end_of_life_factor) * margin;
}

double array_a(double daily_load_ah, double array_to_load, double sun_h, double losses) {
    return array_to_load * daily_load_ah / (sun_h * (1 - losses));
}

double recharge_days(double removed_ah, double array_to_load, double daily_load_ah) {
    if (array_to_load <= 1) return std::numeric_limits<double>::infinity();
    return removed_ah / ((array_to_load - 1) * daily_load_ah);
}

}  // namespace holdwater::models
