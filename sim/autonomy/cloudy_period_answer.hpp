#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/progress.hpp"
#include "sim/base/stop.hpp"

namespace holdwater::sim {

/// What a cloudy period does to a design, and what would be enough.
struct CloudyPeriodAnswer {
    std::string cloudy_period_text;
    Backup backup = Backup::none;
    int hours = 0, start_hour = 0;
    bool has_cistern = false, has_trough = false;
    bool has_well_level = false, has_battery_temperature = false;
    /// Levels at the start that the user gave; the others are those of the typical year.
    NamedLevels named;
    CloudyPeriodOutcome outcome;
    /// Half of the start dates have no shortage for at least this time; infinity: through the period.
    double median_until_shortage_h = 0;
    /// Index into outcome.starts: longest time until full again.
    std::size_t slowest = 0;
    /// Number of start dates for each cause, most first.
    std::vector<std::pair<LimitReason, int>> failed_first;
    int short_after = 0;  ///< start dates with a shortage after the period, until full again
    int never_full = 0;   ///< start dates after which not everything is full again within a year
    double battery_kwh = 0, array_kw = 0, cistern_m3 = 0;  ///< present sizes; the cistern up to its overflow
    bool sized_without_backup = false;                     ///< for the next ones: the backup alone was enough
    /// Smallest sizes that are enough; nothing: not even largest_factor times the present size.
    std::optional<double> battery_factor, array_factor;
    std::optional<double> cistern_needed_m3;
    BridgingGenerator bridge;
};

/// Everything stored begins as in the design's typical year, or as given by `named`. Throws StudyStopped if
/// `stop` is set between two of its parts; `progress` is told after each.
CloudyPeriodAnswer answer_cloudy_period(scenarios::Scenario const& scenario, System const& design,
                                        bool no_backup, CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days, NamedLevels const& named,
                                        StopFlag stop = nullptr, TellShare const& progress = {});

/// How a design fails a cloudy period that it is required to last.
enum class PeriodFailure {
    none,
    shortage,         ///< water is short within the days required
    never_full_again  ///< after some start date not everything is full again within a year
};
/// `days`: without a shortage, > 0; at most the length of the period counts.
PeriodFailure failure_of(CloudyPeriodAnswer const& answer, int days);

}  // namespace holdwater::sim
