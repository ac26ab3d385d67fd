#pragma once

#include <string>
#include <vector>

#include "sim/autonomy/autonomy_study.hpp"
#include "sim/files/table_file.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// One design at one age.
struct ReserveColumn {
    std::string design;
    double age_y = 0;
    double bank_left = 1, array_left = 1;  ///< of what they are now
    bool life_assumed = false;             ///< of an aged one: its bank is taken at the end of its life
    sim::ReserveFigures figures;
};

/// What all columns have in common.
struct ReserveQuestion {
    std::string spell_text;
    int spell_days = 10;
    double leak_m3_s = 0, years = 10;
};

struct ReserveFigure {
    std::string name, unit, long_name;
    double (*get)(ReserveColumn const&);
};
/// Every figure, as JSON and files name it.
std::vector<ReserveFigure> const& reserve_figures();

struct OutageFigure {
    std::string name, unit, long_name;
    double (*get)(sim::OutageLength const&) = nullptr;
};
/// Every figure of an outage's length, likewise.
std::vector<OutageFigure> const& outage_figures();

/// A design new and aged side by side; or, of several designs, one table new and one aged.
std::string reserve_table(ReserveQuestion const& question, std::vector<ReserveColumn> const& columns,
                          Units units);

/// For a file: a row a column of the table; and the start levels of each.
std::vector<sim::Table> reserve_tables(std::vector<ReserveColumn> const& columns);

}  // namespace holdwater::tools
