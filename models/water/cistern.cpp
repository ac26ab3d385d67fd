#include "models/water/cistern.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(CisternParameters const& p) {
    require(p.capacity_m3 > 0 && p.capacity_m3 <= 10000, "capacity_m3", p.capacity_m3,
            "must be > 0 and <= 10000 m3");
    require(p.dead_m3 >= 0, "dead_m3", p.dead_m3, "must be >= 0 m3");
    require(p.reserve_m3 >= 0, "reserve_m3", p.reserve_m3, "must be >= 0 m3");
    require(usable_from_m3(p) < p.capacity_m3, "reserve_m3", p.reserve_m3,
            "dead and reserve volume must leave something usable below the overflow");
    require(p.fill_start_m3 >= usable_from_m3(p), "fill_start_m3", p.fill_start_m3,
            "must not lie below the usable band: filling would start only after the taps are dry");
    require(p.fill_stop_m3 > p.fill_start_m3, "fill_stop_m3", p.fill_stop_m3,
            "must lie above the level at which filling starts");
    require(p.fill_stop_m3 <= p.capacity_m3, "fill_stop_m3", p.fill_stop_m3,
            "must not lie above the overflow: the pump would spill for ever");
    require(
        p.fill_enough_m3 == 0 || (p.fill_enough_m3 > p.fill_start_m3 && p.fill_enough_m3 <= p.fill_stop_m3),
        "fill_enough_m3", p.fill_enough_m3,
        "must lie above the start and not above the stop; 0 for the stop itself");
    require(p.floor_area_m2 >= 0, "floor_area_m2", p.floor_area_m2, "must be >= 0 m2");
}

double autonomy_days(CisternParameters const& p, double volume_m3, double daily_m3) {
    if (daily_m3 <= 0) return std::numeric_limits<double>::infinity();
    return std::max(0.0, volume_m3 - usable_from_m3(p)) / daily_m3;
}

bool filling_called(CisternParameters const& p, FillRule rule, double volume_m3, bool filling, bool surplus) {
    if (volume_m3 >= p.fill_stop_m3) return false;
    bool const low = volume_m3 <= p.fill_start_m3;
    if (rule == FillRule::level) return low || filling;
    if (surplus || rule == FillRule::surplus_only) return surplus;
    double const enough_m3 = p.fill_enough_m3 > 0 ? p.fill_enough_m3 : p.fill_stop_m3;
    return low || (filling && volume_m3 < enough_m3);
}

double gravity_pressure_kpa(CisternParameters const& p, double volume_m3, double outlet_elevation_m,
                            Water const& water) {
    double const height_m = p.floor_area_m2 > 0 ? volume_m3 / p.floor_area_m2 : 0;
    return pressure_of_head_kpa(p.floor_elevation_m + height_m - outlet_elevation_m, water);
}

void validate(TroughParameters const& p) {
    require(p.full_m3 > 0, "full_m3", p.full_m3, "must be > 0 m3");
    require(p.open_m3 >= 0 && p.open_m3 < p.full_m3, "open_m3", p.open_m3,
            "must be >= 0 and below full: the float has to fall before it opens");
    require(p.float_flow_m3_s > 0, "float_flow_m3_s", p.float_flow_m3_s, "must be > 0 m3/s");
}

double time_to_change_s(TroughParameters const& p, TroughState const& s, double drinking_m3_s,
                        bool supplied) {
    if (!s.open) return time_to_level_s(s.volume_m3, std::min(p.open_m3, s.volume_m3), 0, drinking_m3_s);
    return time_to_level_s(s.volume_m3, p.full_m3, supplied ? p.float_flow_m3_s : 0, drinking_m3_s);
}

TroughStep advance(TroughParameters const& p, TroughState& state, double drinking_m3_s, double seconds,
                   bool supplied) {
    TroughStep out;
    CisternParameters const basin{.capacity_m3 = p.full_m3};
    double left_s = seconds;
    while (left_s > 0) {
        double const inflow = state.open && supplied ? p.float_flow_m3_s : 0;
        double const change_s = time_to_change_s(p, state, drinking_m3_s, supplied);
        double const t = std::min(change_s, left_s);
        auto const step = advance(basin, state.volume_m3, inflow, drinking_m3_s, t);
        out.drawn_m3 += inflow * t;
        out.unmet_m3 += step.unmet_m3;
        if (state.open) out.open_s += t;
        state.volume_m3 = step.volume_m3;
        left_s -= t;
        if (change_s <= t) {
            state.volume_m3 = state.open ? p.full_m3 : std::min(p.open_m3, state.volume_m3);
            state.open = !state.open;
        }
    }
    return out;
}

}  // namespace holdwater::models
