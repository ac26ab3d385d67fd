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

struct SizeOptions {
    scenarios::DesignOption base;  ///< changes that come before the choice's own
    WeatherStandIn weather;
    std::size_t all_up_to = 500;                    ///< so many combinations are all run; more are pruned
    int threads = 0;                                ///< 0: all processors
    std::function<void(std::size_t run)> progress;  ///< called between batches; may be empty
    StopFlag stop = nullptr;                        ///< looked at between batches
};

/// Made years, none of those that the choice was made on, over which it is confirmed.
inline constexpr int confirming_years = 200;

/// One combination that was run.
struct SizeRun {
    std::string problem;  ///< in words, and nothing else, when the design cannot be built
    RequirementFigures figures;
    std::vector<RequirementVerdict> verdicts;
    bool meets_all = false;
};

/// One requirement dropped: what would do then. Nothing when nothing would, or the choice stays.
struct Dropped {
    std::size_t requirement = 0;
    std::optional<Combination> would_do;
};

/// One value less on one axis of the choice.
struct OneLess {
    std::size_t axis = 0;
    Combination combination;
};

struct SizeAnswer {
    scenarios::SearchSettings settings;
    scenarios::SearchLeast least = scenarios::SearchLeast::size;
    std::string currency;
    double years = 0;  ///< of the cost
    std::vector<RequirementName> requirements;
    std::map<Combination, SizeRun> runs;
    std::map<Combination, Judged> judged;
    std::size_t combinations = 0;
    bool all_run = false;
    /// It was asked to stop: `runs` holds what was run by then, and `choice` the best of these; what follows
    /// from a finished search (dropped, one_less, frontier, contradiction) is empty.
    bool stopped = false;
    std::optional<Combination> choice, nearest;  ///< nearest: fewest requirements missed, when no choice
    std::vector<Dropped> dropped;
    std::vector<OneLess> one_less;
    std::vector<Combination> frontier;  ///< of the runs, objective against water kept
    /// The choice over `confirming_years` other made years; nothing without a choice or without years.
    std::optional<YearsVerdict> confirmed;
    /// The choice over each set of recorded years, where there are any.
    std::vector<DesignVerdict::Years> recorded;
    scenarios::YearsRequired required;  ///< of the years, by the base design
    int years_of_choice = 0;            ///< made years every combination was run over
    bool winters = false;
    std::optional<SizeSearch::Contradiction> contradiction;
    /// What a reader must know of prices and of an array sized without its controller, a sentence each.
    std::vector<std::string> notes;
};

/// The design with the least cost, purchase or size (axes in their order, earlier values smaller) that meets
/// what is required. See SizeSearch for what is left out and how the answer is checked. Where no list has a
/// price, nothing can be the cheapest: the smallest is chosen, with a note, unless `least` asks for money.
/// Throws ScenarioError, std::invalid_argument, weather::WeatherError.
SizeAnswer size_design(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
                       SizeOptions const& options);

/// "battery 10 kWh, array 1.6 kW".
std::string name_of(SizeAnswer const& answer, Combination const& combination);

}  // namespace holdwater::sim
