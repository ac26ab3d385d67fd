#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "models/numeric/statistics.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/stop.hpp"
#include "sim/batch/batch.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Where the years come from.
struct DrawOptions {
    int years = 50;  ///< 1 .. 100000
    std::uint64_t seed = 1;
    /// Years on record, used one after the other and again from the first; empty: years are made to be like
    /// the design's own file (weather/fit_maker.hpp).
    std::vector<weather::WeatherYear> records;
    int threads = 0;                                  ///< 0: all processors
    std::function<void(int done, int all)> progress;  ///< called between batches; may be empty
    StopFlag stop = nullptr;  ///< looked at between batches: the answer is of the years finished by then
};

/// One design and the weather file it was given.
struct DrawnDesign {
    scenarios::Scenario scenario;
    weather::WeatherYear const* own_year = nullptr;
};

/// One year of one design, with findings. `problem` in words, and no figures, when it could not be run.
using DrawnYear = BatchYear;

/// A whole year as it stands, nothing drawn.
DrawnYear run_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year);

struct Draws {
    std::vector<std::vector<DrawnYear>> years;  ///< by design, then by year
    std::string weather, drawn;                 ///< in words: where the years come from, what else is drawn
    std::vector<std::string> notes;
};

/// Runs every design through the same years: year i has the same weather, and the same seeds for outages
/// (those of [outage_draw]; listed ones stay), demand (`day_variation`) and generator failures, in all of
/// them, so that designs can be compared year by year. Each year starts with the battery at its start level.
/// Year i does not depend on how many there are, nor on the number of threads.
/// Throws std::invalid_argument; models::ParameterError for options out of range; StudyStopped when it was
/// asked to stop before any year was finished.
Draws draw_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);

/// What a figure does over the years. `bad` is the value on the bad side that one year in ten passes.
struct Spread {
    double mean = 0, median = 0, low = 0, high = 0;  ///< low, high: 10 % and 90 % of the years below
    double bad = 0, worst = 0;
};
/// `better`: +1 more is better, -1 less is.
Spread spread_of(std::vector<double> const& values, int better);

/// How often something happened, with the Wilson interval (95 %).
struct Odds {
    int times = 0, years = 0;
    models::Interval share;
};
Odds odds_of(std::vector<DrawnYear> const& years, std::function<bool(DrawnYear const&)> const& happened);

}  // namespace holdwater::sim
