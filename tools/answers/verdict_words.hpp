#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/verdict/years_verdict.hpp"
#include "tools/show/screen.hpp"

namespace holdwater::tools {

/// "winter" or "year", with an s unless there is exactly one.
std::string winters_or_years(bool winters, int count);

/// "46 of 50 winters without a shortage (90 % interval 41 to 49)".
std::string held_words(sim::YearsVerdict const& verdict, bool winters,
                       scenarios::YearsRequired const& required);

/// "1 in 10: 9 h short; worst: 31 h (made winter 23, 4 to 6 Jan, the battery was empty)".
std::string worst_words(sim::YearsVerdict const& verdict, sim::WorstYear const& worst, bool winters);

/// "48 of 50 winters", and the longest shortage allowed if there is a limit.
std::string required_words(scenarios::YearsRequired const& required, sim::YearsVerdict const& verdict,
                           bool winters);

/// When a year holds, for the label of a count: "without a shortage", or "at most 24 h short".
std::string held_label(scenarios::YearsRequired const& required);

/// "Battery as it is now: 48 of 50 winters ...": the battery that [required] does not judge.
std::string other_age_words(sim::YearsVerdict const& other, bool winters,
                            scenarios::YearsRequired const& required);

/// "battery at the end of its life (80 % of its capacity)", or "battery as it is now".
std::string judged_battery_words(scenarios::YearsSettings const& years);

/// Whether the required share lies within the interval, and how many years would settle it; "" if it does
/// not.
std::string close_words(sim::YearsVerdict const& verdict, bool winters);

/// Which years a verdict is about.
struct VerdictYears {
    bool winters = false, recorded = false;
    int start_month = 1;
};
/// The verdict in three lines or more, beginning with YES or NO after the question: years held, what is
/// required, a bad year and the worst one, and further_lines.
std::string verdict_lines(sim::YearsVerdict const& verdict, scenarios::YearsSettings const& years,
                          VerdictYears const& of);
/// A line where the verdict is close, and one where the design does not recover.
std::string further_lines(sim::YearsVerdict const& verdict, bool winters);

/// For each set of recorded years beside the judged years: "Recorded, SUNY light: 2 of 4 winters without a
/// shortage (90 % interval 1 to 4); worst: 31 h short (recorded winter 2001-02)."
std::vector<std::string> recorded_words(sim::DesignVerdicts const& all, std::size_t design,
                                        scenarios::YearsRequired const& required);

/// Which years were run and what differs between them, then the notes on them.
std::string years_run_lines(std::string const& weather, std::string const& drawn,
                            std::vector<std::string> const& notes);

/// "made winter 23", "recorded winter 2001-02".
std::string year_name(sim::WorstYear const& worst, bool winters);

/// A row of marks, one for each year, by hours short, fewest first: "." none, "o" up to 24 h, "O" up to 100
/// h, "#" more, "x" the design does not recover. At most 50 in a line.
std::string dots(sim::YearsVerdict const& verdict);
/// The kinds of marks, in this order, and how many years each counts.
struct DotKind {
    char mark = ' ';
    std::string meaning;
    int years = 0;
};
std::vector<DotKind> dot_kinds(sim::YearsVerdict const& verdict);
/// The meaning of the marks; only of those that occur in one of these.
std::string dots_legend(std::vector<sim::YearsVerdict> const& verdicts);

/// The verdict at the head of the answer of `simulate`, of the first design; `typical` is the year of the
/// weather file itself.
std::string verdict_block(sim::DesignVerdicts const& all, sim::WorstYear const& worst,
                          sim::Summary const& typical, scenarios::Scenario const& scenario);

/// The same figures for --json. Without `worst` and `typical` what is said of them is left out.
nlohmann::ordered_json verdict_json(sim::DesignVerdicts const& all, std::size_t design,
                                    sim::WorstYear const* worst = nullptr,
                                    sim::Summary const* typical = nullptr);
/// The figures of one set of years.
nlohmann::ordered_json years_verdict_json(sim::YearsVerdict const& verdict);

}  // namespace holdwater::tools
