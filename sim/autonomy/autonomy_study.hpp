#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/outage_replay.hpp"
#include "sim/autonomy/site_period.hpp"
#include "sim/base/progress.hpp"
#include "sim/base/stop.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The autonomy from one state of charge. Cistern and troughs begin with the same share of their usable
/// volume.
struct SocAutonomy {
    std::optional<double> usable_share;  ///< none: everything as in the typical year at that hour
    double level = 1;  ///< state of charge at the start; as in the year: the mean over the starts
    WorstAndMedian water;
};

struct AutonomyOptions {
    CloudyPeriodWeather cloudy{CloudyPeriodKind::clearness, {0.12}, 240};
    SiteCloudyPeriod site;                    ///< with its seven days
    double leak_m3_s = 6.309019640000002e-5;  ///< "1 gpm" as it is read, to the last digit; 0: no leak
    int every_days = 1;                       ///< days from one start date to the next
    /// Number of start hours in a day, evenly spaced, for the table of states of charge.
    int start_hours = 4;
    bool detail = true;       ///< false: only the figures above `cloudy_water`, and `outages`
    StopFlag stop = nullptr;  ///< checked between the parts of the study
    TellShare progress;       ///< told between them; may be empty
};

/// How long a design lasts without its backup on what it has stored. A run begins with the pressure tank at
/// cut-out and everything else as the design's typical year has it at that hour and date, except in autonomy
/// and in `levels`. Water lasts until the start of the first hour in which some of the demand is not
/// delivered; power lasts until the inverter switches off for the first time.
struct AutonomyFigures {
    double battery_kwh = 0, usable_kwh = 0;  ///< nominal; from full to the minimum SOC, at the terminals
    double array_kw = 0;
    /// Stored between pump and taps: the tank from cut-out down, and the usable band of the cistern; in days
    /// of use on the busiest day.
    double water_m3 = 0, water_d = 0;
    /// No sun, hand calculation: energy of a full battery divided by the use of the busiest day.
    double by_hand_d = 0;
    Autonomy autonomy;  ///< no sun, hour by hour: see Autonomy; all 365 start dates, as for the next one
    SitePeriod site_period;
    /// From 00:00 of every start date: with reduced sun, and with the year's own weather.
    WorstAndMedian cloudy_water, record_water;
    /// Without sun and with the year's own weather; the cloudy days have their own length.
    int looked_at_d = autonomy_looked_at_d;
    /// After the cloudy days, slowest start date (CloudyPeriodStart::full_again_h); infinity: not within a
    /// year.
    double full_again_d = 0;
    double never_full = 0;  ///< share of the start dates after which it is never full again
    /// Battery, or cistern up to its overflow, with which there is no shortage in the cloudy days from any
    /// start date. Infinite if even largest_factor times the present size is not enough. The cistern only if
    /// there is one.
    double battery_needed_kwh = 0;
    std::optional<double> cistern_needed_m3;
    double cistern_tried_m3 = 0;      ///< the largest size that was tried
    std::vector<SocAutonomy> levels;  ///< in the cloudy days, over start dates and times of day
    /// In the cloudy days, with and without a leak that begins with them; water and power.
    WorstAndMedian leak_water, leak_power, no_leak_power;
    /// Of the pump, on the first of the cloudy days, mean.
    double starts_per_day = 0, leak_starts_per_day = 0;
    /// With the grid as backup, which is available until it fails: by length of outage, worst first;
    /// otherwise empty.
    std::vector<OutageLength> outages;
    /// Time until someone has switched back from a bypass by hand; none: nobody bypasses the inverter. Not
    /// counted anywhere here: without the grid the inverter is in service, and so it is when an outage
    /// begins.
    std::optional<double> hand_response_h;
    /// Hours of [[bypass]] in the year. They count where an outage falls into them.
    double listed_bypass_h = 0;
};

/// Throws StudyStopped if it was asked to stop.
AutonomyFigures study_autonomy(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                               AutonomyOptions const& options);

/// The same design with a constant leak in addition to its demand, at the taps.
scenarios::Scenario with_leak(scenarios::Scenario scenario, double leak_m3_s);

/// The design after `years` more of service. The array has lost power by its yearly rate. The battery has
/// lost capacity by the share of its life that is over, down to 80 % of new at the end
/// (models::remaining_capacity). A battery older than its life has been replaced and is taken at the end of
/// its life. If no battery life is given, it is also taken at its end, and `life_assumed` says so. The higher
/// resistance of an old battery is not included.
struct AgedDesign {
    scenarios::Scenario scenario;
    double battery_left = 1, array_left = 1;  ///< as a share of their present values
    bool life_assumed = false;
};
AgedDesign aged(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double years);

}  // namespace holdwater::sim
