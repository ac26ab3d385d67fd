#include "sim/sweep/sobol_indices.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>

#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

namespace {

using Function = std::function<double(std::vector<double> const&)>;

// Through the same plan, block and estimation code that the command uses.
sim::SobolAnswer answer_of(std::vector<std::string> const& vary, std::size_t samples, std::uint64_t seed,
                           Function const& f) {
    sim::SweepPlan const plan({sim::SweepMethod::sobol, vary, samples, seed});
    std::vector<double> values;
    sim::run_blocks(
        plan, {0, plan.size()}, 1,
        [&](sim::SweepBlock& block) {
            for (std::size_t i = 0; i < block.size(); ++i) {
                std::vector<double> x;
                for (auto const& text : block.settings[i]) x.push_back(sim::number_in(text));
                block.figures[i] = f(x);
            }
        },
        [&](sim::SweepBlock const& block) {
            values.insert(values.end(), block.figures.begin(), block.figures.end());
        });
    return sim::sobol_indices(values, vary.size(), seed);
}

std::vector<std::string> axes(std::size_t count, std::string const& values) {
    std::vector<std::string> vary;
    for (std::size_t i = 0; i < count; ++i) vary.push_back("x" + std::to_string(i) + "=" + values);
    return vary;
}

bool holds(models::Interval const& i, double value) { return i.low <= value && value <= i.high; }

}  // namespace

TEST_SUITE_BEGIN("sim/sobol_indices");

// Ishigami & Homma, Proc. 1st Int. Symposium on Uncertainty Modeling and Analysis (1990) 398; Saltelli et
// al., Global Sensitivity Analysis: The Primer (2008) (citations from memory), with a = 7, b = 0.1, x from
// -pi to pi:
//   V1 = (1 + b pi^4/5)^2 / 2, V2 = a^2 / 8, V13 = 8 b^2 pi^8 / 225, V = V1 + V2 + V13, all other terms 0.
TEST_CASE("Ishigami's function: the analytic indices lie within the intervals") {
    double const pi = M_PI, a = 7, b = 0.1;
    double const v1 = std::pow(1 + b * std::pow(pi, 4) / 5, 2) / 2, v2 = a * a / 8,
                 v13 = 8 * b * b * std::pow(pi, 8) / 225, v = v1 + v2 + v13;
    CHECK(v == Near{13.844588, 1e-6, 0});  // as usually printed
    double const first[] = {v1 / v, v2 / v, 0}, total[] = {(v1 + v13) / v, v2 / v, v13 / v};
    auto const f = [&](std::vector<double> const& x) {
        return std::sin(x[0]) + a * std::sin(x[1]) * std::sin(x[1]) + b * std::pow(x[2], 4) * std::sin(x[0]);
    };
    for (std::uint64_t const seed : {1U, 2U, 3U, 4U, 5U}) {
        CAPTURE(seed);
        auto const answer = answer_of(axes(3, "-3.141592653589793..3.141592653589793"), 1024, seed, f);
        REQUIRE(answer.axes.size() == 3);
        CHECK(answer.samples == 1024);
        CHECK(answer.left_out == 0);
        CHECK(answer.mean == Near{a / 2, 0.05, 0});
        CHECK(answer.variance == Near{v, 0, 0.02});
        for (std::size_t i = 0; i < 3; ++i) {
            CAPTURE(i);
            CHECK(holds(answer.axes[i].first, first[i]));
            CHECK(holds(answer.axes[i].total, total[i]));
            CHECK(answer.axes[i].first.center == Near{first[i], 0.03, 0});
            CHECK(answer.axes[i].total.center == Near{total[i], 0.03, 0});
        }
    }
    // More samples, narrower intervals and closer answers.
    auto const many = answer_of(axes(3, "-3.141592653589793..3.141592653589793"), 16384, 1, f);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(many.axes[i].first.center == Near{first[i], 0.005, 0});
        CHECK(many.axes[i].total.center == Near{total[i], 0.005, 0});
        CHECK(many.axes[i].total.high - many.axes[i].total.low < 0.05);
        CHECK(holds(many.axes[i].first, first[i]));
        CHECK(holds(many.axes[i].total, total[i]));
    }
}

// Product of (|4 x - 2| + c_i) / (1 + c_i) on the unit cube: V_i = 1 / (3 (1 + c_i)^2), V = prod(1 + V_i) -
// 1, V_Ti = V_i prod over the others (1 + V_j). Saltelli & Sobol', Reliability Engineering and System Safety
// 50 (1995) 225 (citation and formula from memory).
TEST_CASE("the product function with known indices") {
    double const c[] = {0, 1, 4.5, 9};
    auto const f = [&](std::vector<double> const& x) {
        double y = 1;
        for (std::size_t i = 0; i < 4; ++i) y *= (std::abs(4 * x[i] - 2) + c[i]) / (1 + c[i]);
        return y;
    };
    double all = 1;
    for (double const ci : c) all *= 1 + 1 / (3 * (1 + ci) * (1 + ci));
    auto const answer = answer_of(axes(4, "0..1"), 8192, 7, f);
    REQUIRE(answer.axes.size() == 4);
    CHECK(answer.mean == Near{1, 0.01, 0});
    for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        double const vi = 1 / (3 * (1 + c[i]) * (1 + c[i]));
        CHECK(holds(answer.axes[i].first, vi / (all - 1)));
        CHECK(holds(answer.axes[i].total, vi * all / (1 + vi) / (all - 1)));
    }
}

TEST_CASE("sum rules: shares of a sum add to one, and nothing is done together") {
    auto const answer = answer_of(axes(3, "0..1"), 1024, 3, [](std::vector<double> const& x) {
        return 3 * x[0] + 2 * x[1] + x[2] * x[2];
    });
    double first = 0, total = 0;
    for (auto const& s : answer.axes) {
        CHECK(s.total.center == Near{s.first.center, 0.01, 0});
        first += s.first.center;
        total += s.total.center;
    }
    CHECK(first == Near{1, 0.01, 0});
    CHECK(total == Near{1, 0.01, 0});
    // The parts' variances: 9/12, 4/12 and 1/5 - 1/9 = 4/45.
    double const v = 9.0 / 12 + 4.0 / 12 + 4.0 / 45;
    CHECK(answer.axes[0].first.center == Near{9.0 / 12 / v, 0.01, 0});
}

TEST_CASE("sum rules: with things done together shares alone add to less than one, in all to more") {
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        auto const answer = answer_of(axes(3, "-1..1"), 512, seed, [](std::vector<double> const& x) {
            return x[0] + x[0] * x[1] + x[1] * x[2] * 2;
        });
        double first = 0, total = 0;
        for (auto const& s : answer.axes) {
            CHECK(s.total.center > s.first.center - 0.02);
            CHECK(s.total.center >= 0);
            first += s.first.center;
            total += s.total.center;
        }
        CHECK(first < 1);
        CHECK(total > 1);
    }
}

TEST_CASE("a key that does nothing has no share, exactly") {
    auto const answer =
        answer_of(axes(2, "0..1"), 64, 1, [](std::vector<double> const& x) { return std::exp(x[0]); });
    CHECK(answer.axes[1].first.center == 0);
    CHECK(answer.axes[1].total.center == 0);
    CHECK(answer.axes[1].total.high == 0);
}

TEST_CASE("shares do not change with scale and offset of the figure") {
    auto const f = [](std::vector<double> const& x) { return x[0] + x[0] * x[1]; };
    auto const one = answer_of(axes(2, "0..1"), 256, 1, f);
    auto const other =
        answer_of(axes(2, "0..1"), 256, 1, [&](std::vector<double> const& x) { return 1e6 - 50 * f(x); });
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(other.axes[i].first.center == Near{one.axes[i].first.center, 1e-6, 0});
        CHECK(other.axes[i].total.low == Near{one.axes[i].total.low, 1e-6, 0});
    }
}

TEST_CASE("nothing to share, rows that were not run, a last sample that is not whole") {
    std::vector<double> const flat(40, 0.1);
    auto const none = sim::sobol_indices(flat, 2, 1);
    CHECK(none.axes.empty());
    CHECK(none.samples == 10);
    CHECK(sim::sobol_indices({}, 2, 1).axes.empty());

    std::vector<double> values;
    for (int i = 0; i < 41; ++i) values.push_back(std::fmod(i * 0.618, 1.0));
    auto const whole = sim::sobol_indices(values, 2, 1);  // the 41st is left away
    CHECK(whole.samples == 10);
    values[5] = sim::not_run;
    auto const less = sim::sobol_indices(values, 2, 1);
    CHECK(less.samples == 9);
    CHECK(less.left_out == 1);
    for (auto const& s : less.axes) CHECK(std::isfinite(s.total.high));
}

TEST_CASE("the interval goes from the 2.5 to the 97.5 percent of the resamples, and not beyond them") {
    std::vector<double> values;
    for (int i = 0; i < 400; ++i) values.push_back(std::fmod(i * 0.618, 1.0));
    // One resample is its own interval; of two, the interval has the middle 95 % of the way from one to the
    // other.
    auto const one = sim::sobol_indices(values, 2, 1, 1), two = sim::sobol_indices(values, 2, 1, 2);
    for (std::size_t a = 0; a < 2; ++a) {
        CHECK(one.axes[a].total.low == one.axes[a].total.high);
        double const way = (two.axes[a].total.high - two.axes[a].total.low) / 0.95;
        CHECK(way > 0);
        CHECK((one.axes[a].total.low == Near{two.axes[a].total.low - 0.025 * way, 0, 1e-12} ||
               one.axes[a].total.low == Near{two.axes[a].total.high + 0.025 * way, 0, 1e-12}));
    }
}

TEST_CASE("the same seed gives the same intervals, another seed others") {
    auto const f = [](std::vector<double> const& x) { return x[0] + x[0] * x[1]; };
    auto const one = answer_of(axes(2, "0..1"), 64, 1, f), again = answer_of(axes(2, "0..1"), 64, 1, f),
               other = answer_of(axes(2, "0..1"), 64, 2, f);
    CHECK(one.axes[0].first.low == again.axes[0].first.low);
    CHECK(one.axes[0].first.low != other.axes[0].first.low);
}

TEST_SUITE_END();
