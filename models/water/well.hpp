#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <span>

namespace holdwater::models {

/// Drilled or bored well with water stored in the casing.
///
/// State: drawdown s below the static water level. A ds/dt = pump flow - inflow, with
/// inflow = min(specific capacity * s, yield). Below the yield limit the solution is exponential with the
/// time constant A / specific capacity; at the limit it is a straight line. Both are exact and need no time
/// step. A is the cross section of the casing minus that of the drop pipe. Source: mass balance. Holds for
/// minutes to hours in small wells, without long-term decline (see theis_drawdown_m). The yield limit
/// represents a fracture: the inflow no longer rises when the level is below it. Levels are depths below the
/// wellhead, m. Cover, delay and tries are common practice, no source.
struct WellParameters {
    std::array<double, 12> static_level_m{};  // static water level by month, January first
    double intake_depth_m = 0;
    double cover_m = 3.048;  // least depth of water over the intake
    double casing_inside_diameter_m = 0.1524;
    double drop_pipe_outside_diameter_m = 0;  // 0 = not subtracted
    double specific_capacity_m2_s = 0;        // flow per meter of drawdown
    double yield_limit_m3_s = std::numeric_limits<double>::infinity();
    double restart_delay_s = 1800;
    int restart_tries = 3;  // trips in a row after which someone must reset it; negative: no limit
};

void validate(WellParameters const& p);

inline double casing_area_m2(WellParameters const& p) {
    double const d = p.casing_inside_diameter_m, o = p.drop_pipe_outside_diameter_m;
    return std::numbers::pi / 4 * (d * d - o * o);
}
inline double inflow_m3_s(WellParameters const& p, double drawdown_m) {
    return std::min(p.specific_capacity_m2_s * drawdown_m, p.yield_limit_m3_s);
}
/// Largest drawdown that leaves the cover over the intake. `month` 0..11.
inline double allowed_drawdown_m(WellParameters const& p, int month) {
    return p.intake_depth_m - p.cover_m - p.static_level_m[static_cast<std::size_t>(month)];
}

namespace well_detail {

/// Drawdown from which the yield limit applies.
inline double limit_drawdown_m(WellParameters const& p) {
    return p.yield_limit_m3_s / p.specific_capacity_m2_s;
}

}  // namespace well_detail

/// Seconds from one drawdown to another at a constant pump flow; infinity if never.
inline double time_to_drawdown_s(WellParameters const& p, double from_m, double to_m, double flow_m3_s) {
    constexpr double never = std::numeric_limits<double>::infinity();
    if (from_m == to_m) return 0;
    bool const falling_water = to_m > from_m;  // drawdown grows
    double const area = casing_area_m2(p), limit = well_detail::limit_drawdown_m(p);
    double time_s = 0, s = from_m;
    auto const straight_to = [&](double end) {
        double const rate = (flow_m3_s - p.yield_limit_m3_s) / area;
        if (falling_water ? rate <= 0 : rate >= 0) return never;
        return (end - s) / rate;
    };
    auto const curved_to = [&](double end) {
        double const settles = flow_m3_s / p.specific_capacity_m2_s;
        double const left = (end - settles) / (s - settles);
        if (!(left > 0) || left >= 1) return never;
        return -area / p.specific_capacity_m2_s * std::log(left);
    };
    if (falling_water) {
        if (s < limit) {
            double const end = std::min(to_m, limit);
            time_s += curved_to(end);
            s = end;
        }
        if (s < to_m) time_s += straight_to(to_m);
    } else {
        if (s > limit) {
            double const end = std::max(to_m, limit);
            time_s += straight_to(end);
            s = end;
        }
        if (s > to_m) time_s += curved_to(to_m);
    }
    return time_s;
}

/// Drawdown after `seconds` at a constant pump flow (0 = recovery).
inline double drawdown_after_m(WellParameters const& p, double drawdown_m, double flow_m3_s, double seconds) {
    double const area = casing_area_m2(p), limit = well_detail::limit_drawdown_m(p);
    double const settles = flow_m3_s / p.specific_capacity_m2_s;
    double s = drawdown_m, left_s = seconds;
    if (s > limit) {
        double const rate = (flow_m3_s - p.yield_limit_m3_s) / area;
        double const to_limit_s = rate < 0 ? (limit - s) / rate : std::numeric_limits<double>::infinity();
        if (to_limit_s >= left_s) return s + rate * left_s;
        left_s -= to_limit_s;
        s = limit;
    } else if (settles > limit) {
        double const to_limit_s = time_to_drawdown_s(p, s, limit, flow_m3_s);
        if (to_limit_s < left_s)
            return limit + (flow_m3_s - p.yield_limit_m3_s) / area * (left_s - to_limit_s);
    }
    return s - (s - settles) * -std::expm1(-left_s * p.specific_capacity_m2_s / area);
}

/// Aquifer around the well. Holds for a homogeneous, infinite, confined aquifer, a well through its full
/// depth, and no water stored in the casing (the first minutes, up to 25 casing radius^2 / transmissivity,
/// are wrong).
struct AquiferParameters {
    double transmissivity_m2_s = 0;
    double storativity = 1e-4;
};
void validate(AquiferParameters const& a);

/// Theis (1935): Q / (4 pi T) E1(u), u = r^2 S / (4 T t), as printed in Kansas Geological Survey Ground Water
/// Series 3 (1980). 0 at t <= 0.
double theis_drawdown_m(AquiferParameters const& a, double flow_m3_s, double radius_m, double seconds);
/// A change of the pump flow at a time.
struct FlowChange {
    double time_s = 0, change_m3_s = 0;
};
/// Superposition of Theis drawdowns over past changes of the flow.
double theis_drawdown_m(AquiferParameters const& a, std::span<FlowChange const> changes, double radius_m,
                        double now_s);

}  // namespace holdwater::models
