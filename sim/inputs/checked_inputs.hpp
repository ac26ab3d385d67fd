#pragma once

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The most the small loads ask for in any hour of a year, or more.
struct LoadPeaks {
    double load_w = 0, load_var = 0, leg_imbalance_w = 0;
    double start_va = 0;  ///< largest start of a small load
};

/// Inputs that were checked when they were made: every series a year long, finite, not negative. With what a
/// run asks of the whole year, so that a run of some days reads only those. Never change a series of it other
/// than by take_hours.
struct CheckedInputs : HourlyInputs {
    LoadPeaks peaks;

    CheckedInputs() = default;
    /// Throws models::ParameterError naming the series.
    explicit CheckedInputs(HourlyInputs inputs);

    /// Hours from `first` on, up to the end of the year at most, are those of another year of the same
    /// design; the peaks then hold for both.
    void take_hours(CheckedInputs const& from, int first, int hours);
};

}  // namespace holdwater::sim
