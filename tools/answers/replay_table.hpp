#pragma once

#include <string>

#include "sim/files/table_file.hpp"
#include "sim/replay/replay.hpp"
#include "sim/replay/site_log.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// What `replay` prints. `result`: name of the stored result; empty: none was given.
std::string replay_table(sim::SiteLog const& log, sim::Replay const& replay, std::string const& result,
                         Units units);

/// One row for each day, logged and modeled, SI units.
sim::Table replay_days_table(sim::Replay const& replay);

}  // namespace holdwater::tools
