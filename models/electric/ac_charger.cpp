#include "models/electric/ac_charger.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(AcChargerParameters const& p) {
    require(p.dc_power_limit_w >= 0, "dc_power_limit_w", p.dc_power_limit_w, "must be >= 0");
    require(p.efficiency > 0 && p.efficiency <= 1, "efficiency", p.efficiency,
            "must be above 0 and at most 1");
    require(p.power_factor > 0 && p.power_factor <= 1, "power_factor", p.power_factor,
            "must be above 0 and at most 1");
}

}  // namespace holdwater::models
