#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "models/electric/motor_start.hpp"
#include "scenarios/settings/scenario.hpp"

namespace holdwater::sim {

using ShownUnits = scenarios::UnitSystem;

/// One thing that must hold before a year is worth running.
struct Check {
    std::string name;                                         ///< one of scenarios::check_names
    std::string group;                                        ///< heading it stands under
    std::string title;                                        ///< in words
    double value = std::numeric_limits<double>::quiet_NaN();  ///< in `unit`; NaN: not a number or not known
    double limit = std::numeric_limits<double>::quiet_NaN();
    std::string unit;                    ///< SI
    std::string value_text, limit_text;  ///< for reading, in the units asked for
    /// How far the value is on the good side: value over limit or limit over value, 1 = just; NaN: none.
    double margin = std::numeric_limits<double>::quiet_NaN();
    models::Verdict verdict = models::Verdict::unknown;
    std::string source;                 ///< of the limit, or "common practice, no source"
    std::string change;                 ///< what to do when it does not pass, or what the figure rests on
    std::string detail;                 ///< beside the figures, whatever the verdict; may be empty
    std::string provenance;             ///< of the inputs that matter most; may be empty
    std::optional<std::string> waived;  ///< the designer's reason
};

struct DesignCheck {
    std::vector<Check> checks;
    std::vector<std::string> notes;  ///< what is not a check: not needed, left out, who decides
};

struct CheckOptions {
    ShownUnits units = ShownUnits::metric;
    /// Mean energy of the array in its poorest month from the weather file, after snow, dirt and heat; used
    /// when the scenario gives no sun_hours.
    std::optional<double> darkest_month_kwh_per_day;
};

/// Nameplate checks of a design, static, before any hour is run: motor against inverter and generator,
/// cables, battery, array, tank, pump, and two figures of hand sizing.
///
/// Verdicts: FAIL beyond the limit; MARGINAL within a band of it (25 % for power, 5 % for volts, half a
/// percentage point beyond the running drop: common practice, no source); UNKNOWN when an input is missing,
/// or only assumed and FAIL at one end of its range and not at the other. All combinations of the ends of up
/// to six ranges are tried. A motor without nameplate start current, code letter or range has one by itself:
/// 3 to 7 times its full-load current. Leaves out: protection coordination, grounding, everything the local
/// code asks beyond the figures named.
DesignCheck design_check(scenarios::Scenario const& scenario, CheckOptions const& options = {});

/// Mean of a day in the poorest month, from the array's 8760 hours.
double darkest_month_kwh_per_day(std::vector<double> const& array_w);

/// A failure nobody answers for.
inline bool stands_in_the_way(Check const& c) { return c.verdict == models::Verdict::fail && !c.waived; }

}  // namespace holdwater::sim
