#include "sim/inputs/checked_inputs.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <utility>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::sim {
namespace {

void check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    for (double const v : values)
        if (!(v >= 0 && std::isfinite(v)))
            models::require(false, name, v, "must be finite and not negative in every hour");
}
void check_if_there(std::vector<double> const& values, char const* name) {
    if (!values.empty()) check(values, name);
}
double highest(std::vector<double> const& values) {
    double most = 0;
    for (double const v : values) most = std::max(most, v);
    return most;
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

// Copies these hours if both have the series, and checks that none is negative; returns their highest value.
double copy_hours(Series const& from, Series& to, int first, int hours, char const* name) {
    if (from.empty() || to.empty()) return 0;
    std::span const taken =
        std::span(from.values()).subspan(static_cast<std::size_t>(first), static_cast<std::size_t>(hours));
    double most = 0;
    for (double const v : taken) {
        if (!(v >= 0 && std::isfinite(v)))
            models::require(false, name, v, "must be finite and not negative in every hour");
        most = std::max(most, v);
    }
    if (from.data() != to.data()) std::copy(taken.begin(), taken.end(), to.edit().begin() + first);
    return most;
}

}  // namespace

CheckedInputs::CheckedInputs(HourlyInputs inputs) : hours_(std::move(inputs)) {
    HourlyInputs const& in = hours_;
    check(in.array_power_w, "array_power_w");
    check(in.load_w, "load_w");
    peaks_.load_w = highest(in.load_w);
    for (LoadClass const& c : in.shed_first) {
        check(c.power_w, "shed_first");
        peaks_.load_w += highest(c.power_w);
    }
    check(in.demand_m3, "demand_m3");
    check(in.tap_flow_m3_s, "tap_flow_m3_s");
    check_if_there(in.leg_imbalance_w, "leg_imbalance_w");
    check_if_there(in.load_var, "load_var");
    check_if_there(in.load_start_va, "load_start_va");
    peaks_.leg_imbalance_w = highest(in.leg_imbalance_w);
    peaks_.load_var = highest(in.load_var);
    peaks_.start_va = highest(in.load_start_va);
    check_if_there(in.array_window_loss_w, "array_window_loss_w");
    check_temperature(in.ambient_c);
    check_draws(in);
}

void CheckedInputs::take_hours(HourlyInputs const& from, int first, int hours) {
    HourlyInputs& to = hours_;
    auto const copy = [&](Series HourlyInputs::*series, char const* name) {
        return copy_hours(from.*series, to.*series, first, hours, name);
    };
    copy(&HourlyInputs::array_power_w, "array_power_w");
    copy(&HourlyInputs::demand_m3, "demand_m3");
    copy(&HourlyInputs::tap_flow_m3_s, "tap_flow_m3_s");
    copy(&HourlyInputs::array_window_loss_w, "array_window_loss_w");
    double load_w = copy(&HourlyInputs::load_w, "load_w");
    for (std::size_t c = 0; c < to.shed_first.size(); ++c)
        load_w +=
            copy_hours(from.shed_first[c].power_w, to.shed_first[c].power_w, first, hours, "shed_first");
    peaks_.load_w = std::max(peaks_.load_w, load_w);
    peaks_.leg_imbalance_w =
        std::max(peaks_.leg_imbalance_w, copy(&HourlyInputs::leg_imbalance_w, "leg_imbalance_w"));
    peaks_.load_var = std::max(peaks_.load_var, copy(&HourlyInputs::load_var, "load_var"));
    peaks_.start_va = std::max(peaks_.start_va, copy(&HourlyInputs::load_start_va, "load_start_va"));
    if (!from.ambient_c.empty() && !to.ambient_c.empty())
        std::copy_n(from.ambient_c.begin() + first, hours, to.ambient_c.edit().begin() + first);
}

}  // namespace holdwater::sim
