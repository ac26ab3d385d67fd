#pragma once

#include <vector>

#include "tools/report/report_runs.hpp"

namespace holdwater::tools {

/// Days to the first shortage at each share of the clear sky.
ShortageLine shortage_line(scenarios::Design const& design, weather::WeatherYear const& year,
                           std::vector<double> const& shares);

/// What moves the days to the first shortage most. The cloudy period is the brightest of 20, 10 and 0 % of a
/// clear sky in which the design comes to a shortage at all. Changes: see the .cpp; their sizes are common
/// practice, no source, except where the scenario states a range.
WhatIfs what_ifs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                 std::vector<double> const& shares, std::vector<double> const& days, ReportShow const& show);

}  // namespace holdwater::tools
