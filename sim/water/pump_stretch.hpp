#pragma once

namespace holdwater::sim {

/// The pump between two changes of it.
struct PumpStretch {
    double hours = 0;
    double power_w = 0;  ///< mean, with its start and a sleeping drive
};

}  // namespace holdwater::sim
