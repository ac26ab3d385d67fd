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

/// What a design does about what is required of it.
struct RequirementFigures {
    Summary year;
    Findings findings;
    bool over_years = false;  ///< the share of years without a shortage is required
    /// Over many years, as [required] judges them; not looked at where two other requirements are missed.
    std::optional<YearsVerdict> years;
    std::optional<double> cost;      ///< life-cycle cost, from the mean of the years; nothing without prices
    std::optional<double> purchase;  ///< nothing without prices
    /// Longest cloudy period, up to what is required, that enough start dates hold without backup, the
    /// battery full when it begins, cistern and troughs where the design's typical year has them; not looked
    /// at where two other requirements are missed already.
    std::optional<int> cloudy_days;
    std::string start_fault;  ///< the check of the motor's start that does not pass; empty: all do
};

/// One requirement, judged.
struct RequirementVerdict {
    std::string key, label, wanted, found;  ///< key as in [search.require]; for reading, SI
    double value = 0, limit = 0;            ///< 1 and 0 for yes and no
    bool holds = false;
    bool looked_at = true;
};

/// Names of what is required, in the order of the verdicts; and whether it is taken as never lost by more of
/// what never hurts: not so for starts (more water, more starts), money, and the battery's life.
struct RequirementName {
    std::string key, label;
    bool met_by_more = false;
};
/// `over_years`: the share of years without a shortage is required too, first of all.
std::vector<RequirementName> names_of(scenarios::Requirements const& require, bool over_years);

/// Adds to the run of the year what else the requirements ask for: the cloudy period from every start date
/// and the nameplate checks are run only where required. Throws std::invalid_argument.
/// `over_years`: [required] is to be judged. `years`: the design's judged years; empty: they were not run.
RequirementFigures requirement_figures(scenarios::Design const& design, weather::WeatherYear const& year,
                                       scenarios::Requirements const& require, BatchYear const& run,
                                       bool over_years = false, std::vector<DrawnYear> const& years = {});

/// How many requirements are missed by the year's run and the nameplate checks alone.
int quick_misses(scenarios::Design const& design, weather::WeatherYear const& year,
                 scenarios::Requirements require, BatchYear const& run);

std::vector<RequirementVerdict> verdicts(RequirementFigures const& figures,
                                         scenarios::Requirements const& require);

}  // namespace holdwater::sim
