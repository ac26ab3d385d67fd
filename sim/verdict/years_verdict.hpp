#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scenarios/settings/years_required.hpp"
#include "sim/verdict/made_years.hpp"
#include "sim/year/shortages.hpp"

namespace holdwater::sim {

/// How many years of a set meet the requirement, and whether that is enough.
struct YearsVerdict {
    int years = 0;  ///< number of years that could be run
    int held = 0;   ///< the design recovers, and the hours short are within hours_short_allowed
    /// 90 % interval of the number of years held: the Clopper-Pearson interval of the share times the number
    /// of years, rounded to whole years.
    int held_low = 0, held_high = 0;
    int needed = 0;         ///< number of years needed for the required share: share times years, rounded up
    bool limit_met = true;  ///< no year has a longer shortage than longest_shortage_limit
    bool met = false;       ///< held >= needed and limit_met
    bool close = false;     ///< the required share is within the interval
    /// If close: number of years after which the required share is outside the interval, if the share of
    /// years held stays the same; 0: more than 100,000.
    int years_to_settle = 0;
    int unrecovered = 0;                   ///< years whose state still depends on how the run-in was begun
    double shortage_hours_one_in_ten = 0;  ///< exceeded in one year of ten
    std::size_t worst =
        0;  ///< index of the worst year: most hours short, then not recovering, then lowest SOC
    int worst_number = 0;  ///< its DrawnYear::number
    double worst_shortage_hours = 0;
    /// Of each year that could be run, fewest first; the last `unrecovered` of them do not recover.
    std::vector<double> hours_short;
};
YearsVerdict verdict_of(std::vector<DrawnYear> const& years, scenarios::YearsRequired const& required);

/// Whether the typical year is milder than all of these years: fewer hours short than each of them or, with
/// equal hours, a higher lowest SOC.
bool milder_than_all(Summary const& typical, std::vector<DrawnYear> const& years);

/// A design's verdict: the made years and the recorded years, with the battery as it is now and at the end of
/// its life. The requirement is judged on the made years (on the recorded ones if none are made) with the
/// battery at the end of its life, or as it is now if [required] says so.
struct DesignVerdict {
    struct Years {
        std::string source;  ///< "made", "recorded", or the irradiance model of recorded years
        YearsVerdict verdict;
        std::vector<DrawnYear> years;
    };
    struct Age {
        std::vector<Years> sets;  ///< the judged set first: made years, then each set of recorded years
        [[nodiscard]] Years const& judged() const { return sets.at(0); }
    };
    Age fresh, end_of_life;
    bool judge_new = false;
    [[nodiscard]] Age const& judged() const { return judge_new ? fresh : end_of_life; }
    [[nodiscard]] Age const& not_judged() const { return judge_new ? end_of_life : fresh; }
};

/// The worst year of a verdict hour by hour.
struct WorstYear {
    int number = 0;  ///< number of a made year, or the calendar year in which a recorded one begins
    bool recorded = false;
    RunResult run;
    std::optional<Shortage> longest;  ///< nothing: no shortage
};

/// Verdicts of designs over the same years.
struct DesignVerdicts {
    std::vector<DesignVerdict> designs;
    std::uint64_t seed = 1;
    int start_month = 1;
    bool winters = false;
    std::string weather, drawn;
    std::vector<std::string> notes;
};

/// Runs the years of draw_years with the battery of every design as it is now and at the end of its life.
DesignVerdicts verdicts_over_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);

/// The worst year of design `design`, run again: of the judged years, or of another of its sets.
WorstYear worst_year(std::vector<DrawnDesign> const& designs, DrawOptions const& options,
                     DesignVerdicts const& verdicts, std::size_t design, std::size_t set = 0);

/// The design with its battery at the end of its life: YearsSettings::battery_end_of_life of its capacity.
scenarios::Scenario at_end_of_life(scenarios::Scenario scenario);

/// The design as [required] judges it: with the battery at the end of its life, or as it is now.
scenarios::Scenario as_judged(scenarios::Scenario scenario);

/// The design with its battery at the other of these two ages.
scenarios::Scenario as_not_judged(scenarios::Scenario scenario);

}  // namespace holdwater::sim
