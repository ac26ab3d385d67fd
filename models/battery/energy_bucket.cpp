#include "models/battery/energy_bucket.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(EnergyBucketParameters const& p) {
    require(p.capacity_kwh >= 0 && std::isfinite(p.capacity_kwh), "capacity_kwh", p.capacity_kwh,
            "must be >= 0 and finite");
    require(p.charge_efficiency > 0 && p.charge_efficiency <= 1, "charge_efficiency", p.charge_efficiency,
            "must be above 0 and at most 1");
    require(p.discharge_efficiency > 0 && p.discharge_efficiency <= 1, "discharge_efficiency",
            p.discharge_efficiency, "must be above 0 and at most 1");
    require(p.min_soc >= 0 && p.min_soc < 1, "min_soc", p.min_soc,
            "must be at least 0 and below 1: it is 1 minus the depth of discharge allowed");
    require(p.charge_limit_kw >= 0, "charge_limit_kw", p.charge_limit_kw, "must be >= 0");
    require(p.discharge_limit_kw >= 0, "discharge_limit_kw", p.discharge_limit_kw, "must be >= 0");
    require(p.self_discharge_per_h >= 0 && p.self_discharge_per_h < 0.1, "self_discharge_per_h",
            p.self_discharge_per_h, "must be at least 0 and below 0.1: 3 % a month is 4.2e-5");
}

double self_discharge_per_h(double fraction_per_month) {
    require(fraction_per_month >= 0 && fraction_per_month < 1, "self_discharge_per_month", fraction_per_month,
            "must be at least 0 and below 1: 3 % is 0.03");
    return -std::log1p(-fraction_per_month) / 730;
}

}  // namespace holdwater::models
