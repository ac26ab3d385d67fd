#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/water_settings.hpp"
#include "sim/base/run_result.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/year/supply_indices.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The inputs of a run, stored with its result: enough to repeat the run (repeat_run.hpp).
struct RunInputs {
    std::string scenario_text, scenario_path;
    std::string option;            ///< the text already has the changes of this option; "": base design
    weather::WeatherYear weather;  ///< as used in the run, after all repairs
    /// The measured demand used in the run, 8760 h [m3]; null: the scenario contains the whole demand.
    std::shared_ptr<scenarios::DemandSeries const> demand;
    int years = 1;  ///< number of years run in a row
    std::vector<std::string> weather_repairs, warnings, wiring_notes;
    std::vector<std::string> provenance;   ///< provenance of the inputs, as far as the scenario gives it
    std::vector<std::string> remarks;      ///< warnings about the finished run; stored with /findings
    std::optional<SupplyIndices> indices;  ///< of a whole year without grid and generator
    std::string version;
};

/// A column of the weather in /inputs/weather.
struct WeatherColumn {
    std::string_view name, unit, long_name;
    std::vector<double> weather::WeatherYear::*values;
};
std::vector<WeatherColumn> const& weather_columns();

/// Writes an HDF5 file: /inputs with the weather, /series/*, /daily/*, /summary, /findings, /indices,
/// /events. Each series has `units`, `long_name` and `hour_meaning`. The same inputs give the same bytes,
/// except for wall_time_s. After an error, `path` is what it was before. Throws ResultFileError.
void write_result(std::string const& path, RunResult const& result, RunInputs const& inputs);

/// One series of a result file, by name. Throws ResultFileError.
std::vector<double> read_series(std::string const& path, std::string const& name);

}  // namespace holdwater::sim
