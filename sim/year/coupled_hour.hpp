#pragma once

#include "sim/supply/load_shedding.hpp"
#include "sim/supply/supply_side.hpp"
#include "sim/water/water_side.hpp"

namespace holdwater::sim {

/// Value of an optional series of HourlyInputs.
inline double value_or(std::vector<double> const& values, std::size_t hour, double otherwise) {
    return values.empty() ? otherwise : values[hour];
}

/// One hour (counted from the beginning of the first year) of supply and water side together, step by step.
/// This works for every hour. Fills the record.
void coupled_hour(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
                  LoadShedding& loads, int hour, HourRecord& r);

/// Throws std::logic_error if the inverter gave more energy than it took, which is a fault of its loss curve
/// or of the loop. `loss_kwh`: its input minus `output_kwh` since `first_hour`.
void check_inverter_loss(double loss_kwh, double output_kwh, int first_hour);

/// Records the inputs of hour `h` of the year and the battery at its end.
inline void end_hour(HourlyInputs const& inputs, double array_factor, std::size_t h, double load_demand_w,
                     Battery const& battery, double stored_kwh, HourRecord& r) {
    if (r.inverter_loss_kw < 0)
        check_inverter_loss(r.inverter_loss_kw, r.load_served_kw + r.pump_kw, static_cast<int>(h));
    double const lost_w = array_factor * value_or(inputs.array_window_loss_w, h, 0);
    r.array_window_loss_kw = lost_w * 1e-3;
    r.pv_available_kw = (array_factor * inputs.array_power_w[h] + lost_w) * 1e-3;
    r.load_demand_kw = load_demand_w * 1e-3;
    r.battery_stored_kwh = stored_kwh;
    r.battery_soc = battery.capacity_kwh() > 0 ? stored_kwh / battery.capacity_kwh() : 0;
    r.battery_temperature_c = battery.temperature_c();
}

}  // namespace holdwater::sim
