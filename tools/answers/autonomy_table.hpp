#pragma once

#include <string>
#include <vector>

#include "sim/designs/autonomy_columns.hpp"
#include "sim/files/table_file.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

using sim::AutonomyColumn;

/// What all columns have in common.
struct AutonomyQuestion {
    std::string cloudy_period_text;
    int cloudy_period_days = 10;
    double leak_m3_s = 0, years = 10;
    bool detail = false;  ///< all rows, instead of the short answer
};

struct AutonomyFigure {
    std::string name, unit, long_name;
    double (*get)(AutonomyColumn const&) = nullptr;
};
/// Every figure with its name in JSON and files.
std::vector<AutonomyFigure> const& autonomy_figures();

struct OutageFigure {
    std::string name, unit, long_name;
    double (*get)(sim::OutageLength const&) = nullptr;
};
/// Every figure for a length of outage, in the same way.
std::vector<OutageFigure> const& outage_figures();

/// One design new and aged side by side; for several designs, one table new and one aged.
std::string autonomy_table(AutonomyQuestion const& question, std::vector<AutonomyColumn> const& columns,
                           Units units);

/// What the answer assumes of a bypass of the inverter; "" if it is never bypassed.
std::string bypass_words(sim::AutonomyFigures const& figures);

/// For a file: a row for each column of the table; and the start states of each.
std::vector<sim::Table> autonomy_tables(std::vector<AutonomyColumn> const& columns);

}  // namespace holdwater::tools
