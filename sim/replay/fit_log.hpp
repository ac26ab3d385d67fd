#pragma once

#include <optional>
#include <string>
#include <vector>

#include "models/numeric/statistics.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/replay/site_log.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A figure that a log determines, with its 90 % interval, or why it does not. `scenario`: the same figure by
/// the scenario.
struct LogFigure {
    std::string name, unit;   ///< "water use", "m3/day"
    models::Interval fitted;  ///< only if `why_not` is empty
    std::string why_not;      ///< "needs the column pump_power"
    double scenario = 0;      ///< NaN: the scenario has no such figure
    std::string key;          ///< the key of the scenario that sets it
    [[nodiscard]] bool determined() const { return why_not.empty(); }
    /// The scenario's value is outside the interval.
    [[nodiscard]] bool differs() const {
        return determined() && (scenario < fitted.low || scenario > fitted.high);
    }
};

/// What a log says of a design. Nothing is assumed where a column is missing.
///
///  - Water use: mean of the log's days, t interval.
///  - Pump energy: energy over water from the first pump stop of a day to that of the next, when the tank
///    holds nearly the same; t interval from the scatter of ten batches of days.
///  - Standing draw and usable battery: in the nights (no array power, no generator) the state of charge
///  falls
///    by (E + I t) / K, where E is the DC energy of pump and small loads (with the loss of the scenario's
///    inverter beyond its no-load loss), I the standing draw and K the energy from full to empty at the
///    terminals. Least squares over all nights, each with a level of its own; the interval is from the
///    scatter between nights (cluster-robust, t). Without `load_power` I contains the small loads.
///  - Loss of the array: its power over that of the clean array in the weather of the same hours, while the
///    battery is below `uncurtailed_soc`; day by day. The clock of the log is first moved to where the two
///    agree best.
struct LogFit {
    LogFigure water_use, pump_energy, standing_draw, usable_battery, array_loss;
    /// Minutes by which the clock of the log is ahead of the weather's; none without weather.
    std::optional<double> clock_ahead_min;
    bool standing_has_loads = false;  ///< standing_draw contains the small loads
    [[nodiscard]] std::vector<LogFigure const*> figures() const {
        return {&water_use, &pump_energy, &standing_draw, &usable_battery, &array_loss};
    }
};

inline constexpr double log_confidence = 0.9;
inline constexpr double uncurtailed_soc = 0.85;

/// `weather`: of the dates of the log, hour by hour; null: not known.
LogFit fit_log(SiteLog const& log, scenarios::Scenario const& scenario, weather::WeatherYear const* weather);

/// Day of the year, 0 .. 364, of the log's first row; 29 February counts as 28.
int first_day_of(SiteLog const& log);

}  // namespace holdwater::sim
