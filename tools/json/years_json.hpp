#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "sim/verdict/years_answer.hpp"
#include "weather/recorded_years.hpp"

namespace holdwater::tools {

/// What `years --json` prints, in SI units: the first of the answers, at least one, and the recorded ones
/// with what their files hold.
nlohmann::ordered_json years_json(std::vector<sim::SourcedYears> const& answers,
                                  std::optional<weather::RecordedYears> const& record, std::uint64_t seed);

}  // namespace holdwater::tools
