#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "tools/show/screen.hpp"

namespace holdwater::tools {

/// One line of a strip: a value for each day, 0 .. 1.
struct StripRow {
    enum class Kind {
        level,  ///< height of the lowest day of a column
        share   ///< shade of the column's mean; a column with a little of it is marked too
    };
    std::string_view label;
    Kind kind = Kind::level;
    std::vector<double> days;
    int color = 0;  ///< of the terminal's sixteen, 31 .. 37; used on a screen with color only
};

/// At most 61 columns of equally many days on end, months below, under one another:
///   battery      ▇▇▇▆▅▄▂▁▂▃▅▇▇
///   dry                ░▒
///             J  F  M  A  M
/// `first_day` of the year, 0 = 1 January; all rows equally long.
std::string strip(std::vector<StripRow> const& rows, int first_day, Screen const& screen);

/// Days in one column of a strip of so many days.
int days_a_column(std::size_t days);

}  // namespace holdwater::tools
