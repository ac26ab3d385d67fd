#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/outage_replay.hpp"
#include "sim/autonomy/site_period.hpp"
#include "sim/base/stop.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// From one level of all stores: of the battery, and of cistern and troughs the same share of what is usable.
struct SocAutonomy {
    std::optional<double> usable_share;  ///< nothing: every store where the typical year has it at that hour
    double level = 1;  ///< state of charge at the start; of the year: the mean over the starts
    WorstAndMedian water;
};

struct AutonomyOptions {
    CloudyPeriodWeather dull{CloudyPeriodKind::clearness, {0.12}, 240};
    double leak_m3_s = 6.30901964e-5;  ///< one US gallon a minute; 0: no leak
    int every_days = 1;                ///< start dates so far apart
    int start_hours = 4;               ///< of the start level's sweep: so many times of day, evenly
    StopFlag stop = nullptr;           ///< looked at between the parts of the study
};

/// How long a design lasts on what it has stored, its backup left out. Runs begin with the pressure tank at
/// cut-out and every store where the design's typical year has it at that hour and date, but for autonomy and
/// `levels`. Water ends with the start of the first hour in which some of the water wanted does not come;
/// power with the inverter's first stop.
struct AutonomyFigures {
    double battery_kwh = 0, usable_kwh = 0;  ///< nominal; from full to the minimum SOC, at the terminals
    double array_kw = 0;
    double water_m3 = 0, water_d = 0;  ///< stored between pump and taps: tank from cut-out down, cistern's
                                       ///< usable band; in days of the busiest day's use
    double by_hand_d = 0;  ///< no sun, by hand: what a full battery gives over the busiest day's use
    Autonomy autonomy;     ///< no sun, hour by hour: see Autonomy; all 365 start dates, as the next one
    SitePeriod site_period;
    /// From 00:00 of every start date: with reduced sun, and in the year's own weather.
    WorstAndMedian cloudy_water, record_water;
    int looked_at_d = autonomy_looked_at_d;  ///< without sun and in the year's own weather; the cloudy days
                                             ///< have their own length
    double full_again_d = 0;  ///< after the cloudy days, slowest start (CloudyPeriodStart::full_again_h);
                              ///< infinity: NEVER within a year
    double never_full = 0;    ///< share of the start dates after which it never is
    /// Battery, or cistern to its overflow, that keeps every start date of the cloudy days wet; infinite when
    /// not even largest_factor times does; a cistern only where there is one.
    double battery_needed_kwh = 0;
    std::optional<double> cistern_needed_m3;
    double cistern_tried_m3 = 0;      ///< the largest that was tried
    std::vector<SocAutonomy> levels;  ///< in the cloudy days, over start dates and times of day
    /// In the cloudy days; the leak begins with them. Water and power, with and without it.
    WorstAndMedian leak_water, leak_power, no_leak_power;
    double starts_per_day = 0, leak_starts_per_day = 0;  ///< of the pump, first day of the cloudy days, mean
    /// With the grid as backup, which is then there until it fails: by length, worst first; else empty.
    std::vector<OutageLength> outages;
};

/// Throws StudyStopped when it was asked to stop.
AutonomyFigures study_autonomy(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                               AutonomyOptions const& options);

/// The same design with a leak that never stops, on top of its demand, at the taps.
scenarios::Scenario with_leak(scenarios::Scenario scenario, double leak_m3_s);

/// The design after `years` more of service: the array by its rating's fade, the battery's capacity by the
/// share of its life that is over, 80 % of new at its end (models::remaining_capacity). A battery older than
/// its life has been replaced: it is taken at its end. Without figures of its life it is taken at its end,
/// and `life_assumed` says so. A higher resistance of an old battery is left out.
struct AgedDesign {
    scenarios::Scenario scenario;
    double battery_left = 1, array_left = 1;  ///< of what they are now
    bool life_assumed = false;
};
AgedDesign aged(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double years);

}  // namespace holdwater::sim
