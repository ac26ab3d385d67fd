#pragma once

#include <memory>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// The autonomy of one design at one age.
struct AutonomyColumn {
    std::string design;
    double age_y = 0;
    double battery_left = 1, array_left = 1;  ///< as a share of their present values
    /// Of an aged design: its battery is taken at the end of its life.
    bool life_assumed = false;
    AutonomyFigures figures;
};

/// The designs as they are, in their order, and then the same after `years` more of service (0: not at all).
/// `weather` has the year of each design. The site's cloudy period is that of site_cloudy_periods with
/// `draw`; it replaces `options.site`. Columns are studied side by side. If it is asked to stop
/// (`options.stop`), the result has the finished columns, and of no design the aged one alone. Throws the
/// same as study_autonomy and site_cloudy_periods, apart from StudyStopped.
std::vector<AutonomyColumn> autonomy_columns(
    std::vector<scenarios::Design> const& designs,
    std::vector<std::shared_ptr<weather::WeatherYear const>> const& weather, double years,
    AutonomyOptions const& options, DrawOptions draw);

}  // namespace holdwater::sim
