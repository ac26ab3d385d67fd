#include "models/water/well.hpp"

#include <boost/math/special_functions/expint.hpp>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(WellParameters const& p) {
    require(p.intake_depth_m > 0 && p.intake_depth_m <= 1000, "intake_depth_m", p.intake_depth_m,
            "must be > 0 and <= 1000 m below the well head");
    require(p.cover_m >= 0, "cover_m", p.cover_m, "must be >= 0 m");
    for (double const level : p.static_level_m) {
        require(level >= 0, "static_level_m", level, "must be >= 0 m below the well head");
        require(p.intake_depth_m - p.cover_m > level, "intake_depth_m", p.intake_depth_m,
                "must lie below the static water level by more than the cover: the pump would run dry");
    }
    require(p.casing_inside_diameter_m >= 0.03 && p.casing_inside_diameter_m <= 2, "casing_inside_diameter_m",
            p.casing_inside_diameter_m, "must be 0.03..2 m");
    require(
        p.drop_pipe_outside_diameter_m >= 0 && p.drop_pipe_outside_diameter_m < p.casing_inside_diameter_m,
        "drop_pipe_outside_diameter_m", p.drop_pipe_outside_diameter_m,
        "must be >= 0 and fit into the casing");
    require(p.specific_capacity_m2_s > 0 && p.specific_capacity_m2_s < 1, "specific_capacity_m2_s",
            p.specific_capacity_m2_s, "must be > 0 m2/s: flow over drawdown from a pumping test");
    require(p.yield_limit_m3_s > 0, "yield_limit_m3_s", p.yield_limit_m3_s,
            "must be > 0 m3/s; leave out for none");
    require(p.restart_delay_s >= 0 && p.restart_delay_s <= 86400, "restart_delay_s", p.restart_delay_s,
            "must be 0..86400 s");
}

void validate(AquiferParameters const& a) {
    require(a.transmissivity_m2_s > 0, "transmissivity_m2_s", a.transmissivity_m2_s, "must be > 0 m2/s");
    require(a.storativity > 0 && a.storativity <= 0.5, "storativity", a.storativity,
            "must be > 0 and <= 0.5");
}

double theis_drawdown_m(AquiferParameters const& a, double flow_m3_s, double radius_m, double seconds) {
    if (seconds <= 0) return 0;
    double const u = radius_m * radius_m * a.storativity / (4 * a.transmissivity_m2_s * seconds);
    if (u > 700) return 0;
    return flow_m3_s / (4 * std::numbers::pi * a.transmissivity_m2_s) * boost::math::expint(1, u);
}

double theis_drawdown_m(AquiferParameters const& a, std::span<FlowChange const> changes, double radius_m,
                        double now_s) {
    double sum = 0;
    for (auto const& c : changes) sum += theis_drawdown_m(a, c.change_m3_s, radius_m, now_s - c.time_s);
    return sum;
}

}  // namespace holdwater::models
