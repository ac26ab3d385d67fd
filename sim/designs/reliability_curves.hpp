#pragma once

#include <vector>

#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// Storage that a supply without grid and generator needs for one availability, for each array of
/// ReliabilityCurves.
struct ReliabilityCurve {
    double availability = 0;                 ///< share of the energy demand that is served, as a fraction
    std::vector<double> storage_ratio_days;  ///< C_S [d]; NaN: more than the largest storage tried
    std::vector<double> battery_kwh;         ///< the same as capacity [kWh]
};

/// Iso-reliability curves of a design: storage ratio C_S against array ratio C_A (supply_indices.hpp).
struct ReliabilityCurves {
    int years = 0;                         ///< made years, all of them in each availability
    int month = 1;                         ///< of C_A, 1 .. 12
    double largest_storage_days = 0;       ///< C_S of the largest storage tried
    std::vector<double> array_ratio;       ///< C_A, rising
    std::vector<double> array_w;           ///< the same as rated power [W]
    std::vector<ReliabilityCurve> curves;  ///< 90, 95 and 99 %
};

/// The smallest storage of each array for an availability of 90, 95 and 99 %, to 0.5 %. The availability is
/// that of the first 20 made years of `options`, or of all if they are fewer (at least one): served energy of
/// all these years over their energy demand, with water that was not delivered at the year's mean energy of a
/// cubic meter. Each year begins full, in the season of most light. Grid and generator are left out, the
/// battery is as it is now, the controller is in proportion to the array and the limits of the battery to its
/// capacity. Throws std::invalid_argument for a design without demand, array or battery; StudyStopped.
ReliabilityCurves reliability_curves(DrawnDesign const& design, DrawOptions const& options);

}  // namespace holdwater::sim
