#pragma once

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The most the small loads ask for in any hour of a year, or more.
struct LoadPeaks {
    double load_w = 0, load_var = 0, leg_imbalance_w = 0;
    double start_va = 0;  ///< largest start of a small load
};

/// Inputs that were checked when they were made: every series a year long, finite, not negative. They know
/// what a run asks of the whole year, so that a run of some days reads only those. Read like HourlyInputs.
class CheckedInputs {
  public:
    CheckedInputs() = default;
    /// Throws models::ParameterError naming the series.
    explicit CheckedInputs(HourlyInputs inputs);

    [[nodiscard]] HourlyInputs const& hours() const { return hours_; }
    operator HourlyInputs const&() const { return hours_; }  // NOLINT(google-explicit-constructor)
    HourlyInputs const* operator->() const { return &hours_; }
    [[nodiscard]] LoadPeaks const& peaks() const { return peaks_; }

    /// Hours from `first` on, up to the end of the year at most, are those of another year of the same
    /// design: those hours are checked, and the peaks then hold for both.
    void take_hours(HourlyInputs const& from, int first, int hours);

    friend bool operator==(CheckedInputs const& a, CheckedInputs const& b) { return a.hours_ == b.hours_; }

  private:
    HourlyInputs hours_;
    LoadPeaks peaks_;
};

}  // namespace holdwater::sim
