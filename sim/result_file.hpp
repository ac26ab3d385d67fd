#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "sim/run_result.hpp"

namespace holdwater::sim {

/// A result file that cannot be written or read.
class ResultFileError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// What a result rests on, stored beside it.
struct RunInputs {
    std::string scenario_text, scenario_path;
    std::string weather_path, weather_format, weather_station;
    double latitude_deg = 0, longitude_deg = 0, elevation_m = 0, utc_offset_h = 0;
    std::vector<std::string> weather_repairs, warnings, wiring_notes;
    std::vector<std::string> provenance;  ///< of the inputs, as far as the scenario states it
    std::vector<std::string> remarks;     ///< on the finished run; stored with /findings
    std::string version;
};

/// FNV-1a, 64 bit, as 16 hexadecimal digits: tells two scenario texts apart (not a cryptographic seal).
std::string text_hash(std::string const& text);

/// Writes an HDF5 file: /inputs, /series/*, /daily/*, /summary, /findings, /events. Each series carries
/// `units`, `long_name` and `hour_meaning`. Written under a temporary name beside `path`, then renamed:
/// `path` is either the whole new file or what it was before. Throws ResultFileError.
void write_result(std::string const& path, RunResult const& result, RunInputs const& inputs);

/// One series of a result file, by name. Throws ResultFileError.
std::vector<double> read_series(std::string const& path, std::string const& name);

}  // namespace holdwater::sim
