#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "models/numeric/lanes.hpp"
#include "sim/batch/inputs_digest.hpp"
#include "sim/batch/supply_year.hpp"
#include "sim/batch/water_year.hpp"

namespace holdwater::sim {

/// One design of a group.
struct LaneDesign {
    System const* system = nullptr;
    InputsDigest const* inputs = nullptr;
};
struct LaneYear {
    Summary summary;
    Findings findings;       ///< where asked for
    double alone_hours = 0;  ///< taken alone
};

/// What keeps lanes from carrying this design, in words that live as long as the program; empty: they can. It
/// depends on nothing but the design.
std::string_view lane_obstacle(LaneDesign const& design);

/// How the hot loop is compiled; the results are the same bits.
enum class LaneCode { best, portable };

/// Runs up to Lanes::count designs of one water year and one kind of battery side by side. Hours in which no
/// rule applies to a design are quick_hour in all lanes at once; the others are taken as simulate() takes
/// them, design by design. A design whose supply fails its pump, and be it for the moment of a transfer, goes
/// on alone with its own water until that stands where the shared year does. `supply`: of one of the designs
/// or of others of this water; it saves time where it serves, and changes no bit.
std::vector<LaneYear> run_lane_group(std::span<LaneDesign const> designs, WaterYear const& water,
                                     SupplyYear const& supply, Clock const& clock,
                                     LaneCode code = LaneCode::best, bool findings = false);

}  // namespace holdwater::sim
