#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "sim/replay/fit_log.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// What is compared day by day.
enum class DayFigureKind { water, pump_energy, pump_starts, array_energy, lowest_soc, backup_energy };
inline constexpr std::size_t day_figure_kinds = 6;
struct DayFigureFacts {
    DayFigureKind kind{};
    std::string_view name, unit, words;
};
std::array<DayFigureFacts, day_figure_kinds> const& day_figure_facts();
using DayFigures = std::array<double, day_figure_kinds>;  ///< NaN: not known

/// A year of hours, as far as a log can be compared with it; 8760 values each.
struct ReplayYear {
    std::vector<double> water_m3, pump_kwh, pump_starts, array_kwh, soc, backup_kwh;
};
ReplayYear replay_year(std::vector<HourRecord> const& hours);
/// From a result file of `simulate`. Throws ResultFileError.
ReplayYear replay_year(std::string const& result_path);

/// A day of the calendar, logged and by the scenario.
struct ReplayDay {
    std::string date;
    DayFigures logged{}, modeled{};
};

enum class PromiseVerdict { held, not_held, not_determined };
/// What the stored result promises for the dates of the log, and what the log says.
struct Promise {
    std::string words, unit;
    double promised = 0;
    models::Interval logged;  ///< 90 %; of a count or an extreme all three are the same
    PromiseVerdict verdict = PromiseVerdict::not_determined;
    std::string why_not;  ///< if it is not determined
};

struct Replay {
    LogFit fit;
    std::vector<ReplayDay> days;  ///< whole days of the calendar; a figure with a gap in it is not known
    DayFigures logged_mean{},
        modeled_mean{};             ///< over the days on which both are known; lowest SOC: the lowest
    std::vector<Promise> promises;  ///< empty without a stored result
};

/// `weather`: of the dates of the log; null: the scenario is run with `typical`, and the loss of the array is
/// not determined. `promised`: null: no promises.
Replay replay_log(SiteLog const& log, scenarios::Scenario const& scenario,
                  weather::WeatherYear const& typical, weather::WeatherYear const* weather,
                  ReplayYear const* promised);

}  // namespace holdwater::sim
