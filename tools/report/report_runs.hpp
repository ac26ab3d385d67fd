#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/run_result.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/designs/design_requirements.hpp"
#include "sim/designs/sensitivity.hpp"
#include "tools/report/report_show.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// Longest cloudy period the days to the first shortage are followed for.
inline constexpr int longest_shortage_days = 30;

/// One design of the page: base design, or one of the scenario's options.
struct ReportedDesign {
    scenarios::Design design;
    sim::DesignCheck design_check;
    std::optional<sim::DesignCheck> design_check_us;  ///< for a page in both unit systems: in US units
    sim::DesignFigures figures;
    /// The poorest run of days on every start date, without backup, every store beginning where the design's
    /// typical year has it.
    sim::CloudyPeriodOutcome alone;
    sim::CloudyPeriodOutcome designed;  ///< the same with the design's backup
};

/// The worst start of the poorest run, hour by hour, and the days after it.
struct CloudyPeriodTrace {
    int first_day = 0, cloudy_period_days = 0;
    sim::StoreLevels begins;  ///< what the stores hold when it begins, with backup and without
    sim::RunResult alone, designed;
};

/// Days from sunset to the first shortage of water from the worst start date, battery full, cistern and
/// troughs where the typical year has them, no backup; infinity: not within longest_shortage_days. With no
/// sun it is the autonomy.
struct ShortageLine {
    std::string name;
    std::vector<double> days;  ///< one a share of the clear sky
};

/// The quoted design with one thing changed; NaN: that side is not tried.
struct WhatIf {
    std::string name, low_text, high_text;
    double low_days{}, high_days{};
};

struct WhatIfs {
    double clear_sky_share = 0;  ///< of the cloudy period they were tried in
    double base_days = 0;
    std::vector<WhatIf> bars;  ///< the longest first
    double days_with_leak = 0;
};

enum class MapFigure { shortage_hours, generator_run_h, grid_kwh };

/// The year with other sizes of array and battery.
struct SizeMap {
    MapFigure figure = MapFigure::shortage_hours;
    std::vector<double> array_factor, battery_factor;
    std::vector<std::vector<sim::Summary>> years;  ///< one row a battery
};

/// Everything the page is made of.
struct ReportRuns {
    weather::WeatherYear weather;
    std::vector<ReportedDesign> designs;
    std::size_t quoted = 0;
    sim::System system;  ///< of the quoted design, as the next ones
    sim::HourlyInputs hourly;
    sim::RunResult year;
    sim::CloudyPeriodInputs poorest;
    CloudyPeriodTrace trace;
    std::vector<double> clear_sky_shares;
    std::vector<ShortageLine> lines;
    WhatIfs what_ifs;
    SizeMap map;
    std::vector<sim::RequirementVerdict> required;  ///< of the quoted design, where the scenario requires any
    std::vector<sim::Sensitivity> ranges;           ///< those the scenario states, tried at both ends
};

struct ReportRequest {
    std::string option, weather;
    int cloudy_period_days = 10;
    ReportShow show;
};

ReportRuns run_report(scenarios::DesignFile const& file, ReportRequest const& request);

double array_rated_kw(models::PvArrayParameters const& array);

}  // namespace holdwater::tools
