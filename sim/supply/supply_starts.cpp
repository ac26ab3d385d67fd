#include <cmath>
#include <complex>

#include "sim/supply/supply_side.hpp"

// What a start needs from the supply, and what happens if it does not fit.
namespace holdwater::sim {
namespace {

// A start that did not fit is tried again after this time, or at once on another source.
constexpr double start_retry_h = 1.0 / 60;
constexpr double load_start_s = 1;         // start of a small load; common practice, no source
constexpr double start_efficiency = 0.88;  // of the inverter during a start; common practice, no source

std::complex<double> start_of(models::StartDraw const& start) {
    double const start_va = 1e3 * start.apparent_kva;
    return {start.power_w, std::sqrt(std::max(start_va * start_va - start.power_w * start.power_w, 0.0))};
}

}  // namespace

void SupplySide::loads_start(double start_va, double load_w, double motors_w) {
    load_start_va_ = s_.rules.trip_on_overload && !s_.inverter.surge.empty() ? start_va : 0;
    load_w_ = load_w;
    motors_w_ = motors_w;
    load_starts_ = true;
}

double SupplySide::start_fits_above_kwh(models::StartDraw const& start, double load_w, double load_var,
                                        double leg_imbalance_w) const {
    if (!(start.apparent_kva > 0)) return 0;
    if (!s_.inverter.surge.empty() && std::abs(start_of(start) + std::complex<double>(load_w, load_var)) >
                                          models::surge_va(s_.inverter, start.seconds) - leg_imbalance_w)
        return never;
    if (!battery_.has_voltage() || !(s_.inverter.low_voltage_v > 0)) return 0;
    // The terminals collapse at half the open-circuit voltage; a set point is above that.
    double const above_kwh = battery_.content_at_voltage_kwh(s_.inverter.low_voltage_v * (1 + 1e-9),
                                                             (start.power_w + load_w) / start_efficiency);
    auto const full = models::terminal_at_power(battery_.full_open_circuit_v(), battery_.resistance_ohm(),
                                                (start.power_w + load_w) / start_efficiency);
    return full.collapsed || full.volts < s_.inverter.low_voltage_v ? never : above_kwh;
}

bool SupplySide::backup_starts(models::StartDraw const& start, double load_w) const {
    return !on_generator_ || !(start.apparent_kva > 0) ||
           std::abs(start_of(start) + std::complex<double>(models::pass_through_input_w(s_.inverter, load_w),
                                                           load_var_)) <= s_.generator_operation.start_va;
}

bool SupplySide::start_fits(models::StartDraw const& start, double running_w, double now_h) {
    if (!(start.apparent_kva > 0)) return true;
    if (refusing_ && feed_ == refused_on_ && now_h < retry_h_) return false;
    bool fits = true;
    std::complex<double> const motor = start_of(start);
    std::complex<double> const running(
        feed_ == Feed::backup ? models::pass_through_input_w(s_.inverter, running_w) : running_w, load_var_);
    if (feed_ == Feed::inverter) {
        if (!s_.inverter.surge.empty())
            fits =
                std::abs(motor + running) <= models::surge_va(s_.inverter, start.seconds) - leg_imbalance_w_;
        if (fits && battery_.has_voltage() && s_.inverter.low_voltage_v > 0) {
            auto const dc = battery_.terminal((start.power_w + running_w) / start_efficiency);
            fits = !dc.collapsed && dc.volts >= s_.inverter.low_voltage_v;
        }
    } else if (feed_ == Feed::backup && on_generator_) {
        fits = std::abs(motor + running) <= s_.generator_operation.start_va;
    }
    if (fits) {
        refusing_ = false;
        return true;
    }
    if (!refusing_) {
        ++starts_refused_;
        note(now_h, EventKind::start_refused);
    }
    refusing_ = true;
    refused_on_ = feed_;
    retry_h_ = now_h + (feed_ == Feed::inverter && s_.rules.trip_on_overload ? 0 : start_retry_h);
    if (feed_ == Feed::inverter && s_.rules.trip_on_overload) trip(now_h);
    return false;
}

bool SupplySide::trips_at_load_start(Feed was, double now_h) {
    bool const restarts = was == Feed::nothing;
    if (feed_ != Feed::inverter || !(load_starts_ || restarts)) return false;
    load_starts_ = false;
    double const beside_w = load_w_ + (restarts ? 0 : motors_w_);
    if (std::hypot(beside_w, load_var_) + load_start_va_ <=
        models::surge_va(s_.inverter, load_start_s) - leg_imbalance_w_)
        return false;
    trip(now_h);
    return true;
}

bool SupplySide::trips_at_overload(Feed was, double carried_w, double now_h) {
    if (feed_ != Feed::inverter) overload_end_h_ = -never;
    if (feed_ == Feed::backup) overloaded_ = false;
    // From a bypass the loads come to the inverter all at once, even if the grid went before someone came.
    if (feed_ == Feed::bypass) overloaded_ = true;
    if (feed_ != Feed::inverter || !s_.rules.trip_on_overload) return false;
    bool const from_source = was == Feed::backup || was == Feed::bypass || was_bypassed_;
    bool const begins = from_source || (was == Feed::nothing && overloaded_),
               ends = overload_end_h_ > -never && now_h >= overload_end_h_;
    if (!begins && !ends) return false;
    overload_end_h_ = -never;
    double const ratio = (std::hypot(carried_w, load_var_) + leg_imbalance_w_) / s_.inverter.rated_power_w;
    if (ratio <= 1 + 1e-9) {
        overloaded_ = false;
        return false;
    }
    if (from_source) ++overload_transfers_;
    double const allowed_s = begins ? models::allowed_seconds(s_.inverter, ratio) : 0;
    if (allowed_s > 0) {
        overload_w_ = std::min(carried_w, brought_w_);
        overload_end_h_ = now_h + (break_left_s_ + allowed_s) / seconds_per_hour;
        return false;
    }
    overloaded_ = true;
    trip(now_h);
    return true;
}

void SupplySide::trip(double now_h) {
    ++inverter_trips_;
    trips_ = models::after_trip(s_.rules.trip, trips_, now_h * seconds_per_hour);
    tripped_ = true;
    trip_end_h_ = trips_.locked_out ? now_h + s_.rules.trip_reset_h
                                    : models::restart_at_s(s_.rules.trip, trips_) / seconds_per_hour;
    if (trips_.locked_out) trips_ = {};  // after a reset the count begins again
    note(now_h, EventKind::inverter_tripped);
}

}  // namespace holdwater::sim
