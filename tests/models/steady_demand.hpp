#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/water/pump_cycle.hpp"
#include "models/water/variable_speed.hpp"

namespace holdwater::test {

using namespace models;

// A pump at a constant demand, put together from the steps of the models: for rows with published or worked
// values.

/// Pump off: the tank delivers what it holds and no more.
inline FillStep drain(double from_m3, double demand_m3_s, double seconds) {
    double const asked = demand_m3_s * seconds;
    return {std::max(0.0, from_m3 - asked), 0, std::max(0.0, asked - from_m3), 0, seconds};
}

/// Seconds until the taps have drawn the tank down to `to_m3` with the pump off; infinity without demand.
inline double drain_time_s(double from_m3, double to_m3, double demand_m3_s) {
    if (from_m3 <= to_m3) return 0;
    return demand_m3_s > 0 ? (from_m3 - to_m3) / demand_m3_s : std::numeric_limits<double>::infinity();
}

/// Tank and pressure switch; closed = the switch calls for the pump.
struct SwitchedTank {
    double water_m3 = 0;
    bool closed = false;
};

struct CycleTotals {
    long starts = 0;  // times the contact closes; without a run that is already on at the beginning
    double run_s = 0;
    double pumped_m3 = 0;
    double unmet_m3 = 0;
    double energy_j = 0;
};

inline void add(CycleTotals& sum, FillStep const& step) {
    sum.run_s += step.seconds;
    sum.pumped_m3 += step.pumped_m3;
    sum.unmet_m3 += step.unmet_m3;
    sum.energy_j += step.energy_j;
}

/// Tank, switch and pump at a constant demand for `seconds`, with power all the time and without lockouts.
/// Changes `state`. The contact closes when the water falls to cut-in (at once if it starts there) and opens
/// at cut-out.
inline CycleTotals run_switched(TankFillCurve const& c, SwitchedTank& state, double demand_m3_s,
                                double seconds) {
    CycleTotals sum;
    double left_s = seconds;
    while (left_s > 0) {
        if (!state.closed) {
            double const t = drain_time_s(state.water_m3, c.cut_in_m3, demand_m3_s);
            if (t > left_s) {
                state.water_m3 = drain(state.water_m3, demand_m3_s, left_s).water_m3;
                break;
            }
            left_s -= t;
            state.water_m3 = std::min(state.water_m3, c.cut_in_m3);
            state.closed = true;
            ++sum.starts;
            continue;  // left_s may be 0: the start belongs to this span
        }
        if (state.water_m3 == c.cut_out_m3) {  // already there
            state.closed = false;
            continue;
        }
        FillStep const step = advance_to(c, state.water_m3, c.cut_out_m3, demand_m3_s, left_s);
        add(sum, step);
        left_s -= step.seconds;
        state.water_m3 = step.water_m3;
        if (step.water_m3 == c.cut_out_m3) state.closed = false;
    }
    return sum;
}

/// One full cycle at a constant demand, from cut-in to cut-out and back.
struct SteadyCycle {
    double run_s = 0, rest_s = 0;  // infinity: never reaches cut-out, or no demand
    double pumped_m3 = 0, energy_j = 0;
    double starts_per_h = 0, run_fraction = 0;
};

inline SteadyCycle steady_cycle(TankFillCurve const& c, double demand_m3_s) {
    SteadyCycle cycle{};
    cycle.run_s = time_to_reach_s(c, c.cut_in_m3, c.cut_out_m3, demand_m3_s);
    cycle.rest_s = drain_time_s(c.cut_out_m3, c.cut_in_m3, demand_m3_s);
    if (std::isinf(cycle.run_s)) {
        cycle.pumped_m3 = cycle.energy_j = std::numeric_limits<double>::infinity();
        cycle.run_fraction = 1;
        return cycle;
    }
    auto const fill = advance(c, c.cut_in_m3, demand_m3_s, cycle.run_s);
    cycle.pumped_m3 = fill.pumped_m3;
    cycle.energy_j = fill.energy_j;
    cycle.starts_per_h = 3600 / (cycle.run_s + cycle.rest_s);
    cycle.run_fraction = cycle.run_s / (cycle.run_s + cycle.rest_s);
    return cycle;
}

/// Stored water at which the pump flow equals the demand; NaN if the demand is above the flow at an empty
/// tank.
inline double settling_water_m3(TankFillCurve const& c, double demand_m3_s) {
    if (demand_m3_s > c.nodes.front().flow_m3_s) return std::numeric_limits<double>::quiet_NaN();
    for (auto const& p : c.pieces) {
        double const end_flow = p.flow_m3_s + p.flow_slope_1_s * (p.to_m3 - p.from_m3);
        if (end_flow <= demand_m3_s)
            return p.flow_slope_1_s == 0
                       ? p.from_m3
                       : std::clamp(p.from_m3 + (demand_m3_s - p.flow_m3_s) / p.flow_slope_1_s, p.from_m3,
                                    p.to_m3);
    }
    return c.nodes.back().water_m3;
}

/// Tank and drive at a constant demand; `state.closed` = awake. Starts are wake-ups. Energy includes the
/// standby draw while asleep.
inline CycleTotals run_constant_pressure(DriveCurve const& c, SwitchedTank& state, double demand_m3_s,
                                         double seconds) {
    TankFillCurve const& fill = c.full_speed;
    CycleTotals sum;
    double left_s = seconds;
    while (left_s > 0) {
        if (!state.closed) {
            double const t = drain_time_s(state.water_m3, fill.cut_in_m3, demand_m3_s);
            double const asleep_s = std::min(t, left_s);
            sum.energy_j += c.standby_w * asleep_s;
            if (t > left_s) {
                state.water_m3 = drain(state.water_m3, demand_m3_s, left_s).water_m3;
                break;
            }
            left_s -= t;
            state.water_m3 = std::min(state.water_m3, fill.cut_in_m3);
            state.closed = true;
            ++sum.starts;
            continue;
        }
        if (state.water_m3 < fill.cut_out_m3) {  // full speed up to the set point, or without end
            double const to_set_s = time_to_reach_s(fill, state.water_m3, fill.cut_out_m3, demand_m3_s);
            double const t = std::min(to_set_s, left_s);
            auto const step = advance(fill, state.water_m3, demand_m3_s, t);
            add(sum, step);
            left_s -= t;
            state.water_m3 = to_set_s <= t ? fill.cut_out_m3 : step.water_m3;
            continue;
        }
        if (demand_m3_s < c.sleep_flow_m3_s) {
            state.closed = false;
            continue;
        }
        if (demand_m3_s >
            flow_at_m3_s(fill, fill.cut_out_m3)) {  // more than full speed gives: the pressure falls
            auto const step = advance(fill, state.water_m3, demand_m3_s, left_s);
            add(sum, step);
            state.water_m3 = step.water_m3;
            break;
        }
        sum.run_s += left_s;
        sum.pumped_m3 += demand_m3_s * left_s;
        sum.energy_j += hold_power_w(c, demand_m3_s) * left_s;
        break;
    }
    return sum;
}

}  // namespace holdwater::test
