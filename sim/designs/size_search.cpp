#include "sim/designs/size_search.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::sim {
namespace {

// Fixed, because the order of the runs must not depend on the machine. Where all are run, the more at once,
// the more of them share what is made of a year.
constexpr std::size_t batch = 4, batch_of_all = 256;

}  // namespace

SizeSearch::SizeSearch(SearchProblem problem) : problem_(std::move(problem)) {
    std::size_t count = 1;
    for (std::size_t const n : problem_.lengths) {
        models::require(n > 0, "values of an axis", 0, "must be at least one");
        models::require(n <= most_combinations / count, "combinations",
                        static_cast<double>(count) * static_cast<double>(n), "must be at most 100000");
        count *= n;
    }
    Combination c(problem_.lengths.size(), 0);
    for (std::size_t i = 0; i < count; ++i) {
        all_.emplace_back(problem_.least_objective(c), c);
        for (std::size_t a = c.size(); a-- > 0;) {
            if (++c[a] < problem_.lengths[a]) break;
            c[a] = 0;
        }
    }
    std::sort(all_.begin(), all_.end());
}

bool SizeSearch::holds(Judged const& judged, std::vector<char> const& required) const {
    if (!judged.possible) return false;
    for (std::size_t r = 0; r < required.size(); ++r)
        if (required[r] && judged.holds[r] != 1) return false;
    return true;
}

bool SizeSearch::no_less(Combination const& more, Combination const& less) const {
    for (std::size_t a = 0; a < more.size(); ++a)
        if (problem_.more_never_hurts[a] ? more[a] < less[a] : more[a] != less[a]) return false;
    return true;
}

void SizeSearch::run(std::vector<Combination> const& combinations) {
    auto const judged = problem_.run(combinations);
    for (std::size_t i = 0; i < combinations.size(); ++i) runs_.emplace(combinations[i], judged[i]);
}

void SizeSearch::compare(Combination const& less, Judged const& low, Combination const& more,
                         Judged const& high) {
    if (contradiction_ || !low.possible || !high.possible) return;
    for (std::size_t r = 0; r < problem_.met_by_more.size(); ++r)
        if (problem_.met_by_more[r] && low.holds[r] == 1 && high.holds[r] == 0)
            contradiction_ = Contradiction{less, more, r};
}

void SizeSearch::look_for_contradiction() {
    for (auto const& [less, low] : runs_) {
        if (contradiction_) return;
        if (problem_.all) {  // if all combinations were run, one step up on one axis is enough
            for (std::size_t a = 0; a < less.size(); ++a) {
                Combination more = less;
                if (!problem_.more_never_hurts[a] || ++more[a] == problem_.lengths[a]) continue;
                compare(less, low, more, runs_.at(more));
            }
            continue;
        }
        for (auto const& [more, high] : runs_)
            if (no_less(more, less)) compare(less, low, more, high);
    }
}

std::optional<Combination> SizeSearch::best_run(std::vector<char> const& required) const {
    std::optional<Combination> best;
    for (auto const& [combination, judged] : runs_)
        if (holds(judged, required) && (!best || judged.objective < runs_.at(*best).objective))
            best = combination;
    return best;
}

void SizeSearch::run_what_can_win(std::vector<char> const& required) {
    std::vector<char> left_out(all_.size(), 0);
    std::vector<Combination> news;
    for (auto const& [combination, judged] : runs_) news.push_back(combination);
    for (;;) {
        // Rule (2), for the runs that have finished since.
        for (Combination const& c : news) {
            Judged const& judged = runs_.at(c);
            bool fails = false;
            for (std::size_t r = 0; r < required.size(); ++r)
                fails = fails ||
                        (required[r] && problem_.met_by_more[r] && judged.possible && judged.holds[r] == 0);
            if (!fails || contradiction_ || problem_.all) continue;
            for (std::size_t i = 0; i < all_.size(); ++i)
                if (!left_out[i] && no_less(c, all_[i].second)) left_out[i] = 1;
        }
        news.clear();
        auto const best = best_run(required);
        std::vector<std::size_t> open;
        for (std::size_t i = 0; i < all_.size(); ++i) {
            // Rule (1).
            if (!problem_.all && best && all_[i].first >= runs_.at(*best).objective) break;
            if (!left_out[i] && !runs_.contains(all_[i].second)) open.push_back(i);
        }
        if (open.empty()) return;
        // Spread over the remaining combinations: a failure rules out combinations below it, a success those
        // above.
        std::size_t const count = std::min(open.size(), problem_.all ? batch_of_all : batch);
        for (std::size_t k = 0; k < count; ++k)
            news.push_back(all_[open[(2 * k + 1) * open.size() / (2 * count)]].second);
        run(news);
    }
}

// One value up or down on any number of axes, if the result could be better than `of`.
bool SizeSearch::run_neighbors(Combination const& of) {
    std::vector<Combination> around;
    for (auto const& [least, c] : all_) {
        if (least >= runs_.at(of).objective) break;
        bool near = !runs_.contains(c);
        for (std::size_t a = 0; a < c.size() && near; ++a) near = c[a] + 1 >= of[a] && c[a] <= of[a] + 1;
        if (near) around.push_back(c);
    }
    if (around.empty()) return false;
    run(around);
    return true;
}

std::optional<Combination> SizeSearch::best(std::vector<char> const& required) {
    for (;;) {
        run_what_can_win(required);
        auto const best = best_run(required);
        if (problem_.all || contradiction_) {
            look_for_contradiction();
            return best;
        }
        bool const ran = best && run_neighbors(*best);
        look_for_contradiction();
        // Search again: without rule (2) if its assumption is broken, with it if a neighbor turned out
        // better.
        if (!contradiction_ && (!ran || best_run(required) == best)) return best;
    }
}

Judged const& SizeSearch::look_at(Combination const& combination) {
    if (!runs_.contains(combination)) run({combination});
    return runs_.at(combination);
}

std::vector<Combination> frontier(std::map<Combination, Judged> const& runs,
                                  std::function<double(Combination const&)> const& gain) {
    std::vector<std::pair<std::vector<double>, Combination>> order;
    for (auto const& [combination, judged] : runs)
        if (judged.possible) order.emplace_back(judged.objective, combination);
    std::sort(order.begin(), order.end());
    std::vector<Combination> out;
    double most = -std::numeric_limits<double>::infinity();
    for (auto const& [objective, combination] : order)
        if (double const g = gain(combination); g > most) {
            most = g;
            out.push_back(combination);
        }
    return out;
}

}  // namespace holdwater::sim
