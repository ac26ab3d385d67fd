#pragma once

#include <limits>

#include "models/electric/motor.hpp"
#include "models/water/piping.hpp"
#include "models/water/pump.hpp"
#include "models/water/water_properties.hpp"

namespace holdwater::models {

/// What the pump lifts against besides pipe friction and tank pressure.
/// Lift counts from the water level, not from the depth the pump hangs at.
struct LiftParameters {
    double static_level_m = 0;  // well head down to the resting water level
    /// Extra drawdown already there, e.g. from a well model that carries the level as its state.
    double drawdown_m = 0;
    /// Flow per meter of drawdown, reached at once; infinity = level does not move with flow.
    double specific_capacity_m2_s = std::numeric_limits<double>::infinity();
    double well_loss_s2_m5 = 0;  // C of drawdown = Q / specific capacity + C Q^2 (Jacob 1947, from memory)
    double elevation_m = 0;      // well head up to the tank or outlet, may be negative
    double water_temperature_c = 10;
    bool flowing_well = false;  // resting level above the well head: static_level_m may then be negative
};

void validate(LiftParameters const& l);

/// Head the system asks for at a flow and a tank gauge pressure, m.
double system_head_m(PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                     double flow_m3_s, double tank_pressure_kpa);

struct OperatingPoint {
    double flow_m3_s = 0;
    double head_m = 0;
    double shaft_w = 0;  // NaN when the curve gives electrical input
    double electrical_w = 0;
    bool reached = false;  // false: shut-off head is too low, the pump turns against a closed column
    bool beyond_curve =
        false;  // true: the system asks for more flow than the curve has; held at its last row
};

/// Steady flow at a tank pressure: the root of pump head = system head between 0 and the curve's last flow,
/// bracketed (TOMS 748) to 1e-15 of the bracket. Exists once because pump head falls and system head rises
/// with flow. Inertia and the filling of the drop pipe (seconds) are left out.
OperatingPoint operating_point(PumpCurve const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                               double tank_pressure_kpa);
OperatingPoint operating_point(PumpParameters const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift,
                               double tank_pressure_kpa);

/// Tank pressure at which the pump stops delivering, kPa gauge; negative when it cannot even lift to the
/// tank.
double shut_off_pressure_kpa(PumpCurve const& pump, LiftParameters const& lift, Water const& water);

/// Throws ParameterError in words a designer can act on when the pump would never open the switch.
void require_reaches_cut_out(PumpCurve const& pump, LiftParameters const& lift, Water const& water,
                             double cut_out_kpa);

/// With the tank empty and more asked than the pump gives at its precharge: the pressure falls until the
/// taps, acting as orifices (flow ~ sqrt(pressure)), take what the pump gives. `reference_kpa` = pressure at
/// which the demand is defined. Returns the operating point and the pressure, between 0 and the reference
/// pressure; when the pump covers the demand at the reference pressure the point there. Holding the pressure
/// at the precharge instead (as the filling curve does) gives less water, so it is the careful choice.
struct StarvedPoint {
    OperatingPoint point;
    double pressure_kpa = 0;
};
StarvedPoint starved_point(PumpCurve const& pump, MotorParameters const& motor,
                           PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                           double demand_m3_s, double reference_kpa);

}  // namespace holdwater::models
