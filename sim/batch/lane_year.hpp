#pragma once

#include <optional>
#include <vector>

#include "sim/batch/lane_findings.hpp"
#include "sim/batch/lane_obstacle.hpp"
#include "sim/year/quick_path.hpp"

namespace holdwater::sim {

/// One design of a group besides its lane: what it needs for the hours that it runs alone, and their sums.
struct LaneRun {
    LaneRun(LaneDesign const& design, WaterYear const& water, Clock const& clock)
        : system(*design.system),
          inputs(design.inputs->inputs->hours()),
          digest(*design.inputs),
          water_side(system, events),
          supply(system, events),
          loads(inputs),
          quick(system, *design.inputs->inputs, clock, water_side, supply, loads),
          extra_starts(water.starts_of_day.size(), 0),
          apart(water.hours.size(), 0) {
        water_side.set_tables(water.tables);
    }

    System const& system;
    HourlyInputs const& inputs;
    InputsDigest const& digest;
    std::vector<Event> events;
    WaterSide water_side;  // for hours run alone
    SupplySide supply;
    LoadShedding loads;
    QuickPath quick;
    HourRecord alone;  // sums of the hours that were not quick
    double alone_hours = 0;
    double grid_peak_kwh = 0, grid_low_kwh = 0;  // as in Summary: the grid gives only in these hours
    double supplied_pump_kwh = 0;                // of the pump in these hours of the shared year
    double supplied_inverter_kwh = 0;            // input of the inverter if these hours were quick
    // If its water side differs from the shared year: its state and the differences in the sums.
    std::optional<WaterState> own_water;
    std::vector<double> extra_starts;  // by day
    std::vector<char> apart;           // hours with records of their own: 1, or 2 if short of water
    bool other_starts = false, other_shortage_hours = false;
    OwnHours own;
    double load_starts_over_h = 0;
    double more_run_h = 0, more_delivered_m3 = 0, more_unmet_m3 = 0, more_pumped_m3 = 0;
};

/// The sums of a lane over the hours that were quick, and what the battery holds at the end.
struct LaneSums {
    double charged_kwh = 0, discharged_kwh = 0, self_loss_kwh = 0;
    double stored_kwh = 0;       ///< now
    double inverter_dc_kwh = 0;  ///< of all hours, as if all had been quick
    double stored_sum_kwh = 0;   ///< at the end of every hour, added up
};

/// The figures of the run, from its lane and from the hours that it ran alone. Pre: its battery has the state
/// of the lane.
Summary lane_summary(LaneRun const& run, WaterYear const& water, Clock const& clock, LaneSums const& lane);

/// The findings as from simulate(). What a plain water side and a battery without temperature cannot have
/// stays 0. `stored_kwh`: at the end of every hour.
Findings lane_findings(LaneRun const& run, WaterYear const& water, Clock const& clock,
                       std::vector<double> const& stored_kwh, Summary const& summary);

}  // namespace holdwater::sim
