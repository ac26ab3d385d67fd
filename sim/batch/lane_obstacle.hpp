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
/// on the design. A new setting of the system or its inputs does not compile here until someone has decided
/// whether the lanes carry it.
std::string_view lane_obstacle(LaneDesign const& design);

}  // namespace holdwater::sim
