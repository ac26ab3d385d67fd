#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "models/electric/motor.hpp"
#include "models/water/cistern.hpp"
#include "models/water/low_pressure_cutoff.hpp"
#include "models/water/pressure_tank.hpp"
#include "models/water/pump_cycle.hpp"
#include "models/water/variable_speed.hpp"
#include "models/water/well.hpp"
#include "sim/base/series.hpp"

namespace holdwater::sim {

/// What the year loop needs to know of a motor in addition to its running power. The defaults turn all of it
/// off.
struct MotorDuty {
    double start_power_w = 0;  ///< real power during a start [W]
    double start_extra_j = 0;  ///< energy of a start in addition to running for the same time [J]
    double min_rest_s = 0;     ///< time for which a timer holds a stopped motor off [s]
    double least_run_s = 0;    ///< shorter runs are counted, but not prevented [s]
    double starts_limit_per_day = std::numeric_limits<double>::infinity();
    double start_s = 0, start_a = 0, running_a = 0;  ///< for the heating index; 0: not known
    friend bool operator==(MotorDuty const&, MotorDuty const&) = default;
};

/// The well. With a casing the water level moves; without one it follows month and flow at once.
struct WellSystem {
    std::optional<models::WellParameters> casing;
    std::optional<models::AquiferParameters> aquifer;  ///< residual drawdown of past days; only with a casing
    std::array<std::size_t, 12> curve_of_month{};      ///< without a casing: the curve for each month
    /// With a casing: curve i is for the middle of the band from edge i to edge i + 1 [m below the wellhead];
    /// at the last edge the dry-run protection trips.
    std::vector<double> band_edges_m;
};

/// The well pump while it fills an open cistern.
struct FillPoint {
    double flow_m3_s = 0, power_w = 0;
};

/// Cistern between the well and the taps. The pump at the pressure tank is then a booster that draws from the
/// cistern; with `gravity` there is neither pressure tank nor booster.
struct CisternSystem {
    models::CisternParameters cistern;
    models::FillRule rule = models::FillRule::level;
    /// Surplus power, decided when an hour begins: the loads are not on the backup, and the array power [W]
    /// or the SOC is at least this, or the hour is one of those of `fill_hours`.
    double sun_above_w = std::numeric_limits<double>::infinity();
    double battery_above_soc = std::numeric_limits<double>::infinity();
    models::DailyHours fill_hours;
    double fill_band_m3 = 0;  ///< with surplus power filling starts this far below its stop
    double start_m3 = 0;      ///< when the run begins
    double resume_m3 = 0;     ///< a booster that stopped at the end of the usable volume comes back at this
    bool gravity = false;
    double outlet_elevation_m = 0;  ///< of the taps above the wellhead, with `gravity`
    double water_temperature_c = 10;
    std::vector<FillPoint> filling;  ///< one for each curve of the well, or a single one
    MotorDuty fill_motor;
    models::StartDraw fill_start{};  ///< its start; 0 kVA: not checked
};

/// State of a well with a casing that is carried over from one run to the next.
struct CarriedWell {
    double level_m = 0;  ///< below the wellhead
    /// Mean flow of the pump on each of the days before, the oldest first; only an aquifer needs it.
    std::vector<double> day_flow_m3_s{};
};

/// Water that is carried over from one run to the next.
struct CarriedWater {
    double tank_m3 = 0, cistern_m3 = 0, trough_m3 = 0;
    std::optional<CarriedWell> well = std::nullopt;  ///< none: at its static level
};

/// The water side of a System, validated.
struct WaterSystem {
    models::PressureTankParameters tank;
    models::TankFillCurve fill;  ///< pump flow and electrical power over stored water, at one water level
    /// Instead of `fill` if the level moves or the pump has a drive: one curve for each level of WellSystem.
    std::vector<models::DriveCurve> pump_at_level;
    bool constant_pressure = false;                   ///< a drive holds cut-out and wakes at cut-in
    MotorDuty motor;                                  ///< of the pump at the pressure tank
    models::StartDraw pump_start{};                   ///< its start; 0 kVA: not checked
    std::optional<models::LowPressureCutoff> cutoff;  ///< of the pressure switch
    std::optional<WellSystem> well;
    std::optional<CisternSystem> cistern;
    std::optional<models::TroughParameters> trough;
    std::optional<CarriedWater> carried_water;  ///< none: tanks full, the cistern at its start
                                                ///< volume, the well at its static level
};

/// The draw of the taps from the end of the segment before to `until_s` of the hour.
struct DrawSegment {
    double until_s = 0, flow_m3_s = 0;
    friend bool operator==(DrawSegment const&, DrawSegment const&) = default;
};

/// One use of water through the year.
struct UseOfWater {
    std::string name;
    int priority = 0;    ///< 0 is served first
    Series wanted_m3{};  ///< demand, hour by hour
    friend bool operator==(UseOfWater const&, UseOfWater const&) = default;
};

}  // namespace holdwater::sim
