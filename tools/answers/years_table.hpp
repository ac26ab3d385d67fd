#pragma once

#include <functional>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/files/table_file.hpp"
#include "sim/verdict/made_years.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// One design over many years.
struct YearsAnswer {
    sim::BatchYear as_written;  ///< the year of the weather file, with the scenario's own seeds
    std::vector<sim::DrawnYear> years;
    bool made = true;              ///< the years are made, not recorded
    bool own_is_recorded = false;  ///< as_written is the first of the recorded years, not the typical year
    bool winters = false;          ///< each year has one whole winter in its middle
    std::string weather, drawn;
    /// Years without an hour short of water; years with 99.9 % of the water or more.
    sim::Odds wet, nearly_wet;
    std::vector<std::string> notes;  ///< how the years were made
};

/// Over the made years, or over the years of one recorded set.
YearsAnswer answer_years(sim::BatchYear as_written, sim::Draws const& draws,
                         sim::RecordedDraws const* recorded = nullptr);

/// Years of one kind: made ones, or the recorded ones by one model of the light.
struct SourcedYears {
    std::string source;             ///< "made", "recorded", or the model
    std::vector<int> year_numbers;  ///< of recorded ones: calendar years in which they begin
    YearsAnswer answer;
};

/// One design, with its battery as [required] judges it, over the made years, then over each set of recorded
/// ones; `own` is the weather of its own year. Throws std::invalid_argument when that cannot be run, and
/// sim::StudyStopped.
std::vector<SourcedYears> sourced_years(scenarios::Scenario const& scenario, weather::WeatherYear const& own,
                                        sim::DrawOptions const& draw);

std::string years_table(scenarios::Scenario const& scenario, YearsAnswer const& answer, Units units);

/// Progress of the years, for draw_years; empty if standard error is not watched.
std::function<void(int, int)> years_progress();

/// One row for each year: its number from 1, every figure of the summary, and the years until the battery is
/// replaced.
sim::Table years_table(YearsAnswer const& answer);

/// Two more columns: the source of each year, and the calendar year of recorded ones (otherwise NaN).
void add_source(sim::Table& table, std::string const& source, std::vector<int> const& calendar_years);
/// Adds the rows of one table to another one with the same columns.
void append_rows(sim::Table& table, sim::Table const& more);

/// The figures over the years, in SI, for --json.
struct FigureSpread {
    std::string name;
    double as_written{};
    sim::Spread spread;
};
std::vector<FigureSpread> figure_spreads(YearsAnswer const& answer);

/// "47 of 50 years, 94 % (84 to 98 %)".
std::string words(sim::Odds const& odds);

}  // namespace holdwater::tools
