#pragma once

#include <algorithm>
#include <limits>

#include "models/numeric/daily_span.hpp"
#include "models/water/water_properties.hpp"

namespace holdwater::models {

/// Open cistern between the well and a booster pump, or an elevated tank that supplies pressure by gravity.
///
/// dV/dt = inflow - outflow - spill. At the bottom is dead volume (intake, air), and above it a reserve that
/// normal use may not take (fire). Rates are constant between events, so the solution is an exact straight
/// line. The float switch calls for filling at `fill_start_m3` and stops it at `fill_stop_m3`. With surplus
/// power, filling may start at any volume below the stop (see filling_called).
struct CisternParameters {
    double capacity_m3 = 0;  // to the overflow
    double dead_m3 = 0;
    double reserve_m3 = 0;
    double fill_start_m3 = 0;
    double fill_stop_m3 = 0;
    double fill_enough_m3 = 0;     // filling without surplus power ends here; 0 = at fill_stop_m3
    double floor_area_m2 = 0;      // for the height of the water; 0 = not counted
    double floor_elevation_m = 0;  // above the wellhead
};

void validate(CisternParameters const& p);

/// Volume below which normal use gets no water.
inline double usable_from_m3(CisternParameters const& p) { return p.dead_m3 + p.reserve_m3; }
/// Days for which the usable volume lasts at `daily_m3`.
double autonomy_days(CisternParameters const& p, double volume_m3, double daily_m3);

enum class FillRule {
    level,           // float switch only
    surplus_or_low,  // with surplus power up to the stop; without it from fill_start to fill_enough
    surplus_only     // never from the battery; the cistern runs dry without sun
};

/// Whether the well pump is called, from the volume, whether it is filling already, and whether there is
/// surplus power.
bool filling_called(CisternParameters const& p, FillRule rule, double volume_m3, bool filling, bool surplus);

struct CisternStep {
    double volume_m3 = 0;
    double delivered_m3 = 0;
    double unmet_m3 = 0;
    double spilled_m3 = 0;
};

/// `reserve_open` allows use to take the reserve (fire). Below the usable volume, normal use gets nothing
/// until the volume is back at that limit; at the limit it gets the inflow.
inline CisternStep advance(CisternParameters const& p, double from_m3, double inflow_m3_s,
                           double outflow_m3_s, double seconds, bool reserve_open = false) {
    CisternStep out;
    double const floor = p.dead_m3 + (reserve_open ? 0 : p.reserve_m3);
    double volume = from_m3, left_s = seconds;
    if (volume < floor) {
        double const t = inflow_m3_s > 0 ? std::min(left_s, (floor - volume) / inflow_m3_s) : left_s;
        out.unmet_m3 += outflow_m3_s * t;
        volume = t < left_s ? floor : volume + inflow_m3_s * t;
        left_s -= t;
    }
    double const net = inflow_m3_s - outflow_m3_s;
    double const edge = net > 0 ? p.capacity_m3 : floor;
    double const t = net != 0 ? std::min(left_s, std::max(0.0, (edge - volume) / net)) : left_s;
    volume = t < left_s ? edge : volume + net * t;
    out.delivered_m3 += outflow_m3_s * t;
    left_s -= t;
    if (left_s > 0) {
        out.delivered_m3 += std::min(outflow_m3_s, net > 0 ? outflow_m3_s : inflow_m3_s) * left_s;
        (net > 0 ? out.spilled_m3 : out.unmet_m3) += (net > 0 ? net : -net) * left_s;
    }
    out.volume_m3 = volume;
    return out;
}

/// Seconds until the volume reaches `to_m3`, within the usable volume; infinity if it moves away or stays.
inline double time_to_level_s(double from_m3, double to_m3, double inflow_m3_s, double outflow_m3_s) {
    if (from_m3 == to_m3) return 0;
    double const t = (to_m3 - from_m3) / (inflow_m3_s - outflow_m3_s);
    return t > 0 ? t : std::numeric_limits<double>::infinity();
}

/// Gauge pressure at an outlet without pumping, kPa; negative if the outlet is above the water.
double gravity_pressure_kpa(CisternParameters const& p, double volume_m3, double outlet_elevation_m,
                            Water const& water);

/// Drinking trough with a float valve, which opens at `open_m3` and shuts when the trough is full. So a
/// trough draws water intermittently.
struct TroughParameters {
    double full_m3 = 0;
    double open_m3 = 0;
    double float_flow_m3_s = 0;  // through the open valve; 2..8 gpm, common practice
    /// A second valve, which opens with surplus power: in these hours of the day, or from this state of
    /// charge on, both decided when an hour begins, and never on the backup. It opens fill_band_m3 below full
    /// and shuts with the float. Infinite and no hours: there is none.
    double fill_battery_above = std::numeric_limits<double>::infinity();
    DailyHours fill_hours{};
    double fill_band_m3 = 0;
};
void validate(TroughParameters const& p);

struct TroughState {
    double volume_m3 = 0;
    bool open = false;
};

struct TroughStep {
    double drawn_m3 = 0;  // from the water system
    double unmet_m3 = 0;  // demand of the animals while it was empty
    double open_s = 0;    // valve open
};

/// `supplied`: whether the water system can supply the valve.
TroughStep advance(TroughParameters const& p, TroughState& state, double drinking_m3_s, double seconds,
                   bool supplied = true);
/// Seconds until the valve opens or shuts; infinity if never.
double time_to_change_s(TroughParameters const& p, TroughState const& state, double drinking_m3_s,
                        bool supplied = true);

}  // namespace holdwater::models
