#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "tools/show/cloudy_period_view.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// What a cloudy period does to a design, and what would be enough.
struct CloudyPeriodAnswer {
    std::string cloudy_period_text, backup;
    int hours = 0, start_hour = 0;
    bool has_cistern = false, has_trough = false;
    bool has_well_level = false, has_battery_temperature = false;
    /// Levels at the start that the user gave; the others are those of the typical year.
    sim::NamedLevels named;
    sim::CloudyPeriodOutcome outcome;
    /// Half of the start dates have no shortage for at least this time; infinity: through the period.
    double median_until_shortage_h = 0;
    /// Index into outcome.starts: longest time until full again.
    std::size_t slowest = 0;
    /// Number of start dates for each cause, most first.
    std::vector<std::pair<sim::LimitReason, int>> failed_first;
    int short_after = 0;  ///< start dates with a shortage after the period, until full again
    int never_full = 0;   ///< start dates after which not everything is full again within a year
    double battery_kwh = 0, array_kw = 0, cistern_m3 = 0;  ///< present sizes; the cistern up to its overflow
    bool sized_without_backup = false;                     ///< for the next ones: the backup alone was enough
    /// Smallest sizes that are enough; nothing: not even sim::largest_factor times the present size.
    std::optional<double> battery_factor, array_factor;
    std::optional<double> cistern_needed_m3;
    sim::BridgingGenerator bridge;
};

/// Everything stored begins as in the design's typical year, or as given by `named`.
CloudyPeriodAnswer answer_cloudy_period(scenarios::Scenario const& scenario, sim::System const& design,
                                        bool no_backup, sim::CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days, sim::NamedLevels const& named);

/// "battery at 74 % (typical year at that date and hour), cistern at 60 % .." for one start date or for all.
std::string start_levels_text(CloudyPeriodAnswer const& answer, Units units);

std::string cloudy_period_answer_table(scenarios::Scenario const& scenario, CloudyPeriodAnswer const& answer,
                                       Units units, bool plain);

/// "MM-DD" as a day of the year, 0 .. 364; throws CLI::ValidationError naming `option`.
int day_of(std::string const& text, std::string const& option);

}  // namespace holdwater::tools
