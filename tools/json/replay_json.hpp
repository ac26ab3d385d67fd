#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/replay/replay.hpp"
#include "sim/replay/site_log.hpp"

namespace holdwater::tools {

/// What `replay --json` prints, in SI units. A figure that the log does not determine has `not_determined`
/// with the reason, and no value.
nlohmann::ordered_json replay_json(sim::SiteLog const& log, sim::Replay const& replay);

}  // namespace holdwater::tools
