#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/search_settings.hpp"
#include "sim/base/stop.hpp"
#include "sim/designs/design_requirements.hpp"
#include "sim/designs/size_search.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {

struct SizeRun;

struct SizeOptions {
    scenarios::DesignOption base;  ///< changes that are made before those of the combination
    WeatherStandIn weather;
    /// Up to this number, all combinations are run; if there are more, some are skipped.
    std::size_t all_up_to = 500;
    int threads = 0;                                                ///< 0: all processors
    std::function<void(std::size_t run, std::size_t of)> progress;  ///< about; may be empty
    StopFlag stop = nullptr;                                        ///< checked between batches
    /// Every combination, if they were run before (combination_runs): the choice is made from these.
    std::map<Combination, SizeRun> const* known = nullptr;
};

/// Number of made years, other than those of the choice, on which the choice is confirmed.
inline constexpr int confirming_years = 200;

/// One combination that was run.
struct SizeRun {
    std::string problem;  ///< the reason in words, and nothing else, if the design cannot be built
    RequirementFigures figures;
    std::vector<RequirementVerdict> verdicts;
    bool meets_all = false;
    std::string years_problem;  ///< problem_note of its made years
};
/// Sets verdicts and meets_all by the figures.
void judge(SizeRun& run, scenarios::Requirements const& require);

/// The result without one requirement: the combination that would then be chosen. Nothing if there is none,
/// or if the choice stays the same.
struct Dropped {
    std::size_t requirement = 0;
    std::optional<Combination> would_do;
};

/// The choice with the next smaller value of one list.
struct OneLess {
    std::size_t axis = 0;
    Combination combination;
};

struct SizeAnswer {
    scenarios::SearchSettings settings;
    scenarios::SearchLeast least = scenarios::SearchLeast::size;
    bool partly_priced = false;  ///< some lists have prices and some have none
    std::string currency;
    double years = 0;  ///< currency of the cost
    std::vector<RequirementName> requirements;
    std::map<Combination, SizeRun> runs;
    std::map<Combination, Judged> judged;
    std::size_t combinations = 0;
    bool all_run = false;
    /// The search was asked to stop: `runs` has what was run until then, `choice` the best of these; the
    /// results of a finished search (dropped, one_less, frontier, contradiction) are empty.
    bool stopped = false;
    /// Without a choice: the nearest combination, with fewest requirements missed.
    std::optional<Combination> choice, nearest;
    std::vector<Dropped> dropped;
    std::vector<OneLess> one_less;
    /// Indices of the runs that are on the frontier of objective against demand met.
    std::vector<Combination> frontier;
    /// The choice over `confirming_years` other made years; nothing without a choice or without made years.
    std::optional<YearsVerdict> confirmed;
    /// The choice over each set of recorded years that is not the one of the choice.
    std::vector<DesignVerdict::Years> recorded;
    scenarios::YearsSettings settings_of_years;  ///< of the base design
    int years_of_choice = 0;                     ///< number of years over which every combination was run
    bool chosen_on_recorded = false;             ///< they are recorded years, because no years are made
    int start_month = 1;
    bool winters = false;
    std::string weather, drawn;  ///< these years in words, and what differs between them
    std::vector<std::string> notes_on_years;
    std::optional<SizeSearch::Contradiction> contradiction;
    /// Notes on prices and on an array that is sized without its controller, one sentence each.
    std::vector<std::string> notes;
};

/// The design with the least cost, purchase price or size that meets the requirements. (Size: lists in their
/// order, earlier values are smaller.) SizeSearch describes what is skipped and how the answer is checked. If
/// no list has a price, no combination is the cheapest: the smallest is chosen, with a note, unless `least`
/// asks for cost. Throws ScenarioError, std::invalid_argument, weather::WeatherError.
SizeAnswer size_design(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
                       SizeOptions const& options);

/// Runs the combinations that it gets, without a choice; the runs are those of size_design. What it is made
/// from must outlive it.
std::function<std::vector<SizeRun>(std::vector<Combination> const&)> combination_runs(
    scenarios::DesignFile const& file, scenarios::SearchSettings const& settings, SizeOptions const& options);

/// "battery 10 kWh, array 1.6 kW".
std::string name_of(SizeAnswer const& answer, Combination const& combination);

}  // namespace holdwater::sim
