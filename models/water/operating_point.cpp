#include "models/water/operating_point.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <string>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(LiftParameters const& l) {
    require(l.flowing_well || l.static_level_m >= 0, "static_level_m", l.static_level_m,
            "must be >= 0: depth of the static water level below the well head (set flowing_well for a "
            "level above)");
    require(l.static_level_m >= -100 && l.static_level_m <= 1500, "static_level_m", l.static_level_m,
            "must be -100..1500 m");
    require(l.drawdown_m >= 0 && l.drawdown_m <= 1500, "drawdown_m", l.drawdown_m, "must be 0..1500 m");
    require(l.specific_capacity_m2_s > 0, "specific_capacity_m2_s", l.specific_capacity_m2_s,
            "must be > 0 m2/s; infinity when the level does not move");
    require(l.well_loss_s2_m5 >= 0, "well_loss_s2_m5", l.well_loss_s2_m5,
            "must be >= 0: a well test with less drawdown per flow at higher flow had not settled");
    require(l.elevation_m >= -500 && l.elevation_m <= 500, "elevation_m", l.elevation_m,
            "must be -500..500 m");
    require(l.water_temperature_c >= 0 && l.water_temperature_c <= 60, "water_temperature_c",
            l.water_temperature_c, "must be 0..60 degC");
}

double system_head_m(PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                     double flow_m3_s, double tank_pressure_kpa) {
    return lift.static_level_m + lift.drawdown_m + lift.elevation_m +
           flow_m3_s / lift.specific_capacity_m2_s + lift.well_loss_s2_m5 * flow_m3_s * flow_m3_s +
           head_of_pressure_m(tank_pressure_kpa, water) + piping_loss_m(piping, flow_m3_s, water);
}

OperatingPoint operating_point(PumpCurve const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift, Water const& water,
                               double tank_pressure_kpa) {
    auto const surplus_m = [&](double flow) {
        return pump.head_m(flow) - system_head_m(piping, lift, water, flow, tank_pressure_kpa);
    };
    OperatingPoint o;
    double const at_zero = surplus_m(0);
    if (at_zero > 0) {
        o.reached = true;
        double const at_last = surplus_m(pump.max_flow_m3_s);
        if (at_last >= 0) {
            o.flow_m3_s = pump.max_flow_m3_s;
            o.beyond_curve = at_last > 0;
        } else {
            std::uintmax_t steps = 100;
            auto const bracket =
                boost::math::tools::toms748_solve(surplus_m, 0.0, pump.max_flow_m3_s, at_zero, at_last,
                                                  boost::math::tools::eps_tolerance<double>(50), steps);
            o.flow_m3_s = 0.5 * (bracket.first + bracket.second);
        }
    }
    o.head_m = pump.head_m(o.flow_m3_s);
    double const power_w = pump.power_w(o.flow_m3_s);
    o.shaft_w = pump.power_is_input ? std::numeric_limits<double>::quiet_NaN() : power_w;
    o.electrical_w = pump.power_is_input ? power_w : electrical_input_w(motor, power_w);
    return o;
}

OperatingPoint operating_point(PumpParameters const& pump, MotorParameters const& motor,
                               PipingParameters const& piping, LiftParameters const& lift,
                               double tank_pressure_kpa) {
    return operating_point(PumpCurve(pump), motor, piping, lift, water_at(lift.water_temperature_c),
                           tank_pressure_kpa);
}

double shut_off_pressure_kpa(PumpCurve const& pump, LiftParameters const& lift, Water const& water) {
    return pressure_of_head_kpa(
        pump.shut_off_head_m - lift.static_level_m - lift.drawdown_m - lift.elevation_m, water);
}

void require_reaches_cut_out(PumpCurve const& pump, LiftParameters const& lift, Water const& water,
                             double cut_out_kpa) {
    double const most_kpa = shut_off_pressure_kpa(pump, lift, water);
    if (most_kpa > cut_out_kpa) return;
    std::string const water_at_depth =
        lift.flowing_well ? std::string() : fmt::format(" with the water at {:.1f} m", lift.static_level_m);
    require(false, "cut_out_kpa", cut_out_kpa,
            fmt::format("the pump tops out at {:.0f} kPa at the tank{} and would never switch "
                        "off: lower the switch, raise the pump's shut-off head ({:.1f} m) or check the water "
                        "level",
                        std::max(most_kpa, 0.0), water_at_depth, pump.shut_off_head_m));
}

}  // namespace holdwater::models
