#include "sim/sweep/sweep_tally.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

#include "sim/sweep/sweep_plan.hpp"
#include "tests/support/message_of.hpp"

using namespace holdwater;
using sim::SweepBlock, sim::SweepMethod, sim::SweepPlan;

namespace {

// The rows of a plan with these figures, as two blocks; NaN: the row is refused, with its number in the
// message.
sim::SweepTally tally_of(SweepPlan const& plan, std::vector<double> const& figures) {
    auto tally = sim::make_tally(plan, {{"other", "1", ""}, {"hours", "h", "short of water"}}, "hours");
    for (std::size_t const first : {std::size_t{0}, std::size_t{2}}) {
        SweepBlock block;
        block.first = first;
        block.width = 2;
        for (std::size_t i = first; i < (first == 0 ? 2 : plan.size()); ++i) {
            block.settings.push_back(plan.row(i));
            block.figures.insert(block.figures.end(), {-1.0, figures[i]});
            block.problems.push_back(std::isnan(figures[i]) ? "row " + std::to_string(i) + " cannot be" : "");
        }
        tally.take(block);
    }
    return tally;
}

std::string refusal(sim::SweepTally const& tally) {
    return test::message_of<std::invalid_argument>([&] { sim::check_answer(tally); });
}

// Rows: the base design, a=1, a=2, b=x, c=3, c=4.
SweepPlan one_at_a_time() { return SweepPlan({SweepMethod::one_at_a_time, {"a=1,2", "b=x", "c=3,4"}}); }

}  // namespace

TEST_SUITE_BEGIN("sim/sweep_tally");

TEST_CASE("one at a time, the key with the widest swing comes first, from its lowest to its highest row") {
    auto const plan = one_at_a_time();
    // From 10 h: a gives 8 and 11 (3 wide), b 12 (2 wide), c 4 and 9 (6 wide with the base design's 10).
    auto const swings = sim::swings_of(tally_of(plan, {10, 8, 11, 12, 4, 9}));
    REQUIRE(swings.size() == 3);
    CHECK(swings[0].axis == 2);
    CHECK(swings[0].low == 4);
    CHECK(swings[0].high == 0);
    CHECK(swings[1].axis == 0);
    CHECK(swings[1].low == 1);
    CHECK(swings[1].high == 2);
    CHECK(swings[2].axis == 1);
    CHECK(swings[2].low == 0);
    CHECK(swings[2].high == 3);
}

TEST_CASE(
    "a value that is refused is left out of its key's swing; the lowest and highest row are those that ran") {
    auto const plan = one_at_a_time();
    auto const tally = tally_of(plan, {10, sim::not_run, 11, 12, 4, 9});
    CHECK(tally.run() == 5);
    CHECK(refusal(tally) == "was accepted");
    auto const swings = sim::swings_of(tally);
    CHECK(swings[2].axis == 0);  // 10 to 11; b is 2 wide
    CHECK(swings[2].high == 2);
    CHECK(sim::extremes_of(tally) == std::pair<std::size_t, std::size_t>{4, 3});
}

TEST_CASE("a sweep without an answer says which row failed") {
    auto const plan = one_at_a_time();
    auto const no = sim::not_run;
    CHECK(refusal(tally_of(plan, {no, no, no, no, no, no})) == "no row could be run: row 0 cannot be");
    CHECK(refusal(tally_of(plan, {no, 8, 11, 12, 4, 9})) == "no row could be run: row 0 cannot be");
    CHECK(refusal(tally_of(plan, {10, 8, 11, no, 4, 9})) ==
          "no row that varies 'b' could be run: row 3 cannot be");
    // Of other methods the first row is one among many.
    SweepPlan const grid({SweepMethod::grid, {"a=1,2,3"}});
    CHECK(refusal(tally_of(grid, {no, 8, 11})) == "was accepted");
    CHECK(test::message_of<std::invalid_argument>([&] {
              (void)sim::make_tally(grid, {{"hours", "h", ""}}, "days");
          }) == "'days' is not a figure of a run; accepted: hours");
}

TEST_CASE("10, 50 and 90 of 100 rows have a figure up to these") {
    // 1 to 11 in mixed order, and a refused one: numbers 2, 6 and 10 of the eleven.
    SweepPlan const plan({SweepMethod::grid, {"a=1,2,3,4,5,6,7,8,9,10,11,12"}});
    auto const spread = sim::row_spread(tally_of(plan, {4, 9, sim::not_run, 1, 11, 6, 2, 8, 3, 10, 5, 7}));
    CHECK(spread.low == 2);
    CHECK(spread.median == 6);
    CHECK(spread.high == 10);
}

TEST_CASE("rows side by side, and rows that a feature made run alone") {
    SweepBlock block;
    block.width = 1;
    block.settings.resize(4);
    block.problems = {"", "cannot be", "", ""};
    block.alone_for = {"", "", "drive", ""};
    sim::LaneTally tally;
    tally.take(block);
    CHECK(tally.side_by_side == 2);
    CHECK(tally.alone == 1);
    CHECK(tally.rows() == 3);
    CHECK(tally.alone_for.at("drive") == 1);
}

TEST_SUITE_END();
