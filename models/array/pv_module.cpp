#include "models/array/pv_module.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(LinearModule const& m) {
    require(m.rated_power_w >= 0 && m.rated_power_w <= 1e7, "rated_power_w", m.rated_power_w,
            "must be 0 W to 10 MW");
    require(m.gamma_per_k >= -0.01 && m.gamma_per_k <= 0, "gamma_per_k", m.gamma_per_k,
            "must be -0.01 to 0 per K; a data sheet's -0.37 %/K is -0.0037");
    require(m.low_light_efficiency >= 0.7 && m.low_light_efficiency <= 1.0, "low_light_efficiency",
            m.low_light_efficiency, "must be 0.7 to 1: efficiency at 200 over that at 1000 W/m2");
}

}  // namespace holdwater::models
