#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "models/electric/motor.hpp"
#include "models/water/cistern.hpp"
#include "models/water/pressure_tank.hpp"
#include "models/water/pump_cycle.hpp"
#include "models/water/variable_speed.hpp"
#include "models/water/well.hpp"

namespace holdwater::sim {

/// What the year loop needs to know of a motor beyond its running power. The defaults switch all of it off.
struct MotorDuty {
    double start_power_w = 0;  ///< real power while it runs up [W]
    double start_extra_j = 0;  ///< energy of a start beyond running as long [J]
    double min_rest_s = 0;     ///< a timer holds a stopped motor off so long [s]
    double least_run_s = 0;    ///< shorter runs are counted; nothing is enforced [s]
    double starts_limit_per_day = std::numeric_limits<double>::infinity();
    double start_s = 0, start_a = 0, running_a = 0;  ///< for the heating index; 0: not known
    friend bool operator==(MotorDuty const&, MotorDuty const&) = default;
};

/// The well. With a casing the water level is a state of its own; without, it follows month and flow at once.
struct WellSystem {
    std::optional<models::WellParameters> casing;
    std::optional<models::AquiferParameters> aquifer;  ///< residual drawdown of past days; with a casing only
    std::array<std::size_t, 12> curve_of_month{};      ///< without a casing: which curve holds in a month
    /// With a casing: curve i is that of the middle of the band from edge i to edge i + 1 [m below the well
    /// head]; the last edge is where the dry-run protection trips.
    std::vector<double> band_edges_m;
};

/// The well pump filling an open cistern.
struct FillPoint {
    double flow_m3_s = 0, power_w = 0;
};

/// Cistern between the well and the taps; the pump at the pressure tank is then a booster that draws from it,
/// or with `gravity` there is neither pressure tank nor booster.
struct CisternSystem {
    models::CisternParameters cistern;
    models::FillRule rule = models::FillRule::level;
    /// Surplus power, looked at when an hour begins: not on the backup, and the array gives at least the one
    /// [W] or the battery stands at least at the other.
    double sun_above_w = std::numeric_limits<double>::infinity();
    double battery_above_soc = std::numeric_limits<double>::infinity();
    double fill_band_m3 = 0;  ///< with surplus power filling starts this far below its stop
    double start_m3 = 0;      ///< when the run begins
    double resume_m3 = 0;     ///< a booster stopped at the end of the usable band comes back at this
    bool gravity = false;
    double outlet_elevation_m = 0;  ///< of the taps over the well head, with `gravity`
    double water_temperature_c = 10;
    std::vector<FillPoint> filling;  ///< one a curve of the well, or a single one
    MotorDuty fill_motor;
    models::StartDraw fill_start{};  ///< its start; 0 kVA: not looked at
};

/// Water above ground that goes over from one run to the next.
struct CarriedWater {
    double tank_m3 = 0, cistern_m3 = 0, trough_m3 = 0;
};

/// The wet half of a System, resolved and validated.
struct WaterSystem {
    models::PressureTankParameters tank;
    models::TankFillCurve fill;  ///< pump flow and electrical power over stored water, at one water level
    /// Instead of `fill` when the level moves or a drive turns the pump: one curve a level of WellSystem.
    std::vector<models::DriveCurve> pump_at_level;
    bool constant_pressure = false;  ///< a drive holds cut-out and wakes at cut-in
    MotorDuty motor;                 ///< of the pump at the pressure tank
    models::StartDraw pump_start{};  ///< what it asks for when it starts; 0 kVA: not looked at
    std::optional<WellSystem> well;
    std::optional<CisternSystem> cistern;
    std::optional<models::TroughParameters> trough;
    std::optional<CarriedWater> carried_water;  ///< else tanks full, the cistern at its start
};

/// From so many seconds of the hour before to `until_s` the taps take this.
struct DrawSegment {
    double until_s = 0, flow_m3_s = 0;
    friend bool operator==(DrawSegment const&, DrawSegment const&) = default;
};

/// One use of water through the year.
struct UseOfWater {
    std::string name;
    int priority = 0;                 ///< 0 is served first
    std::vector<double> wanted_m3{};  ///< hour by hour
    friend bool operator==(UseOfWater const&, UseOfWater const&) = default;
};

}  // namespace holdwater::sim
