#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/water_settings.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

models::PumpParameters read_pump(Section s);
models::PipeSegment read_pipe(Section s);
/// Reads `friction` and every [[pipe]] of a table.
models::PipingParameters read_piping(Section& s);
/// Reads [motor]; warnings go to `warnings` with the name of the table.
models::MotorParameters read_motor(Section s, std::string const& name, std::vector<std::string>& warnings);
/// Reads [drive] of a table, if it has one; refuses a motor or a curve that does not work with a drive.
std::optional<models::DriveParameters> read_drive(Section& parent, models::MotorParameters const& motor,
                                                  models::PumpParameters const& pump);

}  // namespace holdwater::scenarios
