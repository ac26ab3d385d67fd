#include "sim/inputs/checked_inputs.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::sim {
namespace {

// Returns the most.
double check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    for (double const v : values)
        if (!(v >= 0 && std::isfinite(v)))
            models::require(false, name, v, "must be finite and not negative in every hour");
    return *std::max_element(values.begin(), values.end());
}
double check_if_there(std::vector<double> const& values, char const* name) {
    return values.empty() ? 0 : check(values, name);
}

void check_temperature(std::vector<double> const& ambient_c) {
    if (ambient_c.empty()) return;
    models::require(ambient_c.size() == static_cast<std::size_t>(hours_per_year), "ambient_c",
                    static_cast<double>(ambient_c.size()), "must hold 8760 hourly values");
    for (double const v : ambient_c)
        if (!std::isfinite(v)) models::require(false, "ambient_c", v, "must be finite in every hour");
}

void check_draws(HourlyInputs const& inputs) {
    check_if_there(inputs.trough_m3, "trough_m3");
    if (inputs.first_draw.empty()) return;
    models::require(inputs.first_draw.size() == static_cast<std::size_t>(hours_per_year) + 1 &&
                        inputs.first_draw.back() == inputs.draws.size(),
                    "first_draw", static_cast<double>(inputs.first_draw.size()),
                    "must hold 8761 positions, the last one the end of draws");
}

void copy_hours(std::vector<double> const& from, std::vector<double>& to, int first, int hours) {
    if (from.empty() || to.empty()) return;
    std::copy_n(from.begin() + first, hours, to.begin() + first);
}

}  // namespace

CheckedInputs::CheckedInputs(HourlyInputs inputs) : HourlyInputs(std::move(inputs)) {
    check(array_power_w, "array_power_w");
    peaks.load_w = check(load_w, "load_w");
    for (LoadClass const& c : shed_first) peaks.load_w += check(c.power_w, "shed_first");
    check(demand_m3, "demand_m3");
    check(tap_flow_m3_s, "tap_flow_m3_s");
    peaks.leg_imbalance_w = check_if_there(leg_imbalance_w, "leg_imbalance_w");
    peaks.load_var = check_if_there(load_var, "load_var");
    peaks.start_va = check_if_there(load_start_va, "load_start_va");
    check_if_there(array_window_loss_w, "array_window_loss_w");
    check_temperature(ambient_c);
    check_draws(*this);
}

void CheckedInputs::take_hours(CheckedInputs const& from, int first, int hours) {
    copy_hours(from.array_power_w, array_power_w, first, hours);
    copy_hours(from.load_w, load_w, first, hours);
    copy_hours(from.demand_m3, demand_m3, first, hours);
    copy_hours(from.tap_flow_m3_s, tap_flow_m3_s, first, hours);
    for (std::size_t c = 0; c < shed_first.size(); ++c)
        copy_hours(from.shed_first[c].power_w, shed_first[c].power_w, first, hours);
    copy_hours(from.leg_imbalance_w, leg_imbalance_w, first, hours);
    copy_hours(from.load_var, load_var, first, hours);
    copy_hours(from.load_start_va, load_start_va, first, hours);
    copy_hours(from.ambient_c, ambient_c, first, hours);
    copy_hours(from.array_window_loss_w, array_window_loss_w, first, hours);
    peaks.load_w = std::max(peaks.load_w, from.peaks.load_w);
    peaks.load_var = std::max(peaks.load_var, from.peaks.load_var);
    peaks.leg_imbalance_w = std::max(peaks.leg_imbalance_w, from.peaks.leg_imbalance_w);
    peaks.start_va = std::max(peaks.start_va, from.peaks.start_va);
}

}  // namespace holdwater::sim
