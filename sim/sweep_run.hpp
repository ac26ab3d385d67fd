#pragma once

#include <functional>
#include <string>
#include <vector>

#include "scenarios/design.hpp"
#include "sim/run_result.hpp"
#include "sim/sweep_plan.hpp"

namespace holdwater::sim {

/// One row of a finished sweep. A combination the scenario's rules refuse has the refusal in words and no
/// figures.
struct SweepResult {
    std::string problem;  ///< empty: it was run
    Summary summary;      ///< wall_time_s left at 0, so that rows are the same bytes in every run
};

struct SweepOptions {
    scenarios::DesignOption base;  ///< changes that come before each row's own; its name says whose they are
    std::string weather_path;      ///< in place of the scenario's; may be empty
    int threads = 0;               ///< 0: all processors
    std::function<void(std::size_t done, std::size_t all)>
        progress;  ///< called between rows' batches; may be empty
};

/// Runs every row of the plan over a whole year: the scenario with the row's values at the axes' keys, as
/// scenarios::option_design merges them. Rows run side by side; the result is in the plan's order and does
/// not depend on the number of threads. Weather is read once for all rows that read it in the same way.
/// Throws ScenarioError when the scenario itself is wrong, weather::WeatherError.
std::vector<SweepResult> run_sweep(scenarios::DesignFile const& file, std::vector<SweepAxis> const& axes,
                                   std::vector<SweepRow> const& rows, SweepOptions const& options);

}  // namespace holdwater::sim
