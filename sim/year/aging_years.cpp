#include "sim/year/aging_years.hpp"

#include <algorithm>
#include <cmath>

#include "sim/year/battery_life.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {

RunResult simulate_years(System const& system, HourlyInputs const& inputs, Clock const& clock, int years) {
    RunResult first;
    System aged = system;
    double damage = 0, last_fraction = 1;
    for (int year = 1; year <= years; ++year) {
        YearRecord record;
        record.year = year;
        record.capacity_fraction = models::remaining_capacity(damage);
        aged.bank.capacity_kwh = system.bank.capacity_kwh * record.capacity_fraction;
        if (aged.carried_supply)
            aged.carried_supply->bank =
                models::scaled(aged.carried_supply->bank, record.capacity_fraction / last_fraction);
        last_fraction = record.capacity_fraction;
        RunResult run = simulate(aged, inputs, clock);
        record.water_kept_fraction = run.summary.water_kept_fraction;
        record.dry_hours = run.summary.dry_hours;
        record.load_unserved_kwh = run.summary.load_unserved_kwh;
        record.generator_run_h = run.summary.generator_run_h;
        record.grid_kwh = run.summary.grid_kwh;
        record.soc_min = run.summary.soc_min;
        double const life_y = bank_life(run, aged).years;
        if (std::isfinite(life_y) && !run.hours.empty())
            damage += static_cast<double>(run.hours.size()) / hours_per_year / life_y;
        if (damage >= 1) {
            record.bank_replaced = 1;
            damage = 0;
        }
        aged.carried_water = run.end_water;
        aged.carried_supply = run.end_supply;
        if (record.bank_replaced > 0) {
            models::BatteryParameters bank{aged.bank, aged.bank_behaviour.kind,
                                           aged.bank_behaviour.available_fraction,
                                           aged.bank_behaviour.exchange_per_h};
            bank.energy.capacity_kwh = system.bank.capacity_kwh;
            aged.carried_supply->bank = models::at_soc(bank, system.start_soc);
            last_fraction = 1;
        }
        if (year == 1) first = std::move(run);
        first.years.push_back(record);
    }
    return first;
}

}  // namespace holdwater::sim
