#include "sim/verdict/years_verdict.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "models/numeric/statistics.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

// Fifty years, the last ones short of water for these hours.
std::vector<DrawnYear> fifty(std::vector<double> const& hours_short) {
    std::vector<DrawnYear> years(50);
    for (std::size_t i = 0; i < years.size(); ++i) years[i].number = static_cast<int>(i) + 1;
    for (std::size_t i = 0; i < hours_short.size(); ++i) {
        auto& summary = years[years.size() - 1 - i].summary;
        summary.shortage_hours = summary.longest_shortage_h = hours_short[i];
    }
    return years;
}

}  // namespace

TEST_SUITE_BEGIN("sim/years_verdict");

// By hand: 46 of 50 is below 48 = 0.95 x 50 rounded up. Clopper-Pearson at 90 %: 0.8262 to 0.9722, times 50:
// 41.3 to 48.6 (calculated separately, from sums of the binomial distribution). 0.95 is inside: close. Sorted
// hours: 46 zeros, 3, 9, 10, 31; the quantile 0.9 is at position 44.1 of 0 .. 49: 0 h.
TEST_CASE("years held, their interval, and what is required") {
    auto const v = verdict_of(fifty({31, 9, 3, 10}), {});
    CHECK(v.years == 50);
    CHECK(v.held == 46);
    CHECK(v.held_low == 41);
    CHECK(v.held_high == 49);
    CHECK(v.needed == 48);
    CHECK(!v.met);
    CHECK(v.close);
    CHECK(v.worst == 49);
    CHECK(v.worst_shortage_hours == 31);
    CHECK(v.shortage_hours_one_in_ten == 0);
    CHECK(std::is_sorted(v.hours_short.begin(), v.hours_short.end()));
    // With this many years at 92 %, 95 % is outside; with one step of 5 % fewer years it is not.
    auto const outside = [](int n) {
        return models::clopper_pearson_interval(static_cast<int>(std::lround(0.92 * n)), n).high < 0.95;
    };
    REQUIRE(v.years_to_settle > 50);
    CHECK(outside(v.years_to_settle));
    CHECK(!outside(v.years_to_settle * 9 / 10));

    scenarios::YearsRequired lenient;
    lenient.hours_short_allowed = 10;
    CHECK(verdict_of(fifty({31, 9, 3, 10}), lenient).held == 49);
    CHECK(verdict_of(fifty({31, 9, 3, 10}), lenient).met);
    lenient.longest_shortage_limit_h = 24;
    auto const limited = verdict_of(fifty({31, 9, 3, 10}), lenient);
    CHECK(!limited.limit_met);
    CHECK(!limited.met);
    CHECK(!limited.close);
    scenarios::YearsRequired half;
    half.years_without_shortage = 0.5;
    CHECK(verdict_of(fifty({31, 9, 3, 10}), half).met);
    CHECK(!verdict_of(fifty({31, 9, 3, 10}), half).close);
}

TEST_CASE("a year that does not recover is not held; a year that could not be run is not counted") {
    auto years = fifty({5});
    years[3].recovers = false;
    years[7].problem = "could not be run";
    auto const v = verdict_of(years, {});
    CHECK(v.years == 49);
    CHECK(v.held == 47);
    CHECK(v.hours_short.size() == 49);
    CHECK(v.hours_short[47] == 5);
    CHECK(v.hours_short[48] == 0);  // the one that does not recover comes last
    CHECK(v.unrecovered == 1);
    CHECK(v.worst == 49);   // 5 h short; the year that does not recover has none
    CHECK(v.needed == 47);  // 46.55
    CHECK(verdict_of({}, {}).years == 0);
}

TEST_CASE("milder than all years: fewer hours short, or as many and a higher lowest SOC") {
    auto years = fifty({});
    for (auto& year : years) year.summary.soc_min = 0.4;
    Summary typical;
    typical.soc_min = 0.41;
    CHECK(milder_than_all(typical, years));
    typical.soc_min = 0.4;
    CHECK(!milder_than_all(typical, years));
    years[0].summary.shortage_hours = 1;
    for (std::size_t i = 1; i < years.size(); ++i) years[i].summary.soc_min = 0.3;
    CHECK(milder_than_all(typical, years));
}

// The verdict of one design is that of its years run separately; at the end of its life the battery has 80 %
// of its capacity, and no more years hold.
TEST_CASE("verdicts over years: new and at the end of the battery's life") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    DrawOptions options;
    options.years = 6;
    std::vector<DrawnDesign> const designs{{scenario, &year}};
    auto const all = verdicts_over_years(designs, options);
    auto const& verdict = all.designs.at(0);
    CHECK(!verdict.judge_new);
    auto old = scenario;
    old.battery.capacity_kwh *= 0.8;
    auto const apart = draw_years({{old, &year}}, options);
    for (std::size_t i = 0; i < 6; ++i) {
        CAPTURE(i);
        CHECK(verdict.end_of_life.judged().years[i].summary.shortage_hours ==
              apart.years[0][i].summary.shortage_hours);
        CHECK(verdict.end_of_life.judged().years[i].summary.shortage_hours >=
              verdict.fresh.judged().years[i].summary.shortage_hours);
    }
    auto const worst = worst_year(designs, options, all, 0);
    CHECK(worst.run.summary.shortage_hours == verdict.judged().judged().verdict.worst_shortage_hours);
    REQUIRE(worst.longest);
    CHECK(worst.longest->hours == worst.run.summary.longest_shortage_h);
    // The lowest SOC is reached in its hour, and not before.
    auto const& run = worst.run;
    auto const lowest = static_cast<std::size_t>(run.lowest_soc_hour - run.clock.first_hour);
    REQUIRE(lowest < run.hours.size());
    for (auto const& hour : run.hours) CHECK(hour.battery_soc >= run.summary.soc_min - 1e-9);
    for (std::size_t i = 0; i < lowest; ++i) CHECK(run.hours[i].battery_soc > run.summary.soc_min);
}

TEST_SUITE_END();
