#pragma once

#include <limits>

#include "models/electric/motor.hpp"
#include "models/water/piping.hpp"
#include "models/water/pump.hpp"
#include "models/water/water_properties.hpp"

namespace holdwater::models {

/// The lift of the pump, without pipe friction and tank pressure.
/// It counts from the water level, not from the depth of the pump.
struct LiftParameters {
    double static_level_m = 0;  // from the wellhead down to the static water level
    /// Drawdown that is already there, for example from a well model with a moving level.
    double drawdown_m = 0;
    /// Flow per meter of drawdown, without delay; infinity = the level does not depend on the flow.
    double specific_capacity_m2_s = std::numeric_limits<double>::infinity();
    double well_loss_s2_m5 = 0;  // C of drawdown = Q / specific capacity + C Q^2 (Jacob 1947, from memory)
    double elevation_m = 0;      // from the wellhead up to the tank or outlet; may be negative
    double water_temperature_c = 10;
    bool flowing_well = false;  // static level above the wellhead: static_level_m may then be negative
};

void validate(LiftParameters const& l);

/// Total dynamic head of the system at a flow and a tank gauge pressure, m.
double system_head_m(PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                     double flow_m3_s, double tank_pressure_kpa);

struct OperatingPoint {
    double flow_m3_s = 0;
    double head_m = 0;
    double shaft_w = 0;  // NaN if the curve gives electrical input
    double electrical_w = 0;
    bool reached = false;       // false: the shut-off head is too low, the pump runs without flow
    bool beyond_curve = false;  // true: the flow would be beyond the last row of the curve, where it is held
};

/// Steady flow at a tank pressure: the root of pump head = system head between 0 and the last flow of the
/// curve, bracketed (TOMS 748) to 1e-15 of the bracket. There is exactly one root, because the pump head
/// falls and the system head rises with flow. Leaves out: inertia, filling of the drop pipe (seconds).
OperatingPoint operating_point(PumpCurve const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                               double tank_pressure_kpa);
OperatingPoint operating_point(PumpParameters const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift,
                               double tank_pressure_kpa);

/// Tank pressure at which the pump stops delivering, kPa gauge; negative if it cannot even lift water to the
/// tank.
double shut_off_pressure_kpa(PumpCurve const& pump, LiftParameters const& lift, Water const& water);

/// Throws ParameterError, in words that a designer can act on, if the pump can never reach cut-out.
void require_reaches_cut_out(PumpCurve const& pump, LiftParameters const& lift, Water const& water,
                             double cut_out_kpa);

}  // namespace holdwater::models
