#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/base/progress.hpp"
#include "sim/base/stop.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::scenarios {
class RecordShelf;
}

namespace holdwater::sim {

/// Replaces the scenario's weather in a study; empty: the scenario's own.
struct WeatherStandIn {
    std::string file;                                 ///< a file of one year, in place of the typical year
    scenarios::OtherYears recorded;                   ///< in place of the recorded years
    std::optional<int> made_years;                    ///< in place of weather.made_years, 0 .. 100000
    std::optional<std::uint64_t> seed;                ///< in place of weather.seed
    std::shared_ptr<MadeShelf> shelf;                 ///< what earlier studies have made; empty: a new one
    std::shared_ptr<scenarios::RecordShelf> records;  ///< what was read of recorded years; empty: nothing
    TellShare progress;                               ///< of the years that are run; may be empty
    StopFlag stop = nullptr;                          ///< as in DrawOptions
};

/// The years of a scenario's verdict: its made years with their seed, and its recorded years, one set for
/// each irradiance model. Studies with these options share
/// the made weather. Throws the same as scenarios::read_scenario_years.
DrawOptions years_to_run(scenarios::Scenario const& scenario, WeatherStandIn const& weather = {});

/// Whether there is any year to run: made ones, or two consecutive recorded ones.
bool any_years(DrawOptions const& options);

/// One set of recorded years for each irradiance model. Its notes list what affects the trust in an answer:
/// years left out, chains of consecutive years, filled hours, a second file, irradiance levels, place.
std::vector<RecordedSet> recorded_sets(weather::RecordedYears const& record);

}  // namespace holdwater::sim
