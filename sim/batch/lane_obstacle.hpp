#pragma once

#include <string_view>

#include "sim/batch/inputs_digest.hpp"

namespace holdwater::sim {

/// One design of a group.
struct LaneDesign {
    System const* system = nullptr;
    InputsDigest const* inputs = nullptr;
};

/// The reason why this design cannot run in lanes, in words (a static text); empty if it can. It depends only
/// on the design. What the lanes leave out: water sides with a state of their own besides the pressure tank,
/// since a group shares one; what a battery does beyond a store of energy and two wells; a sleeping inverter;
/// the grid as the normal source, also with a tariff for which the battery works, because then most hours
/// are those of a rule; and places with a heater, whose temperature needs what was not served hour by hour. A
/// tariff that only has prices is carried: grid energy flows only in hours that a design runs alone. A new
/// setting of the system or its inputs does not compile here until someone has decided whether the lanes
/// carry it.
std::string_view lane_obstacle(LaneDesign const& design);

}  // namespace holdwater::sim
