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
struct SpellAnswer {
    std::string spell_text, backup;
    int hours = 0, start_hour = 0;
    bool has_cistern = false, has_trough = false;
    sim::NamedLevels named;  ///< start levels that somebody named; the others are the typical year's
    sim::SpellOutcome outcome;
    /// Half of the start days stay wet at least so long; infinity: through the period.
    double median_wet_h = 0;
    std::size_t slowest = 0;                                     ///< of outcome.starts: longest way to full
    std::vector<std::pair<sim::LimitReason, int>> failed_first;  ///< how many start days, most first
    int short_after = 0;  ///< start days with water short after the period, until full again
    int never_full = 0;   ///< start days after which the stores are not full again within a year
    double bank_kwh = 0, array_kw = 0, cistern_m3 = 0;  ///< as designed; the cistern to its overflow
    bool sized_without_backup = false;                  ///< the next ones: the backup alone had held
    /// Least that hold; nothing: not even sim::largest_factor times.
    std::optional<double> bank_factor, array_factor;
    std::optional<double> cistern_needed_m3;
    sim::BridgingGenerator bridge;
};

/// The stores begin where the design's typical year has them, or as `named` says.
SpellAnswer answer_spell(scenarios::Scenario const& scenario, sim::System const& design, bool no_backup,
                         sim::SpellInputs const& inputs, std::vector<int> const& first_days,
                         sim::NamedLevels const& named);

/// "battery at 74 % (typical year at that date and hour), cistern at 60 % .." of one start or of all.
std::string start_levels_text(SpellAnswer const& answer, Units units);

std::string spell_answer_table(scenarios::Scenario const& scenario, SpellAnswer const& answer, Units units,
                               bool plain);

/// "the bank was empty" and so on.
std::string_view words(sim::LimitReason reason);

/// "MM-DD" as a day of the year, 0 .. 364; throws CLI::ValidationError naming `option`.
int day_of(std::string const& text, std::string const& option);

}  // namespace holdwater::tools
