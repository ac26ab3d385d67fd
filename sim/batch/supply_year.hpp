#pragma once

#include <vector>

#include "sim/batch/inputs_digest.hpp"
#include "sim/batch/water_year.hpp"
#include "sim/supply/quick_hour.hpp"

namespace holdwater::sim {

/// The pump's stretches of a water year as a supply sees them: what inverter and standby need, and how its
/// battery decays. It serves all designs that have these in common, and the small loads.
struct SupplyYear {
    QuickSupply<double> plant;
    double const* load_w = nullptr;
    std::vector<SupplyStretch<double>> stretches;
    std::vector<double> inverter_dc_kwh;  ///< of every hour
    double all_inverter_dc_kwh = 0;       ///< their sum
};
SupplyYear supply_year(System const& system, InputsDigest const& inputs, WaterYear const& water,
                       Clock const& clock);

}  // namespace holdwater::sim
