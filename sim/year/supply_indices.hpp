#pragma once

#include <string_view>
#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::sim {

/// Reliability of a supply without grid and generator over one whole year, by the field's own indices.
///
/// The energy demand is what small loads and pumps take on the AC side when nothing is missing. The energy of
/// water that was not delivered counts at the mean energy of a cubic meter of this year (`kwh_per_m3_by_hand`
/// where no pump ran).
///   loss-of-load probability = energy deficit / energy demand, and its complement, availability; the array
///   ratio C_A and the storage ratio C_S: Egido & Lorenzo, "The sizing of stand alone PV-systems: a review
///   and a proposed new method", Solar Energy Materials and Solar Cells 26 (1992) 51 (from memory). Their C_A
///   uses the light and the array's efficiency; here it is the array energy available to the controller.
struct SupplyIndices {
    double energy_demand_kwh = 0, energy_deficit_kwh = 0;
    double loss_of_load_probability = 0;    ///< deficit / demand, energy; 0 without demand
    double availability = 1;                ///< 1 - loss_of_load_probability
    double hours_short_fraction = 0;        ///< hours in which energy or water was short / all hours
    double water_deficit_fraction = 0;      ///< water not delivered / demand, volume; 0 without demand
    double water_hours_short_fraction = 0;  ///< hours short of water / all hours
    double array_ratio = 0;                 ///< C_A: lowest of any month, array energy / energy demand
    double array_ratio_month = 0;           ///< that month, 1 .. 12; 0: no demand
    double storage_ratio_days = 0;     ///< C_S: usable battery energy / daily energy demand of that month
    double autonomy_by_hand_days = 0;  ///< usable battery energy / that of the busiest day, by hand
};
struct IndexField {
    std::string_view name, unit, long_name;
    double SupplyIndices::*value;
    std::string_view source;  ///< of the definition
};
std::vector<IndexField> const& index_fields();

/// Energy that counts for a cubic meter of water that was not delivered [kWh/m3]: the mean of what was, or
/// `by_hand` where no pump ran.
inline double kwh_per_m3(double pump_kwh, double delivered_m3, double by_hand) {
    return pump_kwh > 0 && delivered_m3 > 0 ? pump_kwh / delivered_m3 : by_hand;
}

/// `run`: a whole year from 1 January, without grid and generator, with its hours. `usable_kwh`: what the
/// battery gives at its terminals from full to its minimum SOC. Throws std::invalid_argument for another run.
SupplyIndices supply_indices(RunResult const& run, double usable_kwh, double kwh_per_m3_by_hand,
                             double autonomy_by_hand_days);

}  // namespace holdwater::sim
