#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "models/electric/motor.hpp"
#include "models/water/cistern.hpp"
#include "models/water/demand.hpp"
#include "models/water/operating_point.hpp"
#include "models/water/piping.hpp"
#include "models/water/pump.hpp"
#include "models/water/variable_speed.hpp"
#include "models/water/well.hpp"

namespace holdwater::scenarios {

/// The well, in addition to the lift.
struct WellSettings {
    /// Static water level by month; all equal unless given by month.
    std::array<double, 12> static_level_m{};
    std::optional<models::WellParameters> casing;  ///< for a moving water level
    std::optional<models::AquiferParameters> aquifer;
};

/// A pump with its motor, pipes and, if it has one, its drive.
struct PumpSet {
    models::PumpParameters pump;
    models::MotorParameters motor;
    models::PipingParameters piping;
    std::optional<models::DriveParameters> drive;
};

/// Cistern between well and taps.
struct CisternSettings {
    models::CisternParameters cistern;
    models::FillRule rule = models::FillRule::level;
    double sun_above_w = 0, battery_above = 0;  ///< each of them means surplus; infinite if not given
    models::DailyHours fill_hours;              ///< these mean surplus too
    double fill_band_m3 = 0;  ///< with surplus power, filling starts this far below its stop
    double start_m3 = 0, resume_m3 = 0;
    double outlet_elevation_m = 0;   ///< of the taps above the wellhead, without a booster
    std::optional<PumpSet> booster;  ///< none: the taps run by gravity
    double booster_lift_m = 0;       ///< from the water in the cistern up to the pressure tank
};

/// Measured water use as a year (see demand_series.hpp).
struct DemandSeries {
    std::vector<double> hourly_m3;   ///< 8760 h, hour 0 = 00:00..01:00 on 1 January, >= 0
    std::vector<std::string> notes;  ///< gaps that were filled, days that were repeated or left out
};

struct DemandSettings {
    double daily_m3 = 0;  ///< mean of the year if there is a series
    models::DayProfile profile = models::household_profile;
    double tap_flow_m3_s = 0;
    std::optional<models::WaterUse> varying;       ///< the same as a use, if its days differ from each other
    std::vector<models::WaterUse> uses;            ///< instead of the above if not empty
    std::shared_ptr<DemandSeries const> series;    ///< instead of daily_m3 and profile; the uses are added
    std::vector<models::Fixture> series_fixtures;  ///< by which it is drawn; empty: as lumps
    std::vector<bool> from_trough;                 ///< of each use
    std::uint64_t seed = 1;
    int calendar_year = 2023;   ///< the year whose weekdays are used
    double multiplier = 1;      ///< by which all water but leaks is multiplied; the volumes have it in them
    double metered_pump_w = 0;  ///< mean power of the pump as metered or billed; 0: not known
    friend bool operator==(DemandSettings const&, DemandSettings const&) = default;
};

/// Whether some of the water is drawn in single uses.
inline bool draws_events(DemandSettings const& d) {
    return !d.series_fixtures.empty() || (d.varying && !d.varying->fixtures.empty()) ||
           std::any_of(d.uses.begin(), d.uses.end(), [](auto const& use) { return !use.fixtures.empty(); });
}
/// Whether the volume of a day is random.
inline bool varies_by_day(DemandSettings const& d) {
    auto const varies = [](models::WaterUse const& use) { return use.day_variation > 0; };
    return (d.varying && varies(*d.varying)) || std::any_of(d.uses.begin(), d.uses.end(), varies);
}
/// Most single uses a day that are accepted of one kind of water.
inline constexpr double most_events_a_day = 5000;

}  // namespace holdwater::scenarios
