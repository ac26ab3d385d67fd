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

/// One scenario-year of a batch. Jobs with the same inputs share the work for them.
struct BatchJob {
    System const* system = nullptr;
    CheckedInputs const* inputs = nullptr;
};

struct BatchYear {
    std::string problem;         ///< empty: it was run; otherwise the error that simulate() throws for it
    Summary summary;             ///< as from simulate(), but wall_time_s is 0
    Findings findings;           ///< as from simulate(), if requested
    double end_soc = 0;          ///< state of charge when the run ends
    CarriedWater end_water;      ///< stored water then; not kept for a plain water side (a tank only)
    bool in_lanes = false;       ///< false: run by simulate(), or not at all
    std::string_view alone_for;  ///< if run by simulate(): the feature that is the reason (lane_obstacle)
};

struct BatchRun {
    std::vector<BatchYear> years;                               ///< in the order of the jobs
    std::size_t in_lanes = 0;                                   ///< number that ran in lanes
    std::size_t alone = 0;                                      ///< number that simulate() ran
    std::map<std::string, std::size_t, std::less<>> alone_for;  ///< number of these by feature
    double alone_share =
        0;  ///< share of the hours of lanes that a design ran alone, for a rule or with its own water
};

struct BatchOptions {
    static constexpr int callers = -1;
    int threads = 0;  ///< 0: all processors; callers: those of the arena in which it is called
    bool findings = false;
    bool portable = false;  ///< use the inner loop compiled for any processor; the results are the same bits
};

/// Runs many scenario-years at once. Those with the same water side and demand share one water year and run
/// side by side in lanes (lane_group.hpp). Those with a feature that lanes do not support run one by one. The
/// figures are those of simulate() except for rounding. The figures of a job depend on that job alone, to the
/// bit: not on the other jobs, their order, the threads or the processor.
BatchRun run_batch(std::span<BatchJob const> jobs, Clock const& clock, BatchOptions const& options = {});

}  // namespace holdwater::sim
