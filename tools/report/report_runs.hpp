#pragma once

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/base/run_result.hpp"
#include "tools/report/report_show.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// Longest spell the days to the first shortage are followed for.
inline constexpr int longest_shortage_days = 30;

/// One design of the page: as written, or one of the scenario's options.
struct QuotedDesign {
    scenarios::Design design;
    sim::Preflight preflight;
    sim::DesignFigures figures;
    /// The poorest run of days on every start day, without backup, every store beginning where the design's
    /// typical year has it.
    sim::SpellOutcome alone;
    sim::SpellOutcome designed;  ///< the same with the design's backup
};

/// The worst start of the poorest run, hour by hour, and the days after it.
struct SpellTrace {
    int first_day = 0, spell_days = 0;
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
    double low_days, high_days;
};

struct WhatIfs {
    double clear_sky_share = 0;  ///< of the spell they were tried in
    double base_days = 0;
    std::vector<WhatIf> bars;  ///< the longest first
    double days_with_leak = 0;
};

enum class MapFigure { dry_hours, generator_run_h, grid_kwh };

/// The year with other sizes of array and bank.
struct SizeMap {
    MapFigure figure = MapFigure::dry_hours;
    std::vector<double> array_factor, bank_factor;
    std::vector<std::vector<sim::Summary>> years;  ///< one row a bank
};

/// Everything the page is made of.
struct QuoteRuns {
    weather::WeatherYear weather;
    std::vector<QuotedDesign> designs;
    std::size_t quoted = 0;
    sim::System system;  ///< of the quoted design, as the next ones
    sim::HourlyInputs hourly;
    sim::RunResult year;
    sim::SpellInputs poorest;
    SpellTrace trace;
    std::vector<double> clear_sky_shares;
    std::vector<ShortageLine> lines;
    WhatIfs what_ifs;
    SizeMap map;
    std::vector<sim::Remeasured> ranges;  ///< those the scenario states, tried at both ends
};

struct QuoteRequest {
    std::string option, weather;
    int spell_days = 10;
    QuoteShow show;
};

QuoteRuns run_quote(scenarios::DesignFile const& file, QuoteRequest const& request);

double array_rated_kw(models::PvArrayParameters const& array);

}  // namespace holdwater::tools
