#include "models/demand.hpp"

#include <cmath>

#include "models/parameter_error.hpp"

namespace holdwater::models {

void validate(DayProfile const& profile) {
    double sum = 0;
    for (double const w : profile) {
        require(w >= 0 && std::isfinite(w), "profile", w, "every hour's weight must be >= 0");
        sum += w;
    }
    require(sum > 0, "profile", sum, "must not be all zero");
}

std::array<double, 24> hourly_volumes_m3(DayProfile const& profile, double daily_m3) {
    double sum = 0;
    for (double const w : profile) sum += w;
    std::array<double, 24> out{};
    for (std::size_t h = 0; h < 24; ++h) out[h] = daily_m3 * (profile[h] / sum);
    return out;
}

TapOpening tap_opening(HourDemand const& d) {
    constexpr double hour_s = 3600;
    if (d.volume_m3 <= 0) return {0, d.tap_flow_m3_s};
    double const mean = d.volume_m3 / hour_s;
    if (!(d.tap_flow_m3_s > mean)) return {hour_s, mean};
    return {d.volume_m3 / d.tap_flow_m3_s, d.tap_flow_m3_s};
}

}  // namespace holdwater::models
