#pragma once

#include "models/lead_acid_charging.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::sim {

/// What bank and tank held when the run began.
struct RunStart {
    double stored_kwh, water_m3;
};

/// Adds up a run's hours into result.days, every figure of result.summary that follows from the hours, the
/// ledgers' residuals among them, and those of result.findings that do. A day at a time, so that the hours
/// are read while they are still near the processor.
class YearBooks {
  public:
    YearBooks(RunResult& result, System const& system, RunStart const& start);

    /// The hours recorded since the last call, at most a day of them.
    void add_day();
    /// After the last day.
    void finish();

  private:
    RunResult& result_;
    System const& s_;
    RunStart start_;
    std::size_t done_ = 0;
    double other_losses_kwh_ = 0, pumped_m3_ = 0, spilled_m3_ = 0, soc_sum_ = 0, dry_run_h_ = 0;
    models::FullChargeAccount full_;
};

}  // namespace holdwater::sim
