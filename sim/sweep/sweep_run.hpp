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

/// The figures of a run of a year: those of the summary, except the computing time, then the findings.
std::vector<SweepFigure> year_figures();

/// The provenance of the inputs by the scenario (scenarios::provenance_lines_of_run); for inputs that are
/// varied, it says so.
std::vector<std::string> sweep_provenance(scenarios::Scenario const& scenario,
                                          std::vector<SweepAxis> const& axes);

/// The work of a sweep over whole years: each row is the scenario with the values of the row at the keys of
/// the axes, merged as in scenarios::option_design. Rows run side by side (run_scenario_years). The figures
/// of a row depend on that row alone, to the bit: not on its block or the number of threads. Weather is read
/// once for all rows that read it in the same way. A combination that the scenario refuses, or whose weather
/// cannot be read, becomes a row with a problem.
class YearSweep {
  public:
    /// `base`: changes that are made before those of each row; its name is used in messages. `weather_path`:
    /// replaces the weather of the scenario; may be empty. Throws ScenarioError if the scenario is wrong even
    /// without the changes of a row.
    YearSweep(scenarios::DesignFile file, scenarios::DesignOption base, std::string weather_path,
              std::vector<SweepAxis> axes);

    void run(SweepBlock& block);

    /// Distinguishes the inputs of this sweep from those of another one: a hash of the merged design and of
    /// the content of its weather files, including those that an axis names.
    std::string inputs_hash() const;

  private:
    using SharedYear = std::shared_ptr<weather::WeatherYear const>;
    struct ReadYear {
        std::string key;
        SharedYear year;
        std::string problem;  // why the row has no figures
    };
    struct Job {
        std::size_t row = 0;
        scenarios::Scenario scenario;
        SharedYear year;
    };
    std::optional<Job> read(SweepBlock& block, std::size_t row);  // nothing: the problem has been noted
    void run_jobs(std::vector<Job> const& jobs, SweepBlock& block);
    scenarios::Scenario scenario_of(SweepRow const& row) const;
    SharedYear year_of(scenarios::Scenario const& scenario);

    scenarios::VariantReader variants_;
    std::string weather_path_;
    std::vector<SweepAxis> axes_;
    bool columns_vary_;
    // The weather that was read last comes first; in a sweep over many sites not all of it is kept.
    std::deque<ReadYear> years_;
    std::unique_ptr<InputsShelf> inputs_ = std::make_unique<InputsShelf>();
};

}  // namespace holdwater::sim
