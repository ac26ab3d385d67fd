#include "models/water/low_pressure_cutoff.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(LowPressureCutoff const& c) {
    require(c.cutoff_kpa >= 0 && c.cutoff_kpa <= 1000, "low_pressure_cutoff", c.cutoff_kpa,
            "must be 0 to 1000 kPa gauge");
    require(c.reset_after_h >= 1.0 / 60 && c.reset_after_h <= 8760, "reset_after_h", c.reset_after_h,
            "must be 1 min to 8760 h");
    require(c.attended_from_h >= 0 && c.attended_from_h < 24, "attended_from_h", c.attended_from_h,
            "must be a time of day");
    require(c.attended_to_h > c.attended_from_h && c.attended_to_h <= c.attended_from_h + 24, "attended_to_h",
            c.attended_to_h, "must be after attended_from_h, by 24 h at most");
    require(c.visit_every_h >= 24 && c.visit_every_h <= 8760, "visit_every_h", c.visit_every_h,
            "must be 24 to 8760 h");
}

}  // namespace holdwater::models
