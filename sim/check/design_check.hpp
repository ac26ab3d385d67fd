#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "models/electric/motor_start.hpp"
#include "scenarios/settings/scenario.hpp"

namespace holdwater::sim {

using ShownUnits = scenarios::UnitSystem;

/// A condition that should hold before a year is run.
struct Check {
    std::string name;                                         ///< one of scenarios::check_names
    std::string group;                                        ///< the heading above it
    std::string title;                                        ///< in words
    double value = std::numeric_limits<double>::quiet_NaN();  ///< in `unit`; NaN: not a number or not known
    double limit = std::numeric_limits<double>::quiet_NaN();
    std::string unit;                    ///< SI
    std::string value_text, limit_text;  ///< for a reader, in the requested units
    /// Value / limit or limit / value, so that 1 just passes and more is better; NaN: none.
    double margin = std::numeric_limits<double>::quiet_NaN();
    models::Verdict verdict = models::Verdict::unknown;
    std::string source;                 ///< of the limit, or "common practice, no source"
    std::string change;                 ///< what to do if it does not pass, or what the figure depends on
    std::string detail;                 ///< shown with the figures at any verdict; may be empty
    std::string provenance;             ///< of the inputs that matter most; may be empty
    std::optional<std::string> waived;  ///< the designer's reason
};

struct DesignCheck {
    std::vector<Check> checks;
    std::vector<std::string> notes;  ///< not checks: what is not needed or left out, and who decides
};

struct CheckOptions {
    ShownUnits units = ShownUnits::metric;
    /// Mean energy of the array in its worst month from the weather file, after snow, dirt and cell
    /// temperature; used if the scenario gives no sun_hours.
    std::optional<double> darkest_month_kwh_per_day;
};

/// Nameplate checks of a design before any hour is run: motor with inverter and generator, cables, battery,
/// array, tank, pump, and two figures of the hand calculation.
///
/// Verdicts: FAIL beyond the limit. MARGINAL within a band of it (25 % for power, 5 % for voltage, half a
/// percentage point beyond the running drop: common practice, no source). UNKNOWN if an input is missing, or
/// if it is only assumed and the verdict is FAIL at one end of its range but not at the other. All
/// combinations of the ends of up to six ranges are tried. A motor without nameplate start current, code
/// letter or range gets the range 3 to 7 times its full-load current. Leaves out: protection coordination,
/// grounding, everything else that the local code requires.
DesignCheck design_check(scenarios::Scenario const& scenario, CheckOptions const& options = {});

/// State of charge of the battery at which the motor start is checked, without a measured voltage at rest: as
/// given, or the lowest at which the rules still let the inverter start the pump.
double start_check_soc(scenarios::Scenario const& scenario);

/// Mean energy a day in the worst month, from the 8760 hours of the array.
double darkest_month_kwh_per_day(std::vector<double> const& array_w);

/// An unwaived FAIL.
inline bool stands_in_the_way(Check const& c) { return c.verdict == models::Verdict::fail && !c.waived; }

}  // namespace holdwater::sim
