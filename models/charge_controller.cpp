#include "models/charge_controller.hpp"

#include "models/parameter_error.hpp"

namespace holdwater::models {

void validate(ChargeControllerParameters const& p) {
    require(p.efficiency > 0 && p.efficiency <= 1, "efficiency", p.efficiency,
            "must be above 0 and at most 1");
    require(p.power_limit_w > 0, "power_limit_w", p.power_limit_w, "must be above 0 W");
    require(p.current_limit_a > 0, "current_limit_a", p.current_limit_a, "must be above 0 A");
    require(p.standby_w >= 0 && p.standby_w <= 100, "standby_w", p.standby_w, "must be 0 to 100 W");
}

}  // namespace holdwater::models
