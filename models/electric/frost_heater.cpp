#include "models/electric/frost_heater.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(FrostHeater const& h) {
    require(h.power_w > 0, "power_w", h.power_w, "must be > 0");
    require(h.thermostat_c >= -20 && h.thermostat_c <= 40, "thermostat_c", h.thermostat_c,
            "must be -20..40 degC");
    require(h.rise_k_per_w > 0 && h.rise_k_per_w <= 10, "rise_k_per_w", h.rise_k_per_w,
            "must be > 0 and <= 10 K/W");
    require(h.time_constant_h >= 0 && h.time_constant_h <= 240, "time_constant_h", h.time_constant_h,
            "must be 0..240 h");
    require(h.freezes_below_c < h.thermostat_c, "freezes_below_c", h.freezes_below_c,
            "must be below the thermostat's temperature");
}

}  // namespace holdwater::models
