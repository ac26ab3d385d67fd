#include "models/electric/small_loads.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(std::vector<SmallLoad> const& loads) {
    for (auto const& load : loads) {
        std::string const at = "load '" + load.name + "' ";
        require(load.power_w >= 0 && std::isfinite(load.power_w), at + "power_w", load.power_w,
                "must be >= 0");
        for (double share : load.profile)
            require(share >= 0 && share <= 1, at + "profile", share,
                    "must be between 0 and 1: the share of that hour the load runs");
        require(load.power_factor > 0 && load.power_factor <= 1, at + "power_factor", load.power_factor,
                "must be above 0 and at most 1");
        require(load.surge_va >= 0, at + "surge_va", load.surge_va, "must be >= 0");
        require(load.phantom_w >= 0, at + "phantom_w", load.phantom_w, "must be >= 0");
    }
}

DayLoad day_load(std::vector<SmallLoad> const& loads, int keep_priority) {
    DayLoad day{};
    for (auto const& load : loads) {
        if (load.priority > keep_priority) continue;
        double const pf = load.power_factor;
        double const var_per_w = std::sqrt(1 - pf * pf) / pf;
        for (std::size_t h = 0; h < day.size(); ++h) {
            double const share = load.profile[h];
            day[h].power_w += share * load.power_w + (1 - share) * load.phantom_w;
            day[h].reactive_var += share * load.power_w * var_per_w;
            if (share > 0) day[h].surge_va = std::max(day[h].surge_va, load.surge_va);
        }
    }
    return day;
}

double day_energy_kwh(DayLoad const& day) {
    double energy_wh = 0;
    for (auto const& hour : day) energy_wh += hour.power_w;
    return energy_wh / 1000;
}

}  // namespace holdwater::models
