#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "sim/files/result_file.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// A figure of a run with its name in the result file ("/series/battery_soc", "/summary/soc_min",
/// "/events/time_h"), one value for each row.
using Figure = std::pair<std::string, std::vector<double>>;

/// A run that was read from its result file.
struct StoredRun {
    RunInputs inputs;
    Clock clock;
    std::vector<Figure> figures;
};

/// Throws ResultFileError if it is not a result file, or does not contain everything that is needed to repeat
/// the run.
StoredRun read_stored_run(std::string const& path);

struct Repeat {
    scenarios::Scenario scenario;
    CheckedInputs hourly;
    System system;
    RunResult result;
};
/// Runs the stored scenario with the stored weather for the stored hours; the files from which they came are
/// not needed. Throws ScenarioError if this version no longer accepts the scenario.
Repeat repeat(StoredRun const& stored);

/// All figures of a run, as in a result file, except wall_time_s.
std::vector<Figure> figures_of(RunResult const& result);
/// The indices under the names of a result file.
std::vector<Figure> figures_of(SupplyIndices const& indices);

/// A figure that is not the same, bit for bit, in two runs.
struct Difference {
    std::string name;
    std::size_t rows = 0;          ///< number of rows that differ
    std::size_t first_row = 0;     ///< the first of these rows
    double before = 0, after = 0;  ///< values in that row
    double largest = 0;            ///< largest difference of all rows; infinite if the numbers of rows differ
};
std::vector<Difference> differences(std::vector<Figure> const& before, std::vector<Figure> const& after);

}  // namespace holdwater::sim
