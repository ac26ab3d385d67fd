#pragma once

namespace holdwater::sim {

/// The pump between two changes of its state.
struct PumpStretch {
    double hours = 0;
    double power_w = 0;  ///< mean, including its start and a sleeping drive
};

}  // namespace holdwater::sim
