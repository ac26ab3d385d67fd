#include "models/water/variable_speed.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

double solve(auto const& f, double low, double high, double at_low, double at_high) {
    std::uintmax_t steps = 100;
    auto const b = boost::math::tools::toms748_solve(f, low, high, at_low, at_high,
                                                     boost::math::tools::eps_tolerance<double>(50), steps);
    return 0.5 * (b.first + b.second);
}

}  // namespace

void validate(DriveParameters const& d) {
    require(d.efficiency > 0.5 && d.efficiency <= 1, "efficiency", d.efficiency,
            "must be above 0.5 and <= 1");
    require(d.standby_w >= 0 && d.standby_w <= 500, "standby_w", d.standby_w, "must be 0..500 W");
    require(d.max_speed_ratio > 0.3 && d.max_speed_ratio <= 1.2, "max_speed_ratio", d.max_speed_ratio,
            "must be above 0.3 and <= 1.2");
    require(d.min_speed_ratio >= 0 && d.min_speed_ratio < d.max_speed_ratio, "min_speed_ratio",
            d.min_speed_ratio, "must be >= 0 and below the highest speed");
    require(d.sleep_flow_m3_s >= 0, "sleep_flow_m3_s", d.sleep_flow_m3_s, "must be >= 0");
    require(d.input_power_factor > 0.3 && d.input_power_factor <= 1, "input_power_factor",
            d.input_power_factor, "must be above 0.3 and <= 1");
}

void validate(DriveParameters const& d, MotorParameters const& m, PumpCurve const& pump) {
    validate(d);
    require(m.wiring == MotorWiring::drive, "wiring", static_cast<double>(m.wiring),
            "must be `drive`: a two-wire or three-wire start circuit cannot be fed at varying frequency");
    require(!pump.power_is_input, "power_is_input", 1,
            "must be false: speed scales shaft power, so the curve must give shaft power");
}

DrivePoint drive_point(PumpCurve const& pump, MotorParameters const& motor, DriveParameters const& drive,
                       PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                       double flow_m3_s, double tank_pressure_kpa) {
    double const wanted_m = system_head_m(piping, lift, water, flow_m3_s, tank_pressure_kpa);
    auto const surplus_m = [&](double s) { return s * s * pump.head_m(flow_m3_s / s) - wanted_m; };
    DrivePoint o;
    double const high = drive.max_speed_ratio;
    double const low = std::max(flow_m3_s / pump.max_flow_m3_s, 1e-3);
    double const at_high = low < high ? surplus_m(high) : -1;
    o.reached = at_high >= 0;
    o.speed_ratio = high;
    if (at_high > 0) {
        double const at_low = surplus_m(low);
        o.beyond_curve = at_low > 0;
        o.speed_ratio = at_low >= 0 ? low : solve(surplus_m, low, high, at_low, at_high);
    }
    o.speed_ratio = std::max(o.speed_ratio, drive.min_speed_ratio);
    double const s = o.speed_ratio;
    o.head_m = s * s * pump.head_m(flow_m3_s / s);
    o.shaft_w = s * s * s * pump.power_w(flow_m3_s / s);
    o.electrical_w = electrical_input_w(motor, o.shaft_w) / drive.efficiency;
    return o;
}

OperatingPoint operating_point_at_speed(PumpCurve const& pump, MotorParameters const& motor,
                                        DriveParameters const& drive, PipingParameters const& piping,
                                        LiftParameters const& lift, Water const& water, double s,
                                        double tank_pressure_kpa) {
    auto const surplus_m = [&](double flow) {
        return s * s * pump.head_m(flow / s) - system_head_m(piping, lift, water, flow, tank_pressure_kpa);
    };
    OperatingPoint o;
    double const last = s * pump.max_flow_m3_s;
    double const at_zero = surplus_m(0), at_last = surplus_m(last);
    o.reached = at_zero > 0;
    if (o.reached) {
        o.beyond_curve = at_last > 0;
        o.flow_m3_s = at_last >= 0 ? last : solve(surplus_m, 0.0, last, at_zero, at_last);
    }
    o.head_m = s * s * pump.head_m(o.flow_m3_s / s);
    o.shaft_w = s * s * s * pump.power_w(o.flow_m3_s / s);
    o.electrical_w = electrical_input_w(motor, o.shaft_w) / drive.efficiency;
    return o;
}

DriveCurve make_drive_curve(PressureTankParameters const& tank, PumpCurve const& pump,
                            MotorParameters const& motor, DriveParameters const& drive,
                            PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                            int nodes) {
    validate(drive, motor, pump);
    validate(motor);
    validate(piping);
    validate(lift);
    require(nodes >= 2 && nodes <= 1000, "nodes", nodes, "must be 2..1000");
    double const full = drive.max_speed_ratio;
    DriveCurve c;
    auto const at_flow = [&](double flow) {
        double const spare_m =
            full * full * pump.head_m(flow / full) - system_head_m(piping, lift, water, flow, 0);
        double const shaft_w = full * full * full * pump.power_w(flow / full);
        return DeliveredAt{pressure_of_head_kpa(spare_m, water),
                           electrical_input_w(motor, shaft_w) / drive.efficiency};
    };
    c.full_speed = make_fill_curve(tank, at_flow, full * pump.max_flow_m3_s);
    c.sleep_flow_m3_s = drive.sleep_flow_m3_s;
    c.standby_w = drive.standby_w;
    double const most_flow =
        operating_point_at_speed(pump, motor, drive, piping, lift, water, full, tank.cut_out_kpa).flow_m3_s;
    for (int i = 0; i <= nodes; ++i) {
        double const flow = most_flow > 0 ? most_flow * i / nodes : 1e-6 * i;
        c.hold_flow_m3_s.push_back(flow);
        c.hold_power_w.push_back(
            drive_point(pump, motor, drive, piping, lift, water, flow, tank.cut_out_kpa).electrical_w);
    }
    return c;
}

}  // namespace holdwater::models
