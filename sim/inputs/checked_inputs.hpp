#pragma once

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Upper bounds of the small loads over all hours of a year.
struct LoadPeaks {
    double load_w = 0, load_var = 0, leg_imbalance_w = 0;
    double start_va = 0;  ///< largest start of a small load
};

/// Inputs that were checked when they were made: every series is a year long, finite and not negative. They
/// store the peaks of the year, so that a run of some days reads only these days. Used like HourlyInputs.
class CheckedInputs {
  public:
    CheckedInputs() = default;
    /// Throws models::ParameterError naming the series.
    explicit CheckedInputs(HourlyInputs inputs);

    [[nodiscard]] HourlyInputs const& hours() const { return hours_; }
    operator HourlyInputs const&() const { return hours_; }  // NOLINT(google-explicit-constructor)
    HourlyInputs const* operator->() const { return &hours_; }
    [[nodiscard]] LoadPeaks const& peaks() const { return peaks_; }

    /// Replaces the hours from `first` on, at most to the end of the year, by those of another year of the
    /// same design. These hours are checked, and the peaks are then upper bounds for both.
    void take_hours(HourlyInputs const& from, int first, int hours);

    friend bool operator==(CheckedInputs const& a, CheckedInputs const& b) { return a.hours_ == b.hours_; }

  private:
    HourlyInputs hours_;
    LoadPeaks peaks_;
};

}  // namespace holdwater::sim
