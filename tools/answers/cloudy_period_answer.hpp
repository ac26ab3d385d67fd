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

/// What a cloudy period does to a design, and what would have helped.
struct CloudyPeriodAnswer {
    std::string cloudy_period_text, backup;
    int hours = 0, start_hour = 0;
    bool has_cistern = false, has_trough = false;
    bool has_well_level = false, has_battery_temperature = false;
    sim::NamedLevels named;  ///< start levels that somebody named; the others are the typical year's
    sim::CloudyPeriodOutcome outcome;
    /// Half of the start dates stay wet at least so long; infinity: through the period.
    double median_until_shortage_h = 0;
    std::size_t slowest = 0;                                     ///< of outcome.starts: longest way to full
    std::vector<std::pair<sim::LimitReason, int>> failed_first;  ///< how many start dates, most first
    int short_after = 0;  ///< start dates with water short after the period, until full again
    int never_full = 0;   ///< start dates after which the stores are not full again within a year
    double battery_kwh = 0, array_kw = 0, cistern_m3 = 0;  ///< as designed; the cistern to its overflow
    bool sized_without_backup = false;                     ///< the next ones: the backup alone had held
    /// Least that hold; nothing: not even sim::largest_factor times.
    std::optional<double> battery_factor, array_factor;
    std::optional<double> cistern_needed_m3;
    sim::BridgingGenerator bridge;
};

/// The stores begin where the design's typical year has them, or as `named` says.
CloudyPeriodAnswer answer_cloudy_period(scenarios::Scenario const& scenario, sim::System const& design,
                                        bool no_backup, sim::CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days, sim::NamedLevels const& named);

/// "battery at 74 % (typical year at that date and hour), cistern at 60 % .." of one start or of all.
std::string start_levels_text(CloudyPeriodAnswer const& answer, Units units);

std::string cloudy_period_answer_table(scenarios::Scenario const& scenario, CloudyPeriodAnswer const& answer,
                                       Units units, bool plain);

/// "MM-DD" as a day of the year, 0 .. 364; throws CLI::ValidationError naming `option`.
int day_of(std::string const& text, std::string const& option);

}  // namespace holdwater::tools
