#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "models/water/operating_point.hpp"
#include "models/water/pump_cycle.hpp"

namespace holdwater::models {

/// Variable-speed drive that runs the pump at the speed that holds one pressure.
///
/// Speed: the affinity laws for the whole curve, H(Q; s) = s^2 H0(Q/s) and shaft P(Q; s) = s^3 P0(Q/s), and
/// the system head. Good within 20..30 % of rated speed; at lower speeds the real pump is worse (from
/// memory). Electrical input = motor input at that shaft power / drive efficiency. The loss line of the motor
/// is used at reduced speed as well, which is an assumption. The cut_out_kpa of the tank is the set point,
/// its cut_in_kpa the wake-up pressure. Below `sleep_flow_m3_s` the drive sleeps until the tank has fallen to
/// the wake-up pressure, and then fills it at full speed. If the demand is more than full speed gives, the
/// pressure falls below the set point. Defaults are common practice, no source, unless stated.
struct DriveParameters {
    double efficiency = 0.95;      // 0.93..0.97, from memory
    double standby_w = 15;         // while asleep
    double min_speed_ratio = 0.5;  // 30 of 60 Hz for water-lubricated thrust bearings
    double max_speed_ratio = 1;
    double sleep_flow_m3_s = 6.30901964e-5;  // 1 gpm
    double input_power_factor = 0.65;        // without a choke, from memory
};

void validate(DriveParameters const& d);
/// Also refuses a two-wire motor, and a curve with electrical input (it has no shaft power to scale).
void validate(DriveParameters const& d, MotorParameters const& m, PumpCurve const& pump);

struct DrivePoint {
    double speed_ratio = 0;
    double head_m = 0;
    double shaft_w = 0;
    double electrical_w = 0;
    bool reached = false;       // false: full speed does not hold the pressure at this flow
    bool beyond_curve = false;  // true: flow / speed is beyond the last row of the curve
};

/// Speed at which the pump gives `flow_m3_s` at the tank pressure.
DrivePoint drive_point(PumpCurve const& pump, MotorParameters const& motor, DriveParameters const& drive,
                       PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                       double flow_m3_s, double tank_pressure_kpa);

/// Steady flow at a fixed speed ratio.
OperatingPoint operating_point_at_speed(PumpCurve const& pump, MotorParameters const& motor,
                                        DriveParameters const& drive, PipingParameters const& piping,
                                        LiftParameters const& lift, Water const& water, double speed_ratio,
                                        double tank_pressure_kpa);

/// Electrical power while the drive holds the set point, piecewise linear in flow, and the fill curve at full
/// speed below the set point.
struct DriveCurve {
    TankFillCurve full_speed;  // electrical power, drive included; cut-out = set point, cut-in = wake-up
    std::vector<double> hold_flow_m3_s, hold_power_w;
    double sleep_flow_m3_s = 0, standby_w = 0;
};

DriveCurve make_drive_curve(PressureTankParameters const& tank, PumpCurve const& pump,
                            MotorParameters const& motor, DriveParameters const& drive,
                            PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                            int nodes = 32);

inline double hold_power_w(DriveCurve const& c, double flow_m3_s) {
    auto const& x = c.hold_flow_m3_s;
    std::size_t const last = x.size() - 1;
    std::size_t i = static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), flow_m3_s) - x.begin());
    i = std::clamp<std::size_t>(i, 1, last);
    double const share = std::clamp((flow_m3_s - x[i - 1]) / (x[i] - x[i - 1]), 0.0, 1.0);
    return c.hold_power_w[i - 1] + share * (c.hold_power_w[i] - c.hold_power_w[i - 1]);
}

}  // namespace holdwater::models
