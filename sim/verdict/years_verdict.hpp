#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scenarios/settings/years_required.hpp"
#include "sim/verdict/made_years.hpp"
#include "sim/year/shortages.hpp"

namespace holdwater::sim {

/// How many of a set of years hold, and whether that is what is required.
struct YearsVerdict {
    int years = 0;  ///< that could be run
    int held = 0;   ///< recovers, and hours short within hours_short_allowed
    /// 90 % interval of the years held, of so many: the Clopper-Pearson interval of the share times the
    /// years, rounded to whole years.
    int held_low = 0, held_high = 0;
    int needed = 0;          ///< of the years, for the required share: share times years, rounded up
    bool limit_kept = true;  ///< no year has a longer shortage than longest_shortage_limit
    bool met = false;        ///< held >= needed and limit_kept
    bool close = false;      ///< the required share lies within the interval
    /// Where close: years after which the interval no longer holds the required share if the share of years
    /// held stays what it is; 0: more than 100,000.
    int years_to_settle = 0;
    int unrecovered = 0;             ///< years whose stores still depend on how the run-in was begun
    double hours_short_1_in_10 = 0;  ///< exceeded in one year of ten
    std::size_t worst = 0;           ///< place of the worst year: most hours short, then lowest SOC
    double worst_hours_short = 0;
    std::vector<double> hours_short;  ///< of each year that could be run, fewest first
};
YearsVerdict verdict_of(std::vector<DrawnYear> const& years, scenarios::YearsRequired const& required);

/// Whether the typical year is milder than all of these years: fewer hours short than each or, at equal
/// hours, a higher lowest SOC.
bool milder_than_all(Summary const& typical, std::vector<DrawnYear> const& years);

/// A design's verdict: the made years and the recorded ones, the battery as it is now and at the end of its
/// life. What is required is judged on the made years (on the recorded ones where none are made) at the end
/// of the battery's life, or with the battery as it is now where [required] says so.
struct DesignVerdict {
    struct Years {
        std::string source;  ///< "made", "recorded", or the model of the light of recorded years
        YearsVerdict verdict;
        std::vector<DrawnYear> years;
    };
    struct Age {
        std::vector<Years> sets;  ///< the judged one first: made years, then each set of recorded ones
        [[nodiscard]] Years const& judged() const { return sets.at(0); }
    };
    Age fresh, end_of_life;
    bool judge_new = false;
    [[nodiscard]] Age const& judged() const { return judge_new ? fresh : end_of_life; }
};

/// The worst year of a verdict hour by hour.
struct WorstYear {
    int number = 0;  ///< of a made year, or the calendar year in which a recorded one begins
    bool recorded = false;
    RunResult run;
    std::optional<Shortage> longest;  ///< nothing: no shortage
    int lowest_soc_hour = 0;          ///< hour of the year at whose end the battery is lowest
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

/// Runs the years of draw_years with every design's battery as it is now and at the end of its life.
DesignVerdicts verdicts_over_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);

/// The worst year of design `design`, run once more: of the judged years, or of another of its sets.
WorstYear worst_year(std::vector<DrawnDesign> const& designs, DrawOptions const& options,
                     DesignVerdicts const& verdicts, std::size_t design, std::size_t set = 0);

/// The design with its battery at the end of its life: YearsSettings::battery_end_of_life of its capacity.
scenarios::Scenario at_end_of_life(scenarios::Scenario scenario);

/// The design as [required] judges it: at the end of the battery's life, or as it is now.
scenarios::Scenario as_judged(scenarios::Scenario scenario);

}  // namespace holdwater::sim
