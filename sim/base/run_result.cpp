#include "sim/base/run_result.hpp"

#include <array>
#include <cstring>
#include <type_traits>

namespace holdwater::sim {

namespace {

// A record as an array of its numbers, one for each series.
using Numbers = std::array<double, sizeof(HourRecord) / sizeof(double)>;

// std::bit_cast, which the web build's library does not have.
template <class To, class From>
To same_bytes(From const& from) {
    static_assert(sizeof(To) == sizeof(From) && std::is_trivially_copyable_v<To> &&
                  std::is_trivially_copyable_v<From>);
    To to{};
    std::memcpy(static_cast<void*>(&to), &from, sizeof to);
    return to;
}

void add(Numbers& sums, HourRecord const& hour) {
    auto const numbers = same_bytes<Numbers>(hour);
    for (std::size_t i = 0; i < sums.size(); ++i) sums[i] += numbers[i];
}

}  // namespace

HourRecord sum_of(std::span<HourRecord const> hours) {
    Numbers sums{};
    for (HourRecord const& r : hours) add(sums, r);
    return same_bytes<HourRecord>(sums);
}

void add(HourRecord& sum, HourRecord const& hour) {
    auto sums = same_bytes<Numbers>(sum);
    add(sums, hour);
    sum = same_bytes<HourRecord>(sums);
}

std::vector<SeriesField> const& series_fields() {
    constexpr std::string_view mean = "mean over the hour that starts at the index",
                               total = "total over that hour", end = "at the end of that hour";
    using R = HourRecord;
    static std::vector<SeriesField> const fields{
        {"pv_available_kw", "kW", "PV available: array power at its maximum-power point", mean,
         &R::pv_available_kw},
        {"pv_used_kw", "kW", "PV used", mean, &R::pv_used_kw},
        {"pv_curtailed_kw", "kW", "PV curtailed", mean, &R::pv_curtailed_kw},
        {"array_window_loss_kw", "kW",
         "array power lost to the controller's voltage window; available = used + curtailed + this", mean,
         &R::array_window_loss_kw},
        {"controller_loss_kw", "kW", "loss in the charge controller", mean, &R::controller_loss_kw},
        {"battery_charge_kw", "kW", "power into the battery terminals", mean, &R::battery_charge_kw},
        {"battery_discharge_kw", "kW", "power out of the battery terminals", mean, &R::battery_discharge_kw},
        {"battery_loss_kw", "kW", "battery conversion loss and self-discharge", mean, &R::battery_loss_kw},
        {"battery_stored_kwh", "kWh", "energy in the battery", end, &R::battery_stored_kwh},
        {"battery_soc", "1", "state of charge", end, &R::battery_soc},
        {"inverter_loss_kw", "kW", "inverter loss, idle draw included", mean, &R::inverter_loss_kw},
        {"charger_loss_kw", "kW", "loss in the AC charger", mean, &R::charger_loss_kw},
        {"standby_kw", "kW", "DC draw of controller and battery management", mean, &R::standby_kw},
        {"heater_kw", "kW", "DC draw of the battery heater", mean, &R::heater_kw},
        {"load_demand_kw", "kW", "demand of the small loads", mean, &R::load_demand_kw},
        {"load_served_kw", "kW", "small loads served", mean, &R::load_served_kw},
        {"load_unserved_kw", "kW", "small loads not served", mean, &R::load_unserved_kw},
        {"pump_kw", "kW", "pump motor power", mean, &R::pump_kw},
        {"pump_run_h", "h", "time the pump ran", total, &R::pump_run_h},
        {"pump_starts", "1", "pump starts", total, &R::pump_starts},
        {"grid_kw", "kW", "power from the grid", mean, &R::grid_kw},
        {"generator_kw", "kW", "power from the generator", mean, &R::generator_kw},
        {"generator_run_h", "h", "time the generator ran", total, &R::generator_run_h},
        {"generator_fuel_l", "L", "generator fuel", total, &R::generator_fuel_l},
        {"backup_h", "h", "time the loads were on the backup", total, &R::backup_h},
        {"inverter_off_h", "h", "time the inverter was off, battery at its minimum SOC", total,
         &R::inverter_off_h},
        {"charge_refused_h", "h", "time the battery refused charge for its temperature", total,
         &R::charge_refused_h},
        {"pass_through_loss_kw", "kW",
         "power from grid or generator lost in the inverter on its way to the loads, the inverter's own draw "
         "included",
         mean, &R::pass_through_loss_kw},
        {"pass_through_h", "h", "time grid or generator supplied the loads through the inverter", total,
         &R::pass_through_h},
        {"battery_temperature_c", "degC", "battery temperature", end, &R::battery_temperature_c},
        {"water_demand_m3", "m3", "water demand", total, &R::water_demand_m3},
        {"water_delivered_m3", "m3", "water delivered", total, &R::water_delivered_m3},
        {"water_short_m3", "m3", "demand not delivered", total, &R::water_short_m3},
        {"water_pumped_m3", "m3", "water pumped from the well", total, &R::water_pumped_m3},
        {"tank_water_m3", "m3", "water in the pressure tank", end, &R::tank_water_m3},
        {"tank_pressure_kpa", "kPa", "gauge pressure in the tank", end, &R::tank_pressure_kpa},
        {"fill_pump_run_h", "h", "time the well pump filled the cistern, beside a booster", total,
         &R::fill_pump_run_h},
        {"fill_pump_starts", "1", "its starts", total, &R::fill_pump_starts},
        {"cistern_water_m3", "m3", "water in the cistern", end, &R::cistern_water_m3},
        {"trough_water_m3", "m3", "water in the trough", end, &R::trough_water_m3},
        {"water_spilled_m3", "m3", "water spilled from the cistern", total, &R::water_spilled_m3},
        {"well_inflow_m3", "m3", "flow into the well; needs a well model", total, &R::well_inflow_m3},
        {"well_level_m", "m", "depth of the water below the well head; needs a well model", end,
         &R::well_level_m},
        {"limit_reason", "1",
         "0 none, 1 battery empty, 2 inverter limit, 3 backup limit, 4 taps take more than the pump "
         "delivers, 5 transfer, 6 motor start refused, 7 inverter tripped, 8 grid out, 9 well dry, 10 "
         "cistern empty, 11 motor at rest, 12 inverter asleep in search mode, 13 shed at low SOC, "
         "14 trough empty, 15 pump gate shut, 16 battery limit, 17 no battery and too little sun, 18 "
         "low-pressure cutoff waits for its reset",
         "last reason in that hour", &R::limit_reason},
        {"water_short_reason", "1", "why water was short, numbered as limit_reason; 0: none was short",
         "reason of the largest part of that hour's water_short_m3", &R::water_short_reason},
        {"load_unserved_reason", "1",
         "why small loads were not served, numbered as limit_reason; 0: all were served",
         "reason of the largest part of that hour's load_unserved_kw", &R::load_unserved_reason},
    };
    return fields;
}

std::vector<RunStartField> const& run_start_fields() {
    using S = RunStart;
    static std::vector<RunStartField> const fields{
        {"battery_stored_kwh", "kWh", "energy in the battery", &S::battery_stored_kwh},
        {"battery_available_kwh", "kWh", "of it in the available well; all of it without the two-well model",
         &S::battery_available_kwh},
        {"battery_bound_kwh", "kWh", "of it in the bound well", &S::battery_bound_kwh},
        {"battery_capacity_kwh", "kWh", "energy in the full battery", &S::battery_capacity_kwh},
        {"tank_water_m3", "m3", "water in the pressure tank", &S::tank_water_m3},
        {"cistern_water_m3", "m3", "water in the cistern", &S::cistern_water_m3},
        {"trough_water_m3", "m3", "water in the trough", &S::trough_water_m3},
        {"well_level_m", "m", "depth of the water below the well head; needs a well model", &S::well_level_m},
        {"well_area_m2", "m2", "water surface in the casing; needs a well model", &S::well_area_m2},
        {"generator_tank_l", "L", "fuel in the generator's tank", &S::generator_tank_l},
    };
    return fields;
}

std::vector<LightField> const& light_fields() {
    constexpr std::string_view mean = "mean over the hour that starts at the index";
    static std::vector<LightField> const fields{
        {"array_light_w_m2", "W/m2",
         "irradiance on the array's plane: beam, sky and ground, hills on the horizon subtracted; before "
         "soiling, shading, glass and snow",
         mean, &RunResult::plane_light_w_m2},
        {"array_cell_c", "degC", "cell temperature of the array; the air's without light or under snow", mean,
         &RunResult::cell_c},
    };
    return fields;
}

void add_light_series(HourlyInputs const& inputs, RunResult& result) {
    auto const hours_of_run = [&](std::vector<double> const& year) {
        std::vector<double> values;
        if (year.empty()) return values;
        values.reserve(result.hours.size());
        for (std::size_t i = 0; i < result.hours.size(); ++i)
            values.push_back(year[(static_cast<std::size_t>(result.clock.first_hour) + i) % year.size()]);
        return values;
    };
    result.plane_light_w_m2 = hours_of_run(inputs.plane_light_w_m2);
    result.cell_c = hours_of_run(inputs.cell_c);
}

std::vector<SummaryField> const& summary_fields() {
    using S = Summary;
    static std::vector<SummaryField> const fields{
        {"water_demand_m3", "m3", "water demand", &S::water_demand_m3},
        {"water_delivered_m3", "m3", "water delivered", &S::water_delivered_m3},
        {"water_short_m3", "m3", "demand not delivered", &S::water_short_m3},
        {"shortage_hours", "h", "hours short of water: some of the demand was not delivered",
         &S::shortage_hours},
        {"longest_shortage_h", "h", "longest run of hours short of water", &S::longest_shortage_h},
        {"demand_met_fraction", "1", "delivered over demand", &S::demand_met_fraction},
        {"pump_starts", "1", "pump starts", &S::pump_starts},
        {"pump_run_h", "h", "pump running time", &S::pump_run_h},
        {"max_starts_per_day", "1", "most pump starts in one day", &S::max_starts_per_day},
        {"shortest_run_s", "s",
         "shortest pump run from start to stop by its switch or dry-run protection; 0: none",
         &S::shortest_run_s},
        {"pv_available_kwh", "kWh", "PV available: array energy at its maximum-power point",
         &S::pv_available_kwh},
        {"pv_used_kwh", "kWh", "PV used", &S::pv_used_kwh},
        {"pv_curtailed_kwh", "kWh", "PV curtailed", &S::pv_curtailed_kwh},
        {"battery_in_kwh", "kWh", "energy into the battery terminals", &S::battery_in_kwh},
        {"battery_out_kwh", "kWh", "energy out of the battery terminals", &S::battery_out_kwh},
        {"battery_loss_kwh", "kWh", "battery losses and self-discharge", &S::battery_loss_kwh},
        {"battery_equivalent_cycles", "1", "energy out over capacity", &S::battery_equivalent_cycles},
        {"soc_min", "1", "lowest state of charge", &S::soc_min},
        {"soc_mean", "1", "mean state of charge at the hours' ends", &S::soc_mean},
        {"ac_served_kwh", "kWh", "AC energy served, pump included", &S::ac_served_kwh},
        {"load_unserved_kwh", "kWh", "small-load energy not served", &S::load_unserved_kwh},
        {"pump_energy_kwh", "kWh", "pump motor energy", &S::pump_energy_kwh},
        {"inverter_loss_kwh", "kWh", "inverter loss, idle draw included", &S::inverter_loss_kwh},
        {"pass_through_loss_kwh", "kWh",
         "energy from grid or generator lost in the inverter on its way to the loads, the inverter's own "
         "draw "
         "included",
         &S::pass_through_loss_kwh},
        {"grid_kwh", "kWh", "energy from the grid", &S::grid_kwh},
        {"grid_peak_kwh", "kWh", "energy from the grid at the tariff's high price", &S::grid_peak_kwh},
        {"grid_low_kwh", "kWh", "energy from the grid at the tariff's low price", &S::grid_low_kwh},
        {"generator_kwh", "kWh", "energy from the generator", &S::generator_kwh},
        {"generator_run_h", "h", "generator running time", &S::generator_run_h},
        {"generator_starts", "1", "generator starts", &S::generator_starts},
        {"generator_fuel_l", "L", "generator fuel", &S::generator_fuel_l},
        {"transfers", "1", "changes between inverter and backup", &S::transfers},
        {"energy_residual_kwh", "kWh", "balance error of the energy", &S::energy_residual_kwh},
        {"water_residual_m3", "m3", "balance error of the water", &S::water_residual_m3},
        {"wall_time_s", "s", "computing time of the run", &S::wall_time_s},
    };
    return fields;
}

std::vector<SummaryField> const& repeatable_fields() {
    static std::vector<SummaryField> const fields = [] {
        auto all = summary_fields();
        std::erase_if(all, [](SummaryField const& f) { return f.value == &Summary::wall_time_s; });
        return all;
    }();
    return fields;
}

std::vector<FindingField> const& finding_fields() {
    using F = Findings;
    static std::vector<FindingField> const fields{
        {"longest_run_s", "s", "longest pump run", &F::longest_run_s},
        {"shortest_rest_s", "s", "shortest time the pump stood from cut-out to cut-in; 0: none",
         &F::shortest_rest_s},
        {"runs_below_least", "1", "pump runs from cut-in to cut-out shorter than the motor should run",
         &F::runs_below_least},
        {"most_starts_in_24h", "1", "most pump starts in any 24 hours on end", &F::most_starts_in_24h},
        {"most_starts_in_1h", "1", "most pump starts in any hour on end", &F::most_starts_in_1h},
        {"starts_limit_per_day", "1", "most starts a day for the motor's size; 0: not known",
         &F::starts_limit_per_day},
        {"hours_above_start_limit", "h", "hours that end with more starts than that in the 24 h before",
         &F::hours_above_start_limit},
        {"start_heating_index", "1",
         "motor heat of the worst hour's cycling over that of running all the time", &F::start_heating_index},
        {"start_energy_kwh", "kWh", "energy of the motors' starts, on top of running", &F::start_energy_kwh},
        {"longest_day_run_h", "h", "most pump hours in one day", &F::longest_day_run_h},
        {"lowest_pressure_kpa", "kPa", "lowest gauge pressure in the tank", &F::lowest_pressure_kpa},
        {"low_pressure_cutoffs", "1", "times the low-pressure cutoff stopped the pump",
         &F::low_pressure_cutoffs},
        {"dry_run_trips", "1", "times the dry-run protection stopped the pump", &F::dry_run_trips},
        {"dry_run_short_runs", "1",
         "well pump runs that the dry-run protection ended sooner than the motor should run",
         &F::dry_run_short_runs},
        {"dry_run_shortest_run_s", "s", "shortest well pump run that the dry-run protection ended; 0: none",
         &F::dry_run_shortest_run_s},
        {"deepest_water_m", "m", "deepest water level in the well", &F::deepest_water_m},
        {"well_latched", "1", "1: the dry-run protection waits for a person", &F::well_latched},
        {"fill_pump_starts", "1", "starts of the pump that fills the cistern", &F::fill_pump_starts},
        {"fill_pump_run_h", "h", "running time of the pump that fills the cistern", &F::fill_pump_run_h},
        {"cistern_least_m3", "m3", "least water in the cistern", &F::cistern_least_m3},
        {"water_spilled_m3", "m3", "water spilled from the cistern", &F::water_spilled_m3},
        {"peak_draw_m3_s", "m3/s", "all taps of the busiest hour open at once", &F::peak_draw_m3_s},
        {"starts_refused", "1", "motor starts that did not fit inverter, battery volts or generator",
         &F::starts_refused},
        {"load_starts_over_h", "h", "hours in which a small load's start is too much for the inverter",
         &F::load_starts_over_h},
        {"inverter_trips", "1", "overload trips of the inverter", &F::inverter_trips},
        {"overload_transfers", "1",
         "times that loads above the inverter's rating came to it from grid, generator or a bypass",
         &F::overload_transfers},
        {"generator_failures", "1", "generator starts given up", &F::generator_failures},
        {"fuel_outs", "1", "times the generator's tank ran dry", &F::fuel_outs},
        {"generator_low_load_h", "h", "hours the generator was loaded under its least load",
         &F::generator_low_load_h},
        {"charge_refused_h", "h", "hours the battery refused charge for its temperature",
         &F::charge_refused_h},
        {"freezing_h", "h", "hours a place with a heater was below its freezing limit", &F::freezing_h},
        {"battery_coldest_c", "degC", "lowest battery temperature at an hour's end", &F::battery_coldest_c},
        {"full_charges", "1", "times the battery reached SOC 0.99", &F::full_charges},
        {"longest_without_full_h", "h", "longest time between two full charges", &F::longest_without_full_h},
        {"battery_life_y", "year", "years to the battery's replacement; 0: not computed", &F::battery_life_y},
        {"battery_life_rule", "1",
         "what decides: 0 cycling, 1 calendar, 2 throughput, 3 cycling and calendar, 4 none",
         &F::battery_life_rule},
        {"battery_cycling_y", "year", "years by cycling alone; 0: not computed", &F::battery_cycling_y},
        {"battery_calendar_y", "year", "years by calendar alone; 0: not computed", &F::battery_calendar_y},
        {"battery_throughput_y", "year", "years by energy through the battery alone; 0: not computed",
         &F::battery_throughput_y},
    };
    return fields;
}

std::vector<YearField> const& year_fields() {
    using Y = YearRecord;
    static std::vector<YearField> const fields{
        {"year", "1", "year of the run", &Y::year},
        {"capacity_fraction", "1", "battery capacity over that of a new one", &Y::capacity_fraction},
        {"demand_met_fraction", "1", "delivered over demand", &Y::demand_met_fraction},
        {"shortage_hours", "h", "hours short of water: some of the demand was not delivered",
         &Y::shortage_hours},
        {"load_unserved_kwh", "kWh", "small-load energy not served", &Y::load_unserved_kwh},
        {"generator_run_h", "h", "generator running time", &Y::generator_run_h},
        {"grid_kwh", "kWh", "energy from the grid", &Y::grid_kwh},
        {"soc_min", "1", "lowest state of charge", &Y::soc_min},
        {"battery_replaced", "1", "1: at the end of its life, new from the next year on",
         &Y::battery_replaced},
    };
    return fields;
}

std::vector<DayField> const& day_fields() {
    using D = DayRecord;
    static std::vector<DayField> const fields{
        {"pv_available_kwh", "kWh", "PV available: array energy at its maximum-power point",
         &D::pv_available_kwh},
        {"pump_kwh", "kWh", "pump motor energy", &D::pump_kwh},
        {"load_kwh", "kWh", "small loads served", &D::load_kwh},
        {"grid_kwh", "kWh", "energy from the grid", &D::grid_kwh},
        {"generator_kwh", "kWh", "energy from the generator", &D::generator_kwh},
        {"water_delivered_m3", "m3", "water delivered", &D::water_delivered_m3},
        {"water_short_m3", "m3", "demand not delivered", &D::water_short_m3},
        {"pump_starts", "1", "pump starts", &D::pump_starts},
        {"shortage_hours", "h", "hours short of water", &D::shortage_hours},
        {"soc_min", "1", "lowest state of charge at an hour's end", &D::soc_min},
        {"soc_end", "1", "state of charge at the day's end", &D::soc_end},
    };
    return fields;
}

std::string_view name_of(EventKind kind) {
    switch (kind) {
        case EventKind::to_backup:
            return "to_backup";
        case EventKind::to_inverter:
            return "to_inverter";
        case EventKind::generator_start:
            return "generator_start";
        case EventKind::generator_stop:
            return "generator_stop";
        case EventKind::generator_failed:
            return "generator_failed";
        case EventKind::inverter_off:
            return "inverter_off";
        case EventKind::inverter_on:
            return "inverter_on";
        case EventKind::inverter_tripped:
            return "inverter_tripped";
        case EventKind::start_refused:
            return "start_refused";
        case EventKind::water_short:
            return "water_short";
        case EventKind::water_back:
            return "water_back";
        case EventKind::well_dry:
            return "well_dry";
        case EventKind::grid_failed:
            return "grid_failed";
        case EventKind::grid_returned:
            return "grid_returned";
        case EventKind::low_pressure_cutoff:
            return "low_pressure_cutoff";
        case EventKind::low_pressure_reset:
            return "low_pressure_reset";
    }
    return "";
}

}  // namespace holdwater::sim
