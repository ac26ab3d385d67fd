#include "models/array/incidence_modifier.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(IncidenceParameters const& p) {
    require(p.ashrae_b0 >= 0 && p.ashrae_b0 <= 0.3, "ashrae_b0", p.ashrae_b0, "must be 0 to 0.3");
    require(p.glass_index > 1 && p.glass_index <= 2.5, "glass_index", p.glass_index,
            "must be above 1 and at most 2.5");
    require(p.extinction_per_m >= 0 && p.extinction_per_m <= 100, "extinction_per_m", p.extinction_per_m,
            "must be 0 to 100 per meter");
    require(p.glass_thickness_m >= 0 && p.glass_thickness_m <= 0.02, "glass_thickness_m", p.glass_thickness_m,
            "must be 0 to 0.02 m");
    require(p.coating_index == 0 || (p.coating_index > 1 && p.coating_index < p.glass_index), "coating_index",
            p.coating_index, "must be 0 for no coating, or between 1 and the index of the glass");
}

}  // namespace holdwater::models
