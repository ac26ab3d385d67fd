#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/search_settings.hpp"
#include "sim/base/run_result.hpp"
#include "sim/batch/batch.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A design's figures for the requirements.
struct RequirementFigures {
    Summary year;
    Findings findings;
    bool over_years = false;  ///< the share of years without a shortage is required
    /// Over many years, as [required] judges them; not run if two other requirements are missed.
    std::optional<YearsVerdict> years;
    double hours_short_allowed = 0, longest_shortage_limit_h = hours_per_year;  ///< of [required]
    std::optional<double> cost;         ///< life-cycle cost, mean of the years; nothing without prices
    std::optional<Spread> cost_spread;  ///< of this cost over the years; nothing without years
    std::optional<double> purchase;     ///< nothing without prices
    /// Longest cloudy period, up to the required one, with no shortage from enough start dates without
    /// backup. The battery is full when it begins; cistern and troughs are as in the design's typical year.
    /// Not run if two other requirements are already missed.
    std::optional<int> cloudy_days;
    std::string start_fault;  ///< the check of the motor start that does not pass; empty: all pass
};

/// One requirement with its verdict.
struct RequirementVerdict {
    std::string key, label, wanted, found;  ///< key as in [search.require]; name for the reader, SI unit
    double value = 0, limit = 0;            ///< 1 and 0 stand for yes and no
    bool holds = false;
    bool looked_at = true;
};

/// Names of the requirements, in the order of the verdicts; and for each whether a larger value of a list
/// marked more_never_hurts can be assumed not to lose it. That is not so for starts (more water, more
/// starts), cost and battery life.
struct RequirementName {
    std::string key, label;
    bool met_by_more = false;
};
/// `over_years`: the share of years without a shortage is required too, as the first requirement.
std::vector<RequirementName> names_of(scenarios::Requirements const& require, bool over_years);

/// Adds to the run of the year what else the requirements need: the cloudy period from every start date and
/// the nameplate checks are run only if they are required. Throws std::invalid_argument. `over_years`:
/// [required] is to be judged. `years`: the design's judged years; empty: they were not run.
RequirementFigures requirement_figures(scenarios::Design const& design, weather::WeatherYear const& year,
                                       scenarios::Requirements const& require, BatchYear const& run,
                                       bool over_years = false, std::vector<DrawnYear> const& years = {});

/// Number of requirements that the run of the year and the nameplate checks alone already miss.
int quick_misses(scenarios::Design const& design, weather::WeatherYear const& year,
                 scenarios::Requirements require, BatchYear const& run);

std::vector<RequirementVerdict> verdicts(RequirementFigures const& figures,
                                         scenarios::Requirements const& require);

}  // namespace holdwater::sim
