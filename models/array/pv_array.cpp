#include "models/array/pv_array.hpp"

#include <fmt/format.h>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(PvArrayParameters const& p) {
    if (p.module_model == ModuleModel::linear)
        validate(p.module);
    else
        validate(p.diode);
    require(p.modules_in_series >= 1 && p.modules_in_series <= 1000, "modules_in_series", p.modules_in_series,
            "must be 1 to 1000");
    require(p.strings_in_parallel >= 1 && p.strings_in_parallel <= 1000, "strings_in_parallel",
            p.strings_in_parallel, "must be 1 to 1000");
    validate(p.incidence);
    validate(p.temperature);
    require(p.dc_loss_fraction >= 0 && p.dc_loss_fraction <= 1, "dc_loss_fraction", p.dc_loss_fraction,
            "must be 0 to 1; 3 % is 0.03");
    require(p.wiring_loss_fraction_at_stc >= 0 && p.wiring_loss_fraction_at_stc <= 0.2,
            "wiring_loss_fraction_at_stc", p.wiring_loss_fraction_at_stc, "must be 0 to 0.2; 2 % is 0.02");
    require(p.age_factor >= 0 && p.age_factor <= 1, "age_factor", p.age_factor, "must be 0 to 1; new is 1");
    for (std::size_t m = 0; m < p.soiling_by_month.size(); ++m)
        require(p.soiling_by_month[m] >= 0 && p.soiling_by_month[m] <= 1,
                fmt::format("soiling_by_month[{}]", m + 1), p.soiling_by_month[m],
                "must be 0 to 1; 3 % is 0.03");
    require(p.shading_fraction >= 0 && p.shading_fraction <= 1, "shading_fraction", p.shading_fraction,
            "must be 0 to 1; 3 % is 0.03");
}

double array_rated_power_w(PvArrayParameters const& p) {
    double const module_w = p.module_model == ModuleModel::linear
                                ? p.module.rated_power_w
                                : maximum_power_point(p.diode, 1000, 25).power_w;
    return module_w * p.modules_in_series * p.strings_in_parallel;
}

}  // namespace holdwater::models
