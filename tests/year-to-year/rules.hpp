#pragma once

#include <map>
#include <string>
#include <vector>

#include "tests/year-to-year/coverage.hpp"
#include "weather/fit_days.hpp"

namespace holdwater::test {

using RunCells = std::array<Cell, run_lengths.size()>;
RunCells run_cells(std::vector<Cell> const& cells);

/// How well made years meet one place's record: its four runs, and the natural logarithm of the CV of made
/// over recorded monthly means (mean of the months) and annual means.
struct PlaceFit {
    RunCells runs;
    double months_cv = 0, annual_cv = 0;
};
PlaceFit place_fit(DailyRecord const& record, YearFigures const& recorded, YearFigures made);

/// How a set of places rates a rule: for each run length the square of the mean error of the medians over 5
/// %, for each cell the square of the error divided by the allowed error, and half the square of how far
/// the rank of the worst year among worst years is outside one standard deviation; and the squares of the
/// mean logarithms of the CVs over 0.05 (months) and 0.15 (years; instruments that drift are part of the
/// recorded one). Mean over the places.
double misfit(std::vector<PlaceFit> const& places);

/// The rules to choose from: four settings, 81 combinations. The form of the rule and its other settings
/// were chosen with all seven places known.
std::vector<weather::TypicalRule> rules_to_try();

/// For each place the rule that fits the other places best, found by `holdwater_coverage --search` without
/// using the place. "all": the best for all places, which weather/fit_days.hpp has as its defaults.
std::map<std::string, weather::TypicalRule> const& rules_without();

}  // namespace holdwater::test
