#pragma once

namespace holdwater::sim {

/// So many hours are taken together when they are quick: what asks for that is asked once.
inline constexpr int hours_at_once = 6;

/// The pump between two changes of it.
struct PumpStretch {
    double hours = 0;
    double power_w = 0;  ///< mean, with its start and a sleeping drive
};

}  // namespace holdwater::sim
