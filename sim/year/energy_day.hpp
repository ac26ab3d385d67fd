#pragma once

#include <span>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Where the energy of an average day goes [kWh a day].
struct EnergyDay {
    double pump_kwh = 0;
    double loads_kwh = 0;     ///< small loads that were served
    double inverter_kwh = 0;  ///< idle draw and losses, of the pass-through too
    double battery_kwh = 0;   ///< losses
    double other_kwh = 0;     ///< losses of controller and charger, standby, battery heater
    [[nodiscard]] double total_kwh() const {
        return pump_kwh + loads_kwh + inverter_kwh + battery_kwh + other_kwh;
    }
};
/// Pre: at least one hour.
EnergyDay mean_energy_day(std::span<HourRecord const> hours);

/// What supplies the loads for most of an hour.
enum class HourSource { array, battery, grid, generator, nothing };
HourSource hour_source(HourRecord const& hour, Backup backup);

}  // namespace holdwater::sim
