#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/scenario.hpp"
#include "sim/cloudy_spell_run.hpp"
#include "tools/spell_view.hpp"
#include "tools/units.hpp"

namespace holdwater::tools {

/// What a cloudy spell does to a design, and what would have helped.
struct SpellAnswer {
    std::string spell_text, backup;
    int days = 0;
    double level = 1;
    sim::SpellOutcome outcome;
    double median_wet_h =
        0;  ///< half of the start days stay wet at least so long; infinity: through the spell
    std::size_t slowest = 0;                                     ///< of outcome.starts: longest way to full
    std::vector<std::pair<sim::LimitReason, int>> failed_first;  ///< how many start days, most first
    int never_full = 0;                 ///< start days after which the bank is not full again within a year
    double bank_kwh = 0, array_kw = 0;  ///< as designed
    bool sized_without_backup = false;  ///< the next two: the backup alone had held
    std::optional<double> bank_factor, array_factor;  ///< least that hold; nothing: not even 64 times
    sim::BridgingGenerator bridge;
};

SpellAnswer answer_spell(scenarios::Scenario const& scenario, sim::System const& system, bool no_backup,
                         sim::SpellInputs const& inputs, std::vector<int> const& first_days);

std::string spell_answer_table(scenarios::Scenario const& scenario, SpellAnswer const& answer, Units units,
                               bool plain);

/// "the bank was empty" and so on.
std::string_view words(sim::LimitReason reason);

/// "MM-DD" as a day of the year, 0 .. 364; throws CLI::ValidationError naming `option`.
int day_of(std::string const& text, std::string const& option);

}  // namespace holdwater::tools
