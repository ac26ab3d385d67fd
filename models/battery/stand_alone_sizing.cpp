#include "models/battery/stand_alone_sizing.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(RepeatingDay const& d) {
    require(d.load_kw >= 0 && std::isfinite(d.load_kw), "load_kw", d.load_kw, "must be >= 0");
    require(d.sun_h > 0 && d.sun_h <= 24, "sun_h", d.sun_h, "must be above 0 and at most 24");
    require(d.charge_efficiency > 0 && d.charge_efficiency <= 1, "charge_efficiency", d.charge_efficiency,
            "must be above 0 and at most 1");
    require(d.discharge_efficiency > 0 && d.discharge_efficiency <= 1, "discharge_efficiency",
            d.discharge_efficiency, "must be above 0 and at most 1");
}

double needed_pv_kwh(RepeatingDay const& d) {
    double const night_kwh = d.load_kw * (24 - d.sun_h);
    return d.load_kw * d.sun_h + night_kwh / (d.charge_efficiency * d.discharge_efficiency);
}

double autonomy_capacity_kwh(RepeatingDay const& d, double days, double depth) {
    return days * 24 * d.load_kw / d.discharge_efficiency / depth;
}

double sized_battery_ah(double daily_load_ah, double days, double depth, double daily_depth,
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
