#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/files/table_file.hpp"
#include "sim/verdict/made_years.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// One design over many years.
struct YearsAnswer {
    BatchYear as_written;  ///< the year of the weather file, with the scenario's own seeds
    std::vector<DrawnYear> years;
    bool made = true;              ///< the years are made, not recorded
    bool own_is_recorded = false;  ///< as_written is the first of the recorded years, not the typical year
    bool winters = false;          ///< each year has one whole winter in its middle
    std::string weather, drawn;
    /// Years without an hour short of water; years with 99.9 % of the water or more.
    Odds wet, nearly_wet;
    std::vector<std::string> notes;  ///< how the years were made
};

/// Years of one kind: made ones, or the recorded ones by one model of the light.
struct SourcedYears {
    std::string source;             ///< "made", "recorded", or the model
    std::vector<int> year_numbers;  ///< of recorded ones: calendar years in which they begin
    YearsAnswer answer;
};

/// One design, with its battery as [required] judges it, over the made years, then over each set of recorded
/// ones; `own` is the weather of its own year. Throws std::invalid_argument when that cannot be run, and
/// StudyStopped.
std::vector<SourcedYears> sourced_years(scenarios::Scenario const& scenario, weather::WeatherYear const& own,
                                        DrawOptions const& draw);

/// The answer of one design's made years; `as_written` is its own year.
SourcedYears made_answer(BatchYear as_written, Draws const& draws);

/// A figure of the summary over the years, in SI. Computing times and balance errors have none.
struct FigureSpread {
    std::string name;
    double as_written{};
    Spread spread;
};
std::vector<FigureSpread> figure_spreads(YearsAnswer const& answer);

/// One row for each year: its number, every figure of the summary, the years until the battery is replaced,
/// and why it could not be run. If there are recorded years, also where the year is from. Pre: at least one
/// answer.
Table table_of_years(std::vector<SourcedYears> const& answers);

}  // namespace holdwater::sim
