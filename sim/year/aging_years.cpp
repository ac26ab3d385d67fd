#include "sim/year/aging_years.hpp"

#include <algorithm>
#include <cmath>

#include "sim/year/battery_life.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {

RunResult simulate_years(System const& system, CheckedInputs const& inputs, Clock const& clock, int years) {
    RunResult first;
    System aged = system;
    double damage = 0, last_fraction = 1;
    for (int year = 1; year <= years; ++year) {
        YearRecord record;
        record.year = year;
        record.capacity_fraction = models::remaining_capacity(damage);
        aged.battery.capacity_kwh = system.battery.capacity_kwh * record.capacity_fraction;
        if (aged.carried_supply)
            aged.carried_supply->battery =
                models::scaled(aged.carried_supply->battery, record.capacity_fraction / last_fraction);
        last_fraction = record.capacity_fraction;
        RunResult run = simulate(aged, inputs, clock);
        record.demand_met_fraction = run.summary.demand_met_fraction;
        record.shortage_hours = run.summary.shortage_hours;
        record.load_unserved_kwh = run.summary.load_unserved_kwh;
        record.generator_run_h = run.summary.generator_run_h;
        record.grid_kwh = run.summary.grid_kwh;
        record.soc_min = run.summary.soc_min;
        double const life_y = battery_life(run, aged).years;
        if (std::isfinite(life_y) && !run.hours.empty())
            damage += static_cast<double>(run.hours.size()) / hours_per_year / life_y;
        if (damage >= 1) {
            record.battery_replaced = 1;
            damage = 0;
        }
        aged.carried_water = run.end_water;
        aged.carried_supply = run.end_supply;
        if (record.battery_replaced > 0) {
            models::BatteryParameters battery{aged.battery_behavior.store, aged.battery};
            battery.energy.capacity_kwh = system.battery.capacity_kwh;
            aged.carried_supply->battery = models::at_soc(battery, system.start_soc);
            last_fraction = 1;
        }
        if (year == 1) first = std::move(run);
        first.years.push_back(record);
    }
    return first;
}

}  // namespace holdwater::sim
