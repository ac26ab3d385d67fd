#pragma once

#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::sim {

/// What bank and tank held when the run began.
struct RunStart {
    double stored_kwh, water_m3;
};

/// Fills result.days and every figure of result.summary that follows from result.hours, the ledgers'
/// residuals among them.
void summarise(RunResult& result, System const& system, RunStart const& start);

}  // namespace holdwater::sim
