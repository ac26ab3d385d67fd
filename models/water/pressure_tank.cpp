#include "models/water/pressure_tank.hpp"

#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(PressureTankParameters const& p) {
    require(p.total_volume_m3 > 0 && p.total_volume_m3 <= 40, "total_volume_m3", p.total_volume_m3,
            "must be > 0 and <= 40 m3");
    require(p.atmosphere_kpa >= 20 && p.atmosphere_kpa <= 110, "atmosphere_kpa", p.atmosphere_kpa,
            "must be an absolute pressure of 20..110 kPa; 101.325 at sea level");
    require(p.cut_in_kpa > 0 && p.cut_in_kpa <= 1000, "cut_in_kpa", p.cut_in_kpa,
            "must be > 0 and <= 1000 kPa gauge");
    require(p.cut_out_kpa > p.cut_in_kpa, "cut_out_kpa", p.cut_out_kpa,
            "must lie above cut-in: the switch opens at the higher pressure");
    require(p.cut_out_kpa - p.cut_in_kpa >= 20 && p.cut_out_kpa <= 1400, "cut_out_kpa", p.cut_out_kpa,
            "must be at least 20 kPa above cut-in and at most 1400 kPa: a switch needs a band to work in");
    require(p.precharge_kpa >= 0, "precharge_kpa", p.precharge_kpa, "must be >= 0 kPa gauge");
    require(
        p.precharge_kpa <= p.cut_in_kpa, "precharge_kpa", p.precharge_kpa,
        "must not lie above cut-in: the tank would be empty before the switch starts the pump; set it about "
        "13.8 kPa below cut-in");
    require(p.air_fraction > 0 && p.air_fraction <= 1, "air_fraction", p.air_fraction,
            "must be > 0 and <= 1; 1 is a sound tank, smaller a water-logged one");
}

double volume_for_min_run_m3(PressureTankParameters p, double flow_m3_s, double min_run_s) {
    p.total_volume_m3 = 1;
    return flow_m3_s * min_run_s / drawdown_m3(p);
}

}  // namespace holdwater::models
