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

/// For each set of recorded years beside the judged years: "Recorded, SUNY light: 2 of 4 winters without a
/// shortage (90 % interval 1 to 4); worst: 31 h short (recorded winter 2001-02)."
std::vector<std::string> recorded_words(sim::DesignVerdict const& verdict, bool winters,
                                        scenarios::YearsRequired const& required);

/// A row of marks, one for each year, by hours short, fewest first: "." none, "o" up to 24 h, "O" up to 100
/// h, "#" more. At most 50 in a line.
std::string dots(sim::YearsVerdict const& verdict);
/// The kinds of marks, in this order, and how many years each counts.
struct DotKind {
    char mark = ' ';
    std::string meaning;
    int years = 0;
};
std::vector<DotKind> dot_kinds(sim::YearsVerdict const& verdict);
/// The meaning of the marks; only of those that occur.
std::string dots_legend(sim::YearsVerdict const& verdict);

/// The verdict at the head of the answer of `simulate`; `typical` is the year of the weather file itself.
std::string verdict_block(sim::DesignVerdict const& verdict, sim::WorstYear const& worst,
                          sim::Summary const& typical, scenarios::Scenario const& scenario, bool winters);

/// The same figures for --json.
nlohmann::ordered_json verdict_json(sim::DesignVerdict const& verdict, int start_month, bool winters);

}  // namespace holdwater::tools
