#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/verdict/made_years.hpp"
#include "sim/verdict/years_answer.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The figures of a made year in a row: its number, the summary without computing time, the years until the
/// battery is replaced, and how the year began and ended.
std::vector<SweepFigure> years_figures();

/// The made years of one design as rows: row i of a numbered plan is made year i + 1, with the same figures
/// as in sourced_years. So shards can run them, and the years read from their files give the same answer.
class YearsRows {
  public:
    /// `own` must outlive this object. Runs the design's own year and the first made year. Throws
    /// std::invalid_argument if the own year cannot be run. Pre: no recorded years in `draw`.
    YearsRows(scenarios::Scenario const& scenario, weather::WeatherYear const& own, DrawOptions draw);

    void run(SweepBlock& block) const;
    /// The answer of all years. Throws std::invalid_argument if none of them could be run.
    [[nodiscard]] SourcedYears answer(std::vector<DrawnYear> years) const;
    [[nodiscard]] std::string inputs_hash() const;  ///< of the design and its weather

  private:
    scenarios::Scenario scenario_;
    weather::WeatherYear const& own_;
    DrawOptions draw_;
    BatchYear as_written_;
    Draws common_;  // without years: what all of them have in common
};

/// The years of a block that `run` has filled.
std::vector<DrawnYear> years_of(SweepBlock const& block);

/// For a hash of the inputs: values one after the other; the numbers of a weather year.
std::string numbers_text(std::vector<double> const& values);
std::string bytes_of(weather::WeatherYear const& year);

}  // namespace holdwater::sim
