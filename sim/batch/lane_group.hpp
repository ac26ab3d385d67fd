#pragma once

#include <span>
#include <vector>

#include "models/numeric/lanes.hpp"
#include "sim/batch/lane_obstacle.hpp"
#include "sim/batch/supply_year.hpp"
#include "sim/batch/water_year.hpp"

namespace holdwater::sim {

struct LaneYear {
    Summary summary;
    Findings findings;       ///< if requested
    double end_soc = 0;      ///< state of charge when the run ends
    double alone_hours = 0;  ///< hours that it ran alone
};

/// How the inner loop is compiled; the results are the same bits.
enum class LaneCode { best, portable };

/// Runs up to Lanes::count designs with the same water year and kind of battery side by side. Hours in which
/// no rule applies to a design are computed with quick_hour in all lanes at once; the others are computed as
/// in simulate(), design by design. If the supply of a design fails its pump, even for the moment of a
/// transfer, the design runs alone with its own water side until that has the same state as the shared year.
/// `supply` belongs to one of the designs, or to others with this water year; it saves time if it fits and
/// does not change a bit.
std::vector<LaneYear> run_lane_group(std::span<LaneDesign const> designs, WaterYear const& water,
                                     SupplyYear const& supply, Clock const& clock,
                                     LaneCode code = LaneCode::best, bool findings = false);

}  // namespace holdwater::sim
