#include "models/battery/rainflow.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

using namespace holdwater::models;

namespace {

std::map<double, double> by_range(std::vector<CountedRange> const& counted) {
    std::map<double, double> sums;
    for (auto const& c : counted) sums[c.range] += c.count;
    return sums;
}

}  // namespace

TEST_SUITE_BEGIN("models/rainflow");

// ASTM E1049-85, the example of its Figure 6, as reproduced in several public test suites (the standard
// itself was not at hand): ranges and counts are whole numbers and halves, so the comparison is exact.
TEST_CASE("the standard's example, in its order") {
    std::vector<double> const history{-2, 1, -3, 5, -1, 3, -4, 4, -2};
    struct Row {
        double range, count, mean;
    };
    std::vector<Row> const rows{{3, .5, -.5}, {4, .5, -1}, {4, 1, 1}, {8, .5, 1},
                                {9, .5, .5},  {8, .5, 0},  {6, .5, 1}};
    auto const counted = rainflow(history);
    REQUIRE(counted.size() == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CAPTURE(i);
        CHECK(counted[i].range == rows[i].range);
        CHECK(counted[i].count == rows[i].count);
        CHECK(counted[i].mean == rows[i].mean);
    }
    std::map<double, double> const totals{{3, .5}, {4, 1.5}, {6, .5}, {8, 1}, {9, .5}};
    CHECK(by_range(counted) == totals);
}

TEST_CASE("passing and repeated values change nothing") {
    std::vector<double> const history{-2, 1, -3, 5, -1, 3, -4, 4, -2};
    std::vector<double> const padded{-2, -2, 0, 1, 1,  0, -1, -3, 1, 5,  5,
                                     -1, 0,  3, 1, -4, 4, 4,  4,  0, -2, -2};
    CHECK(turning_points(padded) == history);
    CHECK(by_range(rainflow(padded)) == by_range(rainflow(history)));
    // Zeros set at both ends: those at the ends do not turn, so the table of the interior is unchanged.
    std::vector<double> ends = history;
    ends.insert(ends.begin(), 0);
    ends.push_back(0);
    auto const interior = turning_points(ends);
    CHECK(by_range(rainflow(std::span(interior).subspan(1, interior.size() - 2))) ==
          by_range(rainflow(history)));
}

TEST_CASE("nothing moves, nothing counts") {
    CHECK(rainflow(std::vector<double>{}).empty());
    CHECK(rainflow(std::vector<double>{0.5}).empty());
    CHECK(rainflow(std::vector<double>{0.5, 0.5, 0.5}).empty());
    auto const one = rainflow(std::vector<double>{0.2, 0.5, 0.9});
    REQUIRE(one.size() == 1);
    CHECK(one[0].count == 0.5);
}

TEST_CASE("ranges equal but for rounding count as equal") {
    // The last range is one digit short of the one before: with slack it closes a whole cycle, without it is
    // left over.
    std::vector<double> const history{0, 1, 0.4, 1 - 0x1p-53};
    auto const counted = rainflow(history);
    REQUIRE(counted.size() == 2);
    CHECK(counted[0].range == 0.6);
    CHECK(counted[0].count == 1);
    CHECK(rainflow(history, 0).size() == 3);
}

TEST_CASE("laws: counts add up to half the reversals, no range beyond the largest, inner cycles found") {
    std::mt19937_64 engine(3);
    for (int i = 0; i < 200; ++i) {
        std::vector<double> history(2 + engine() % 400);
        for (auto& v : history) v = static_cast<double>(engine() % 1000);
        auto const counted = rainflow(history);
        double total = 0, largest = 0;
        for (auto const& c : counted) {
            total += c.count;
            largest = std::max(largest, c.range);
        }
        CHECK(total == static_cast<double>(turning_points(history).size() - 1) / 2);
        auto const [low, high] = std::minmax_element(history.begin(), history.end());
        CHECK(largest == *high - *low);
    }
    CHECK(by_range(rainflow(std::vector<double>{0, 10, 4, 6, 0})) ==
          std::map<double, double>{{2, 1}, {10, 1}});
}

TEST_SUITE_END();
