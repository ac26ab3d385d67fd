#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/sweep/sweep_file.hpp"
#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

/// The batteries that are tried where none are asked for: whole kilowatt-hours.
inline constexpr char const* usual_batteries = "1 kWh..60 kWh/60";

/// What is asked of a region, as typed: a list ("2.2 kW,3 kW") or a range ("1 kW..4 kW/7"). Empty arrays or
/// demands: those of the scenario.
struct RegionQuestion {
    std::size_t stations = 0;  ///< number of weather files, 1 .. 10,000
    std::string arrays{}, demands{}, batteries = usual_batteries;
};

/// The rows of a region: one for each station, array and daily demand; the demand changes fastest.
struct RegionPlan {
    SweepPlan rows;
    std::vector<double> batteries_kwh;  ///< rising
    [[nodiscard]] std::size_t rows_per_station() const;
};
/// Throws std::invalid_argument, which names the option, what was wrong and what is accepted.
RegionPlan plan_region(RegionQuestion const& question);

/// What a row of the plan asks. Nothing: as in the scenario.
struct RegionCell {
    std::size_t station = 0;  ///< number from 0
    std::optional<double> array_w, daily_demand_m3;
};
RegionCell cell_of(SweepRow const& row);

}  // namespace holdwater::sim
