#include "sim/designs/size_search.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "models/numeric/parameter_error.hpp"

using namespace holdwater;
using namespace holdwater::sim;

namespace {

// A problem made from a table of what every combination gives, by its number in counting order.
struct Made {
    std::vector<std::size_t> lengths;
    std::vector<char> more_never_hurts, met_by_more;
    std::vector<Judged> judged;
    std::vector<std::vector<double>> least;
    int runs = 0;

    std::size_t number(Combination const& c) const {
        std::size_t n = 0;
        for (std::size_t a = 0; a < c.size(); ++a) n = n * lengths[a] + c[a];
        return n;
    }
    SearchProblem problem(bool all = false) {
        return {lengths,
                more_never_hurts,
                met_by_more,
                [this](Combination const& c) { return least[number(c)]; },
                [this](std::vector<Combination> const& cs) {
                    std::vector<Judged> out;
                    for (auto const& c : cs) out.push_back(judged[number(c)]), ++runs;
                    return out;
                },
                all};
    }
    // The answer by looking at every combination.
    std::vector<double> best_objective(std::vector<char> const& required) const {
        std::vector<double> best;
        for (auto const& j : judged) {
            bool holds = j.possible;
            for (std::size_t r = 0; r < required.size(); ++r) holds = holds && (!required[r] || j.holds[r]);
            if (holds && (best.empty() || j.objective < best)) best = j.objective;
        }
        return best;
    }
};

Combination combination_of(std::size_t n, std::vector<std::size_t> const& lengths) {
    Combination c(lengths.size());
    for (std::size_t a = lengths.size(); a-- > 0; n /= lengths[a]) c[a] = n % lengths[a];
    return c;
}

// Requirement 0 is a weighted sum above a level, on two axes for which more never hurts; requirement 1 is
// arbitrary and is not in met_by_more. `honest`: the assumption holds.
Made random_problem(std::mt19937_64& random, bool honest) {
    auto const draw = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
    };
    Made m;
    m.lengths = {2 + random() % 8, 2 + random() % 8, 1 + random() % 3};
    m.more_never_hurts = {1, 1, 0};
    m.met_by_more = {1, 0};
    double const a = draw(0, 2), b = draw(0, 2), level = draw(0, 20), dear = draw(0.1, 3);
    std::size_t const count = m.lengths[0] * m.lengths[1] * m.lengths[2];
    for (std::size_t n = 0; n < count; ++n) {
        auto const c = combination_of(n, m.lengths);
        double const x = static_cast<double>(c[0]), y = static_cast<double>(c[1]),
                     z = static_cast<double>(c[2]);
        bool const swerves = !honest && random() % 10 == 0;
        Judged j;
        j.possible = random() % 20 != 0;
        double const fixed = x + dear * y + 0.3 * z, running = draw(0, 3) / (1 + x);
        j.objective = {fixed + running, static_cast<double>(n)};
        j.holds = {static_cast<char>((a * x + b * y + z >= level) != swerves),
                   static_cast<char>(random() % 4 != 0)};
        m.judged.push_back(j);
        m.least.push_back({fixed});
    }
    return m;
}

}  // namespace

TEST_SUITE_BEGIN("sim/size_search");

TEST_CASE("where more never hurts, the pruned search finds what looking at every combination finds") {
    std::mt19937_64 random(5);
    int runs = 0, combinations = 0;
    for (int i = 0; i < 400; ++i) {
        CAPTURE(i);
        auto m = random_problem(random, true);
        SizeSearch search(m.problem());
        for (std::vector<char> const& required :
             {std::vector<char>{1, 1}, std::vector<char>{1, 0}, std::vector<char>{0, 1}}) {
            auto const wanted = m.best_objective(required);
            auto const found = search.best(required);
            REQUIRE(found.has_value() == !wanted.empty());
            if (found) CHECK(search.runs().at(*found).objective == wanted);
        }
        CHECK(!search.contradiction());
        CHECK(static_cast<std::size_t>(m.runs) == search.runs().size());
        runs += m.runs;
        combinations += static_cast<int>(search.combinations());
    }
    CHECK(runs < combinations);
}

TEST_CASE("a broken assumption that is noticed costs runs, not the answer") {
    std::mt19937_64 random(6);
    int noticed = 0;
    for (int i = 0; i < 400; ++i) {
        CAPTURE(i);
        auto m = random_problem(random, false);
        SizeSearch search(m.problem());
        auto const found = search.best({1, 0});
        if (!search.contradiction()) continue;
        ++noticed;
        auto const wanted = m.best_objective({1, 0});
        REQUIRE(found.has_value() == !wanted.empty());
        if (found) CHECK(search.runs().at(*found).objective == wanted);
        auto const& c = *search.contradiction();
        CHECK(m.judged[m.number(c.less)].holds[c.requirement]);
        CHECK(!m.judged[m.number(c.more)].holds[c.requirement]);
        CHECK(c.more[2] == c.less[2]);
    }
    CHECK(noticed > 100);
}

// So an assumption that does not hold right beside the answer is noticed.
TEST_CASE("every combination one step from the answer that could cost less has been run") {
    std::mt19937_64 random(8);
    int neighbors = 0;
    for (int i = 0; i < 200; ++i) {
        CAPTURE(i);
        auto m = random_problem(random, true);
        SizeSearch search(m.problem());
        auto const found = search.best({1, 0});
        if (!found) continue;
        auto const objective = search.runs().at(*found).objective;
        for (std::size_t n = 0; n < m.judged.size(); ++n) {
            auto const c = combination_of(n, m.lengths);
            bool near = m.least[n] < objective;
            for (std::size_t a = 0; a < c.size(); ++a)
                near = near && c[a] + 1 >= (*found)[a] && c[a] <= (*found)[a] + 1;
            if (!near) continue;
            ++neighbors;
            CHECK(search.runs().contains(c));
        }
    }
    CHECK(neighbors > 500);
}

// A large grid: 40 x 40 with a straight boundary and an objective that only rises. Bisection on one axis for
// every value of the other would take 40 x 6 runs.
TEST_CASE("a large grid needs few runs") {
    Made m;
    m.lengths = {40, 40};
    m.more_never_hurts = {1, 1};
    m.met_by_more = {1};
    for (std::size_t n = 0; n < 1600; ++n) {
        double const x = static_cast<double>(n / 40), y = static_cast<double>(n % 40);
        m.judged.push_back({true, {3 * x + 2 * y, x}, {static_cast<char>(x + 2 * y >= 61)}});
        m.least.push_back({3 * x + 2 * y, x});
    }
    SizeSearch search(m.problem());
    auto const found = search.best({1});
    REQUIRE(found);
    CHECK(search.runs().at(*found).objective == m.best_objective({1}));
    CHECK(m.runs < 160);
}

TEST_CASE("every combination is run when all are asked for") {
    std::mt19937_64 random(7);
    auto m = random_problem(random, false);
    SizeSearch search(m.problem(true));
    (void)search.best({1, 1});
    CHECK(search.runs().size() == m.judged.size());
    CHECK(search.contradiction());
}

// By hand: (1, 0.5), (2, 0.4), (2, 0.9), (3, 0.9), (4, 1).
TEST_CASE("the frontier keeps what nothing beats in both") {
    std::map<Combination, Judged> runs;
    std::vector<double> const cost{1, 2, 2.5, 3, 4, 0}, kept{0.5, 0.4, 0.9, 0.9, 1, 1};
    for (std::size_t i = 0; i < cost.size(); ++i) runs[{i}] = {i != 5, {cost[i]}, {}};
    auto const out = frontier(runs, [&](Combination const& c) { return kept[c[0]]; });
    CHECK(out == std::vector<Combination>{{0}, {2}, {4}});
}

TEST_CASE("too many combinations are refused") {
    Made m;
    m.lengths = {1000, 1000};
    CHECK_THROWS_AS(SizeSearch(m.problem()), models::ParameterError);
}

TEST_SUITE_END();
