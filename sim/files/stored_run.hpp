#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "sim/base/system.hpp"
#include "sim/files/result_file.hpp"

namespace holdwater::sim {

/// A figure of a run under its name in the result file ("/series/battery_soc", "/summary/soc_min",
/// "/events/time_h"), one value a row.
using Figure = std::pair<std::string, std::vector<double>>;

/// A run read back from its result file.
struct StoredRun {
    RunInputs inputs;
    Clock clock;
    std::vector<Figure> figures;
};

/// Throws ResultFileError: not a result file, or one that does not hold all it takes to repeat the run.
StoredRun read_stored_run(std::string const& path);

struct Repeat {
    System system;
    RunResult result;
};
/// The stored scenario run with the stored weather over the stored clock, whatever has become of the files
/// they came from. Throws ScenarioError where this version no longer accepts the scenario.
Repeat repeat(StoredRun const& stored);

/// All figures of a run, as a result file has them; wall_time_s is none of them.
std::vector<Figure> figures_of(RunResult const& result);

/// A figure that is not the same, bit for bit, in two runs.
struct Difference {
    std::string name;
    std::size_t rows = 0;          ///< that differ
    std::size_t first_row = 0;     ///< of those
    double before = 0, after = 0;  ///< in it
    double largest = 0;            ///< difference of any row; infinite where the rows are not as many
};
std::vector<Difference> differences(std::vector<Figure> const& before, std::vector<Figure> const& after);

}  // namespace holdwater::sim
