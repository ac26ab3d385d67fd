#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/water_settings.hpp"
#include "sim/base/run_result.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/files/whole_file.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// What a result rests on, stored beside it: enough to repeat the run (repeat_run.hpp).
struct RunInputs {
    std::string scenario_text, scenario_path;
    std::string option;            ///< the text is already this option's; "": base design
    weather::WeatherYear weather;  ///< as it drove the run, after all repairs
    /// The measured demand that drove the run, 8760 h [m3]; null: the scenario says all of it.
    std::shared_ptr<scenarios::DemandSeries const> demand;
    int years = 1;  ///< run on end
    std::vector<std::string> weather_repairs, warnings, wiring_notes;
    std::vector<std::string> provenance;  ///< of the inputs, as far as the scenario states it
    std::vector<std::string> remarks;     ///< on the finished run; stored with /findings
    std::string version;
};

/// A column of the weather in /inputs/weather.
struct WeatherColumn {
    std::string_view name, unit, long_name;
    std::vector<double> weather::WeatherYear::*values;
};
std::vector<WeatherColumn> const& weather_columns();

/// Writes an HDF5 file: /inputs with the weather, /series/*, /daily/*, /summary, /findings, /events. Each
/// series carries `units`, `long_name` and `hour_meaning`. The same inputs give the same bytes, wall_time_s
/// apart. `path` is either the whole new file or what it was before. Throws ResultFileError.
void write_result(std::string const& path, RunResult const& result, RunInputs const& inputs);

/// One series of a result file, by name. Throws ResultFileError.
std::vector<double> read_series(std::string const& path, std::string const& name);

}  // namespace holdwater::sim
