#pragma once

#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/base/run_result.hpp"
#include "sim/inputs/inputs_shelf.hpp"
#include "sim/sweep/sweep_axis.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

/// The figures of a year run: those of the summary, computing time apart, then the findings.
std::vector<SweepFigure> year_figures();

/// What the scenario says of its inputs (scenarios::provenance_lines_of_run); of those that are varied, that.
std::vector<std::string> sweep_provenance(scenarios::Scenario const& scenario,
                                          std::vector<SweepAxis> const& axes);

/// The work of a sweep over whole years: each row is the scenario with the row's values at the axes' keys, as
/// scenarios::option_design merges them. Rows run side by side (run_scenario_years); a row's figures depend
/// on that row alone, to the bit: not on its block, nor on the number of threads. Weather is read once for
/// all rows that read it in the same way. A combination the scenario's rules refuse, or whose weather cannot
/// be read, is a row with a problem.
class YearSweep {
  public:
    /// `base`: changes that come before each row's own; its name says whose they are. `weather_path`: in
    /// place of the scenario's; may be empty. Throws ScenarioError when the scenario is wrong without any
    /// row's change.
    YearSweep(scenarios::DesignFile file, scenarios::DesignOption base, std::string weather_path,
              std::vector<SweepAxis> axes);

    void run(SweepBlock& block);

    /// Tells this sweep's inputs from those of another one: the design as merged and the content of its
    /// weather files, those that an axis names included.
    std::string inputs_hash() const;

  private:
    using SharedYear = std::shared_ptr<weather::WeatherYear const>;
    struct ReadYear {
        std::string key;
        SharedYear year;
        std::string problem;  // why there is none
    };
    struct Job {
        std::size_t row = 0;
        scenarios::Scenario scenario;
        SharedYear year;
    };
    std::optional<Job> read(SweepBlock& block, std::size_t row);  // nothing: the problem is noted
    void run_jobs(std::vector<Job> const& jobs, SweepBlock& block);
    scenarios::Scenario scenario_of(SweepRow const& row) const;
    SharedYear year_of(scenarios::Scenario const& scenario);

    scenarios::VariantReader variants_;
    std::string weather_path_;
    std::vector<SweepAxis> axes_;
    bool columns_vary_;
    std::deque<ReadYear> years_;  // the last read first; not all of a region's at once
    std::unique_ptr<InputsShelf> inputs_ = std::make_unique<InputsShelf>();
};

}  // namespace holdwater::sim
