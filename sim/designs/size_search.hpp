#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace holdwater::sim {

/// A combination: the number, from 0, of the value taken on each axis.
using Combination = std::vector<std::size_t>;

/// What a run of one combination gave.
struct Judged {
    bool possible = true;           ///< the design can be built and run at all
    std::vector<double> objective;  ///< less is better, the first number first; finite
    /// Each requirement: 1 it holds, 0 it does not, 2 not looked at because two or more others do not hold.
    std::vector<char> holds;
};

/// The best of all combinations that hold all that is required.
struct SearchProblem {
    std::vector<std::size_t> lengths;  ///< values of each axis, each > 0
    /// Axes along which more never hurts, values from least to most: a requirement named in `met_by_more`
    /// that holds at a value holds at every later one, the other axes unchanged. An assumption, checked.
    std::vector<char> more_never_hurts;
    std::vector<char> met_by_more;  ///< by requirement
    /// No run of the combination has an objective below this one.
    std::function<std::vector<double>(Combination const&)> least_objective;
    std::function<std::vector<Judged>(std::vector<Combination> const&)> run;
    bool all = false;  ///< run every combination, leave nothing out
};

/// The search with what it has run so far; asked again with fewer requirements it goes on from there.
///
/// A combination is left out without a run when (1) its least objective is not below the best found: exact;
/// or (2) another one, with no less on the axes along which more never hurts and the same on all others, has
/// been run and fails a requirement kept by more. Rule (2) rests on the assumption, so the answer is checked
/// afterwards: every neighbor of it (one value up or down on any number of axes) that could be better is
/// run, and all runs are compared in pairs. Where the assumption is found broken rule (2) is given up and
/// everything that rule (1) leaves is run: the answer is then the best there is.
/// The order of the runs, and so the result, does not depend on how they are spread over threads.
class SizeSearch {
  public:
    explicit SizeSearch(SearchProblem problem);

    /// The best combination that holds the requirements of the mask; nothing when none does.
    std::optional<Combination> best(std::vector<char> const& required);

    /// Runs one that was not needed so far.
    Judged const& look_at(Combination const& combination);

    std::map<Combination, Judged> const& runs() const { return runs_; }
    std::size_t combinations() const { return all_.size(); }
    /// A pair of runs that contradicts the assumption: the first holds the requirement, the second, with more
    /// of what never hurts, does not.
    struct Contradiction {
        Combination less, more;
        std::size_t requirement = 0;
    };
    std::optional<Contradiction> const& contradiction() const { return contradiction_; }

  private:
    bool holds(Judged const& judged, std::vector<char> const& required) const;
    bool no_less(Combination const& more, Combination const& less) const;
    void run(std::vector<Combination> const& combinations);
    void look_for_contradiction();
    void compare(Combination const& less, Judged const& low, Combination const& more, Judged const& high);
    std::optional<Combination> best_run(std::vector<char> const& required) const;
    void run_what_can_win(std::vector<char> const& required);
    bool run_neighbors(Combination const& of);

    SearchProblem problem_;
    std::vector<std::pair<std::vector<double>, Combination>> all_;  // by least objective
    std::map<Combination, Judged> runs_;
    std::optional<Contradiction> contradiction_;
};

/// Of the runs those that no other run beats in objective and in `gain` (more is better) at once, by
/// objective.
std::vector<Combination> frontier(std::map<Combination, Judged> const& runs,
                                  std::function<double(Combination const&)> const& gain);

}  // namespace holdwater::sim
