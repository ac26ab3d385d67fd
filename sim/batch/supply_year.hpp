#pragma once

#include <vector>

#include "sim/batch/inputs_digest.hpp"
#include "sim/batch/water_year.hpp"
#include "sim/supply/quick_hour.hpp"

namespace holdwater::sim {

/// The stretches of the pump in a water year for a supply: what inverter and standby need, and the decay of
/// the battery. All designs that have these and the small loads in common can use it.
struct SupplyYear {
    QuickSupply<double> plant;
    double const* load_w = nullptr;
    std::vector<SupplyStretch<double>> stretches;
    std::vector<double> inverter_dc_kwh;  ///< in every hour
    double all_inverter_dc_kwh = 0;       ///< their sum
};
SupplyYear supply_year(System const& system, InputsDigest const& inputs, WaterYear const& water,
                       Clock const& clock);

}  // namespace holdwater::sim
