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
        share   ///< shade of the column's mean; a column with only a little of it is marked too
    };
    std::string_view label;
    Kind kind = Kind::level;
    std::vector<double> days;
    int color = 0;  ///< one of the terminal's sixteen colors, 31 .. 37; only on a screen with color
};

/// At most 61 columns of equally many consecutive days, with the rows below one another and the months at the
/// bottom:
///   battery      ▇▇▇▆▅▄▂▁▂▃▅▇▇
///   dry                ░▒
///             J  F  M  A  M
/// `first_day` of the year, 0 = 1 January; all rows equally long.
std::string strip(std::vector<StripRow> const& rows, int first_day, Screen const& screen);

/// Number of days in one column of a strip with this many days.
int days_a_column(std::size_t days);

}  // namespace holdwater::tools
