#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace holdwater::sim {

inline constexpr std::size_t most_combinations = 100000;  ///< that a search accepts

/// A combination: for each axis the number of its value, from 0.
using Combination = std::vector<std::size_t>;

/// The result of running one combination.
struct Judged {
    bool possible = true;           ///< the design can be built and run
    std::vector<double> objective;  ///< less is better; the first number counts most; finite
    /// For each requirement: 1 it holds, 0 it does not, 2 not tried because two or more others do not hold.
    std::vector<char> holds;
};

/// Search for the best of all combinations that meet all requirements.
struct SearchProblem {
    std::vector<std::size_t> lengths;  ///< number of values of each axis, each > 0
    /// Axes whose values go from least to most and for which more never hurts: if a requirement named in
    /// `met_by_more` holds at a value, it also holds at every later value while the other axes stay the same.
    /// This is an assumption, and it is checked.
    std::vector<char> more_never_hurts;
    std::vector<char> met_by_more;  ///< for each requirement
    /// Lower bound of the objective of any run of the combination.
    std::function<std::vector<double>(Combination const&)> least_objective;
    std::function<std::vector<Judged>(std::vector<Combination> const&)> run;
    bool all = false;  ///< run every combination, skip nothing
};

/// The search, with the results so far. Asked again with fewer requirements, it continues from these.
///
/// A combination is skipped if
///   (1) its lower bound is not below the best found so far; this is exact. Or if
///   (2) another combination has been run and fails a requirement of `met_by_more`, although it has no less
///   on the axes for which more never hurts, and the same values on all others.
/// Rule (2) depends on the assumption, so the answer is checked afterward: every neighbor of the answer (one
/// value up or down on any number of axes) that could be better is run, and all runs are compared in pairs.
/// If this shows that the assumption is broken, rule (2) is dropped, and everything that rule (1) does not
/// skip is run; the answer is then the best of all. The order of the runs, and so the result, does not depend
/// on the number of threads.
class SizeSearch {
  public:
    explicit SizeSearch(SearchProblem problem);

    /// The best combination that meets the requirements of the mask; nothing if there is none.
    std::optional<Combination> best(std::vector<char> const& required);

    /// Runs a combination that has not been needed so far.
    Judged const& look_at(Combination const& combination);

    std::map<Combination, Judged> const& runs() const { return runs_; }
    std::size_t combinations() const { return all_.size(); }
    /// A pair of runs that contradicts the assumption: the first meets the requirement, and the second, with
    /// a larger value of something that never hurts, does not.
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
    std::vector<std::pair<std::vector<double>, Combination>> all_;  // in the order of the lower bounds
    std::map<Combination, Judged> runs_;
    std::optional<Contradiction> contradiction_;
};

/// The runs for which no other run is better in both objective and `gain` (more is better), by objective.
std::vector<Combination> frontier(std::map<Combination, Judged> const& runs,
                                  std::function<double(Combination const&)> const& gain);

}  // namespace holdwater::sim
