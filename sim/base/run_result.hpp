#pragma once

#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sim/base/clock.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Source of the AC loads.
enum class Source { none, inverter, grid, generator };

/// Why a demand in an hour was not supplied; the last reason that counted in the hour.
enum class LimitReason {
    none = 0,
    battery_empty = 1,     ///< inverter off: battery at its minimum SOC and no backup
    inverter_limit = 2,    ///< inverter rating too small for pump and loads together
    backup_limit = 3,      ///< grid pass-through or generator too small for pump and loads together
    pump_flow = 4,         ///< the pump runs, but the taps draw more than it gives
    transfer_break = 5,    ///< the moment of a transfer
    start_refused = 6,     ///< the motor start does not fit the inverter
    inverter_tripped = 7,  ///< inverter off after an overload
    grid_out = 8,          ///< inverter bypassed and the grid out
    well_dry = 9,          ///< the dry-run protection holds the pump back
    cistern_empty = 10,    ///< cistern at the end of its usable volume
    motor_rest = 11,       ///< the rest timer holds the pump back
    asleep = 12,           ///< small loads that do not wake the inverter from search mode
    load_shed = 13,        ///< small loads shed at low SOC
    trough_empty = 14,     ///< the animals drink faster than the float valve fills
    pump_gate = 15,        ///< outside the hours, and below the SOC, at which the well pump may run
    battery_limit = 16,    ///< power limit of the battery too small for pump and loads together
    sun_too_weak = 17,     ///< there is no battery, and the array gave too little at that moment
    low_pressure = 18,     ///< the low-pressure cutoff of the pressure switch waits for its reset
};

/// One hour of a run. Powers are means over the hour [kW], so each is also the energy of the hour [kWh].
struct HourRecord {
    double pv_available_kw = 0, pv_used_kw = 0, pv_curtailed_kw = 0, controller_loss_kw = 0;
    double array_window_loss_kw = 0;  // lost because of the controller's voltage window
    double battery_charge_kw = 0, battery_discharge_kw = 0, battery_loss_kw = 0;
    double battery_stored_kwh = 0, battery_soc = 0;  // at the end of the hour
    double inverter_loss_kw = 0, charger_loss_kw = 0, standby_kw = 0, heater_kw = 0;
    double load_demand_kw = 0, load_served_kw = 0, load_unserved_kw = 0;  // small loads
    double pump_kw = 0, pump_run_h = 0, pump_starts = 0;
    double grid_kw = 0, generator_kw = 0, generator_run_h = 0, generator_fuel_l = 0;
    double backup_h = 0, inverter_off_h = 0, charge_refused_h = 0;
    double pass_through_loss_kw = 0, pass_through_h = 0;  // backup through the inverter to the loads
    double battery_temperature_c = 0;  // at the end of the hour; 25 without a temperature model
    double water_demand_m3 = 0, water_delivered_m3 = 0, water_short_m3 = 0, water_pumped_m3 = 0;
    double tank_water_m3 = 0, tank_pressure_kpa = 0;  // at the end of the hour; at the taps without a tank
    double fill_pump_run_h = 0,
           fill_pump_starts = 0;  // well pump that fills a cistern, if the pump is a booster
    double cistern_water_m3 = 0, trough_water_m3 = 0;  // at the end of the hour
    double water_spilled_m3 = 0, well_inflow_m3 = 0;
    double well_level_m = 0;          // below the wellhead, at the end of the hour; 0 without a well model
    double limit_reason = 0;          // a LimitReason
    double water_short_reason = 0;    // a LimitReason: for the largest part of water_short_m3
    double load_unserved_reason = 0;  // a LimitReason: for the largest part of load_unserved_kw
};

/// What was stored at the beginning of the run. With the series this is enough to calculate the energy and
/// water balance again.
struct RunStart {
    double battery_stored_kwh = 0;
    double battery_available_kwh = 0, battery_bound_kwh = 0;  ///< its two wells; one store: all is available
    double battery_capacity_kwh = 0;
    double tank_water_m3 = 0, cistern_water_m3 = 0, trough_water_m3 = 0;
    double well_level_m = 0;  ///< below the wellhead; 0 without a well model
    double well_area_m2 = 0;  ///< cross section of the water in the casing; 0 without a well model
    double generator_tank_l = 0;
    [[nodiscard]] double water_m3() const { return tank_water_m3 + cistern_water_m3 + trough_water_m3; }
};
struct RunStartField {
    std::string_view name, unit, long_name;
    double RunStart::*value;
};
std::vector<RunStartField> const& run_start_fields();

/// Sums series by series.
void add(HourRecord& sum, HourRecord const& hour);
HourRecord sum_of(std::span<HourRecord const> hours);

/// Name, unit and meaning of each series, in the order in which they are written.
struct SeriesField {
    std::string_view name, unit, long_name, hour_meaning;
    double HourRecord::*value;
};
std::vector<SeriesField> const& series_fields();

enum class EventKind {
    to_backup,
    to_inverter,
    generator_start,
    generator_stop,
    generator_failed,
    inverter_off,
    inverter_on,
    inverter_tripped,
    start_refused,
    water_short,
    water_back,
    well_dry,
    grid_failed,
    grid_returned,
    low_pressure_cutoff,
    low_pressure_reset,
};
std::string_view name_of(EventKind kind);

struct Event {
    double time_h = 0;  ///< hours since 00:00 on 1 January of the first year
    EventKind kind{};
    double value = 0;  ///< SOC for supply events, tank pressure [kPa] for water events, depth of the water
                       ///< [m] for well_dry, length of the outage [h] for grid_failed, water short in it [m3]
                       ///< for grid_returned
};

/// The figures of a whole run; the names are those of --json and HDF5 (see summary_fields()).
struct Summary {
    double water_demand_m3 = 0, water_delivered_m3 = 0, water_short_m3 = 0;
    double shortage_hours = 0;       ///< hours short of water: some of the demand was not delivered
    double longest_shortage_h = 0;   ///< longest run of them; hours without demand do not end it
    double demand_met_fraction = 1;  ///< delivered / demand; 1 without demand
    double pump_starts = 0, pump_run_h = 0, max_starts_per_day = 0;
    /// From the start to the stop by its switch or its dry-run protection. Runs that the supply begins or
    /// ends do not count; 0: no such run.
    double shortest_run_s = 0;
    double pv_available_kwh = 0, pv_used_kwh = 0, pv_curtailed_kwh = 0;
    double battery_in_kwh = 0, battery_out_kwh = 0, battery_loss_kwh = 0;
    double battery_equivalent_cycles = 0;  ///< battery_out / capacity
    double soc_min = 0, soc_mean = 0;
    double ac_served_kwh = 0;      ///< small loads and pump
    double load_unserved_kwh = 0;  ///< small loads only; the shortfall of the pump is counted as water
    double pump_energy_kwh = 0, inverter_loss_kwh = 0;
    double pass_through_loss_kwh =
        0;  ///< from grid or generator, lost in the inverter on the way to the loads
    double grid_kwh = 0, generator_kwh = 0, generator_run_h = 0, generator_starts = 0, generator_fuel_l = 0;
    double grid_peak_kwh = 0, grid_low_kwh = 0;  ///< part of grid_kwh at the tariff's high and low price
    double transfers = 0;                        ///< changes between inverter and backup, both ways
    double energy_residual_kwh = 0, water_residual_m3 = 0;
    double wall_time_s = 0;
};

struct SummaryField {
    std::string_view name, unit, long_name;
    double Summary::*value;
};
std::vector<SummaryField> const& summary_fields();
/// The same without the computing time: figures that a repeated run gives again.
std::vector<SummaryField> const& repeatable_fields();

/// Day totals and extremes, for /daily.
struct DayRecord {
    double pv_available_kwh = 0, pump_kwh = 0, load_kwh = 0, grid_kwh = 0, generator_kwh = 0;
    double water_delivered_m3 = 0, water_short_m3 = 0, pump_starts = 0, shortage_hours = 0, soc_min = 1,
           soc_end = 0;
};
struct DayField {
    std::string_view name, unit, long_name;
    double DayRecord::*value;
};
std::vector<DayField> const& day_fields();

/// Further figures of a run that only matter in some designs (see finding_fields()).
struct Findings {
    double longest_run_s = 0;            ///< of the pump
    double shortest_rest_s = 0;          ///< of the pump, from cut-out to cut-in; 0: none
    double runs_below_least = 0;         ///< complete runs below the shortest recommended run of the motor
    double most_starts_in_24h = 0;       ///< in any 24 hours in a row
    double most_starts_in_1h = 0;        ///< in any 60 minutes in a row
    double starts_limit_per_day = 0;     ///< for the size of the motor; 0: not known
    double hours_above_start_limit = 0;  ///< hours at whose end the last 24 h had more starts than that
    double start_heating_index = 0;      ///< highest of any hour; above 1: hotter than in continuous running
    double start_energy_kwh = 0;         ///< of all starts, in addition to running
    double longest_day_run_h = 0;        ///< most pump hours in one day
    double lowest_pressure_kpa = 0;      ///< gauge, at the pressure tank
    double low_pressure_cutoffs = 0;     ///< times the low-pressure cutoff stopped the pump
    double dry_run_trips = 0;
    double dry_run_short_runs = 0;  ///< runs of the well pump that its dry-run protection ended before the
                                    ///< shortest recommended run of the motor
    double dry_run_shortest_run_s = 0;  ///< shortest run that the protection ended; 0: none
    double deepest_water_m = 0;         ///< below the wellhead; 0 without a well model
    double well_latched = 0;            ///< 1: the dry-run protection waits for someone to reset it
    double fill_pump_starts = 0, fill_pump_run_h = 0;
    double cistern_least_m3 = 0, water_spilled_m3 = 0;
    double peak_draw_m3_s = 0;      ///< all taps of the busiest hour open at the same time
    double starts_refused = 0;      ///< motor starts that did not fit inverter, battery voltage or generator
    double load_starts_over_h = 0;  ///< hours in which the start of a small load is too much for the inverter
    double inverter_trips = 0;      ///< overload trips
    double overload_transfers = 0;  ///< times that loads above the inverter's rating came to it from grid,
                                    ///< generator or a bypass (also if the grid had gone meanwhile); each
                                    ///< trips it, and its restarts add to inverter_trips only
    double generator_failures = 0;  ///< starts that were given up
    double fuel_outs = 0;           ///< number of times that the fuel tank was empty
    double generator_low_load_h = 0;  ///< hours below the lowest load of the generator
    double charge_refused_h = 0;    ///< hours in which the battery refused charge because of its temperature
    double freezing_h = 0;          ///< hours in which a place with a heater was below its freezing limit
    double battery_coldest_c = 25;  ///< at the end of an hour; 25 without a temperature model
    double full_charges = 0;        ///< number of times that the battery reached SOC 0.99, start included
    double longest_without_full_h = 0;  ///< longest time between two of them
    double battery_life_y = 0;          ///< years until replacement; 0: not computed
    double battery_life_rule =
        0;  ///< what decides: 0 cycling, 1 calendar, 2 throughput, 3 cycling and calendar, 4 none
    double battery_cycling_y = 0, battery_calendar_y = 0,
           battery_throughput_y = 0;  ///< by each rule alone; 0: not computed
};
struct FindingField {
    std::string_view name, unit, long_name;
    double Findings::*value;
};
std::vector<FindingField> const& finding_fields();

/// Demand and delivery of one use in the year.
struct UseResult {
    std::string name;
    double wanted_m3 = 0, delivered_m3 = 0;
};

/// A place with a heater that was below its freezing limit in the run.
struct FrozenPlace {
    std::string name;
    double hours = 0;        ///< below the limit
    double first_h = 0;      ///< the first of them, since 00:00 on 1 January of the first year
    double coldest_c = 0;    ///< lowest temperature of the place
    bool unpowered = false;  ///< the heater did not get all of its energy before the first of them
};

/// One year of a run of several (see years.hpp).
struct YearRecord {
    double year = 1;
    double capacity_fraction = 1;  ///< capacity of the battery in this year divided by that when new
    double demand_met_fraction = 1, shortage_hours = 0, load_unserved_kwh = 0;
    double generator_run_h = 0, grid_kwh = 0, soc_min = 0;
    double battery_replaced = 0;  ///< 1: it reaches the end of its life; a new one from the next year on
};
struct YearField {
    std::string_view name, unit, long_name;
    double YearRecord::*value;
};
std::vector<YearField> const& year_fields();

/// One outage of the grid within a run (see outage_record.hpp).
struct OutageRecord {
    double start_h = 0, length_h = 0;  ///< hours since 00:00 on 1 January
    double water_short_m3 = 0, shortage_hours = 0;
    double first_short_h = -1;  ///< the first hour short of water; -1: none
    double soc_min = 1;         ///< lowest SOC at the end of an hour in the outage
    double soc_at_start = 0;    ///< SOC at the end of the hour before it; of its first hour, if a run begins
};

struct RunResult;

/// A series of inputs of the run.
struct LightField {
    std::string_view name, unit, long_name, hour_meaning;
    std::vector<double> RunResult::*values;
};
std::vector<LightField> const& light_fields();

struct RunResult {
    Clock clock;
    RunStart start;
    std::vector<HourRecord> hours;
    std::vector<DayRecord> days;
    std::vector<Event> events;
    Summary summary;
    Findings findings;
    std::vector<YearRecord> years;      ///< of a run of several years; otherwise empty
    std::vector<UseResult> uses;        ///< if there are several
    std::vector<OutageRecord> outages;  ///< with the grid as backup, in order of time
    std::vector<FrozenPlace> frozen;    ///< places that froze in spite of their heater
    /// Inputs of each hour of the run; only if requested (add_light_series).
    std::vector<double> plane_light_w_m2, cell_c;
    int lowest_soc_hour = 0;  ///< hour of the year in which Summary::soc_min was first reached, within 0.1 %
    CarriedWater end_water;   ///< for a run that continues from here
    CarriedSupply end_supply;
};

/// Adds light on the array and cell temperature of the hours of the run to the result, for its file.
void add_light_series(HourlyInputs const& inputs, RunResult& result);

}  // namespace holdwater::sim
