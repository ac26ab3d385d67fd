#include "models/electric/inverter.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(InverterParameters const& p) {
    require(p.rated_power_w > 0 && std::isfinite(p.rated_power_w), "rated_power_w", p.rated_power_w,
            "must be above 0");
    require(p.idle_w >= 0 && p.idle_w < p.rated_power_w, "idle_w", p.idle_w,
            "must be at least 0 and below the rating");
    require(std::abs(p.k1) < 10, "k1", p.k1, "must be between -10 and 10");
    require(std::abs(p.k2) < 10, "k2", p.k2, "must be between -10 and 10");
    // Up to the rating, more output must not need less input. The slope is lowest at an end of a branch.
    double const low_slope = 1 + p.k1 + p.extra_w / (full_extra_at * p.rated_power_w);
    double const least_slope = std::min({low_slope, low_slope + 2 * p.k2 * full_extra_at,
                                         1 + p.k1 + 2 * p.k2 * full_extra_at, 1 + p.k1 + 2 * p.k2});
    require(least_slope > 0, "k2", p.k2, "with k1 and extra_w means that more output needs less input");
    require(p.output_v > 0, "output_v", p.output_v, "must be above 0");
    require(p.legs >= 1 && p.legs <= 3, "legs", p.legs,
            "must be 1 (single output), 2 (split phase) or 3 (three phases)");
    require(p.phase_va == 0 || p.legs == 3, "phase_va", p.phase_va,
            "belongs to an inverter with three phases");
    require(p.phase_va == 0 || 3 * p.phase_va >= p.rated_power_w * (1 - 1e-9), "phase_va", p.phase_va,
            "must be at least a third of the rating: three phases together give the rating");
    require(p.search_w >= 0 && p.search_w <= p.idle_w, "search_w", p.search_w,
            "must be at least 0 and not above the idle draw");
    require(p.search_wake_w >= 0, "search_wake_w", p.search_wake_w, "must be >= 0");
    require(p.low_voltage_v >= 0, "low_voltage_v", p.low_voltage_v, "must be >= 0");
    require(p.pass_through_va > 0, "pass_through_va", p.pass_through_va, "must be above 0");
    require(pass_through_draw_w(p) >= 0 && std::isfinite(pass_through_draw_w(p)), "pass_through_draw_w",
            pass_through_draw_w(p), "must be at least 0");
    require(p.pass_through_efficiency > 0 && p.pass_through_efficiency <= 1, "pass_through_efficiency",
            p.pass_through_efficiency, "must be above 0 and at most 1");
    for (std::size_t i = 0; i < p.surge.size(); ++i) {
        auto const [ratio, seconds] = p.surge[i];
        require(ratio > 1, "surge ratio", ratio, "must be above 1: it is a multiple of the rating");
        require(seconds > 0, "surge seconds", seconds,
                "must be above 0: a surge rating without seconds says nothing");
        if (i > 0)
            require(ratio < p.surge[i - 1].ratio && seconds > p.surge[i - 1].seconds, "surge ratio", ratio,
                    "must fall from row to row while the seconds rise");
    }
}

void check_motor_voltage(InverterParameters const& p, double motor_v) {
    auto const suits = [motor_v](double output_v) { return std::abs(motor_v - output_v) <= 0.1 * output_v; };
    require(suits(p.output_v) || (p.legs == 2 && suits(p.output_v / 2)), "motor volts", motor_v,
            p.legs == 3
                ? "the inverter does not make this voltage between two phases: the motor must be wound or "
                  "connected for it"
                : "the inverter does not make this voltage: use a split-phase inverter, two units as a "
                  "pair, or a transformer rated for the start");
}

double ac_output_w(InverterParameters const& p, double dc_w) {
    double const spare_w = dc_w - p.idle_w;
    if (!(spare_w > 0)) return 0;
    if (std::isinf(spare_w)) return spare_w;
    // The root of k2/rated ac^2 + slope ac = w at which the left side rises, in the form without
    // cancellation.
    double const a = p.k2 / p.rated_power_w;
    auto const root = [a](double slope, double w) {
        double const rise = std::sqrt(std::max(slope * slope + 4 * a * w, 0.0));  // slope there
        return slope < 0 ? (rise - slope) / (2 * a) : 2 * w / (slope + rise);
    };
    double const knee_w = full_extra_at * p.rated_power_w, slope = 1 + p.k1;
    double const to_knee_w = knee_w * (slope + a * knee_w) + p.extra_w;
    double const out_w =
        spare_w < to_knee_w ? root(slope + p.extra_w / knee_w, spare_w) : root(slope, spare_w - p.extra_w);
    return std::min(out_w, spare_w);  // the loss is at least the no-load loss
}

LossCurve fit_loss_curve(double efficiency_at_10, double efficiency_at_50, double efficiency_at_100) {
    for (auto [field, value] : {std::pair{"efficiency_at_10", efficiency_at_10},
                                {"efficiency_at_50", efficiency_at_50},
                                {"efficiency_at_100", efficiency_at_100}})
        require(value > 0 && value < 1, field, value, "must be between 0 and 1, ends excluded");
    std::array<double, 3> const load{full_extra_at, 0.5, 1},
        efficiency{efficiency_at_10, efficiency_at_50, efficiency_at_100};
    std::array<double, 3> loss{};
    for (std::size_t i = 0; i < 3; ++i) loss[i] = load[i] * (1 / efficiency[i] - 1);
    // Newton's divided differences.
    double const low = (loss[1] - loss[0]) / (load[1] - load[0]),
                 high = (loss[2] - loss[1]) / (load[2] - load[1]);
    LossCurve c{};
    c.k2 = (high - low) / (load[2] - load[0]);
    c.k1 = low - c.k2 * (load[0] + load[1]);
    c.p0 = loss[0] - load[0] * (c.k1 + c.k2 * load[0]);
    auto const lowest = std::min_element(loss.begin(), loss.end());
    c.lowest_loss = *lowest;
    c.lowest_at = load[static_cast<std::size_t>(lowest - loss.begin())];

    double between = c.lowest_loss;
    double const turn = c.k2 > 0 ? -c.k1 / (2 * c.k2) : 0;
    if (turn > load[0] && turn < 1) between = c.p0 + 0.5 * c.k1 * turn;
    require(between >= 0, "efficiency_at_10", efficiency_at_10,
            "with the other two implies a negative loss at some load: check the three efficiencies");
    require(1 + c.k1 + 2 * c.k2 * (c.k2 > 0 ? load[0] : 1) > 0, "efficiency_at_10", efficiency_at_10,
            "with the other two implies that more output needs less input: check the three efficiencies");
    return c;
}

void set_loss_curve(InverterParameters& p, LossCurve const& curve, std::optional<double> stated_idle_w) {
    double const fitted_w = std::max(curve.p0, 0.0) * p.rated_power_w;
    p.idle_w = std::min(stated_idle_w.value_or(fitted_w), curve.lowest_loss * p.rated_power_w);
    p.k1 = curve.k1;
    p.k2 = curve.k2;
    p.extra_w = curve.p0 * p.rated_power_w - p.idle_w;
}

}  // namespace holdwater::models
