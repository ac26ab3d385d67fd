#include "models/electric/inverter_overload.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

double allowed_seconds(InverterParameters const& p, double ratio) {
    if (ratio <= 1) return std::numeric_limits<double>::infinity();
    if (p.surge.empty() || ratio > p.surge.front().ratio) return 0;
    for (std::size_t i = 1; i < p.surge.size(); ++i) {
        auto const &more = p.surge[i - 1], &less = p.surge[i];
        if (ratio < less.ratio) continue;
        double const share = (more.ratio - ratio) / (more.ratio - less.ratio);
        return more.seconds * std::pow(less.seconds / more.seconds, share);
    }
    return p.surge.back().seconds;
}

double surge_ratio(InverterParameters const& p, double seconds) {
    if (p.surge.empty() || seconds > p.surge.back().seconds) return 1;
    if (seconds <= p.surge.front().seconds) return p.surge.front().ratio;
    std::size_t i = 1;
    while (seconds > p.surge[i].seconds) ++i;
    auto const &more = p.surge[i - 1], &less = p.surge[i];
    double const share = std::log(seconds / more.seconds) / std::log(less.seconds / more.seconds);
    return more.ratio + share * (less.ratio - more.ratio);
}

OverloadState after(InverterParameters const& p, OverloadState from, double load_va, double seconds,
                    double recovery_s) {
    double const allowed_s = allowed_seconds(p, load_va / p.rated_power_w);
    if (std::isinf(allowed_s)) return {std::max(0.0, from.used - seconds / recovery_s)};
    if (allowed_s == 0) return {seconds > 0 ? 1 : from.used};
    return {std::min(1.0, from.used + seconds / allowed_s)};
}

LegBalance leg_balance(InverterParameters const& p, LegLoad const& l) {
    double const across_va = std::hypot(l.across_w, l.across_var);
    if (p.legs == 1) {
        require(across_va == 0, "load between legs", across_va,
                "a single-output inverter has no second leg: use a split-phase inverter, two units or a "
                "transformer");
        double const all_va = std::hypot(l.leg1_w + l.leg2_w, l.leg1_var + l.leg2_var);
        return {all_va, 0, 0, all_va / p.rated_power_w};
    }
    double const leg1_va = std::hypot(l.leg1_w + l.across_w / 2, l.leg1_var + l.across_var / 2);
    double const leg2_va = std::hypot(l.leg2_w + l.across_w / 2, l.leg2_var + l.across_var / 2);
    double const sum_va = leg1_va + leg2_va;
    return {leg1_va, leg2_va, sum_va > 0 ? std::abs(leg1_va - leg2_va) / sum_va : 0,
            std::max(leg1_va, leg2_va) / (p.rated_power_w / 2)};
}

std::array<double, 3> phase_va(PhaseLoad const& l) {
    std::array<double, 3> va{};
    for (std::size_t p = 0; p < 3; ++p)
        va[p] = std::hypot(l.w[p] + l.balanced_w / 3, l.var[p] + l.balanced_var / 3);
    return va;
}

double phase_imbalance_va(InverterParameters const& inverter, PhaseLoad const& l) {
    double const sum_w = l.w[0] + l.w[1] + l.w[2], sum_var = l.var[0] + l.var[1] + l.var[2];
    double most_va = 0;
    for (std::size_t p = 0; p < 3; ++p)
        most_va = std::max(
            most_va, std::hypot(std::max(3 * l.w[p] - sum_w, 0.0), std::max(3 * l.var[p] - sum_var, 0.0)));
    return std::max(most_va - phase_headroom_va(inverter), 0.0);
}

void validate(TripParameters const& p) {
    require(p.restart_delay_s > 0, "restart_delay_s", p.restart_delay_s, "must be above 0");
    require(p.restarts >= 0, "restarts", p.restarts, "must be >= 0");
    require(p.forget_after_s > p.restart_delay_s, "forget_after_s", p.forget_after_s,
            "must be longer than the restart delay: else it never locks out");
}

TripState after_trip(TripParameters const& p, TripState from, double now_s) {
    int const trips = now_s - from.last_trip_s > p.forget_after_s ? 1 : from.trips + 1;
    return {trips, now_s, from.locked_out || trips > p.restarts};
}

}  // namespace holdwater::models
