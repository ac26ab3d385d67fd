#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/run_result.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/designs/design_requirements.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/designs/size_map.hpp"
#include "sim/designs/what_ifs.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// One design of the report: base design, or one of the scenario's options.
struct ReportedDesign {
    scenarios::Design design;
    DesignCheck design_check;
    std::optional<DesignCheck> design_check_us;  ///< in US units, for a page in both unit systems
    DesignFigures figures;
    std::optional<CostOverYears> cost;  ///< over the judged years; nothing without prices
    std::vector<double> shortage_days;  ///< days_to_shortage, one for each of clear_sky_shares
    /// The site's cloudy period from every start date, without backup; everything that is stored begins as
    /// the design's typical year has it.
    CloudyPeriodOutcome alone;
    CloudyPeriodOutcome designed;  ///< the same with the design's backup
};

/// The worst start date of the site's cloudy period, hour by hour, and the days after it.
struct CloudyPeriodTrace {
    int first_day = 0, cloudy_period_days = 0;
    StoreLevels begins;  ///< what is stored when it begins, with backup and without
    RunResult alone, designed;
};

/// Everything from which a report is made: years, cloudy periods, checks and what-ifs, but no texts.
struct ReportRuns {
    weather::WeatherYear weather;
    std::vector<ReportedDesign> designs;
    std::size_t quoted = 0;
    System system;  ///< of the quoted design, like the next ones
    CheckedInputs hourly;
    RunResult year;
    SupplyIndices indices;  ///< of the quoted design without grid and generator
    SiteCloudyPeriod site;
    CloudyPeriodInputs cloudy;
    CloudyPeriodTrace trace;
    std::vector<double> clear_sky_shares;
    WhatIfs what_ifs;
    SizeMap map;
    /// Every design over many years, and the worst year of the quoted one. Nothing if the scenario makes no
    /// years.
    std::optional<DesignVerdicts> verdicts;
    std::optional<WorstYear> worst_year;
    std::vector<RequirementVerdict> required;  ///< of the quoted design, if the scenario has requirements
    std::vector<Sensitivity> ranges;           ///< the ranges that the scenario states, tried at both ends
};

struct ReportRequest {
    std::string option;  ///< by name; empty: the base design
    WeatherStandIn weather;
    ShownUnits units = ShownUnits::metric;  ///< units of the texts in the checks
    bool both_units = false;                ///< also make the checks in US units
};

/// Throws ScenarioError, weather::WeatherError, std::invalid_argument.
ReportRuns run_report(scenarios::DesignFile const& file, ReportRequest const& request);

}  // namespace holdwater::sim
