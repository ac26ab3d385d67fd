#include "sim/designs/size_map.hpp"

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {

SizeMap size_map(System const& system, HourlyInputs const& hourly) {
    SizeMap m;
    if (system.rules.backup == Backup::generator) m.figure = MapFigure::generator_run_h;
    if (system.rules.backup == Backup::grid) m.figure = MapFigure::grid_kwh;
    m.array_factor = m.battery_factor = {0.5, 0.75, 1, 1.5, 2, 3};
    for (double const battery : m.battery_factor) {
        auto const with_battery = with_battery_factor(system, battery);
        auto& row = m.years.emplace_back();
        for (double const array : m.array_factor) {
            auto inputs = hourly;
            for (double& w : inputs.array_power_w) w *= array;
            for (double& w : inputs.array_window_loss_w) w *= array;
            row.push_back(simulate(with_controller_factor(with_battery, array), inputs, Clock{}).summary);
        }
    }
    return m;
}

double map_value(Summary const& y, MapFigure figure) {
    if (figure == MapFigure::generator_run_h) return y.generator_run_h;
    return figure == MapFigure::grid_kwh ? y.grid_kwh : y.shortage_hours;
}

}  // namespace holdwater::sim
