#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// One scenario-year of a batch. Jobs that share their inputs share the work on it.
struct BatchJob {
    System const* system = nullptr;
    CheckedInputs const* inputs = nullptr;
};

struct BatchYear {
    std::string problem;         ///< empty: it was run; else what simulate() throws for it, in words
    Summary summary;             ///< as of simulate(), wall_time_s left at 0
    Findings findings;           ///< as of simulate(), where asked for
    bool in_lanes = false;       ///< false: run by simulate(), or not at all
    std::string_view alone_for;  ///< run by simulate(): the feature that asked for it (lane_obstacle)
};

struct BatchRun {
    std::vector<BatchYear> years;                               ///< in the order of the jobs
    std::size_t in_lanes = 0;                                   ///< how many ran in lanes
    std::size_t alone = 0;                                      ///< run by simulate()
    std::map<std::string, std::size_t, std::less<>> alone_for;  ///< how many of those for which feature
    double alone_share =
        0;  ///< of the hours run in lanes, those a design took alone, for a rule or with its own water
};

struct BatchOptions {
    static constexpr int callers = -1;
    int threads = 0;  ///< 0: all processors; callers: those of the arena it is called in
    bool findings = false;
    bool portable = false;  ///< the hot loop as compiled for any processor; the results are the same bits
};

/// Many scenario-years at once: those of the same water side and demand share one water year and run side by
/// side in lanes (lane_group.hpp), those with a feature that lanes do not carry one by one. The figures are
/// those of simulate() to rounding. A job's figures depend on that job alone, to the bit: not on what else is
/// in the batch or on the order, nor on threads or processor.
BatchRun run_batch(std::span<BatchJob const> jobs, Clock const& clock, BatchOptions const& options = {});

}  // namespace holdwater::sim
