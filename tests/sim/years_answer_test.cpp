#include "sim/verdict/years_answer.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "tests/support/saltbush.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near, test::saltbush;

namespace {

// The typical year three times over as recorded years: years 2001 and 2002 are run.
std::vector<SourcedYears> made_and_recorded(int made) {
    auto const& [scenario, year] = saltbush();
    DrawOptions draw;
    draw.years = made;
    RecordedChain chain(3, year);
    for (std::size_t i = 0; i < chain.size(); ++i)
        chain[i].file_year.assign(8760, 2001 + static_cast<int>(i));
    draw.recorded = {{"SUNY", {chain}, {"a note"}}};
    return sourced_years(scenario, year, draw);
}

std::vector<double> const& numbers(Table const& table, std::string const& name) {
    auto const at = std::find_if(table.columns.begin(), table.columns.end(),
                                 [&](auto const& c) { return c.name == name; });
    REQUIRE(at != table.columns.end());
    return std::get<std::vector<double>>(at->values);
}

}  // namespace

TEST_SUITE_BEGIN("sim/years_answer");

TEST_CASE("made years and recorded years are answers of their own, with one table") {
    auto const answers = made_and_recorded(12);
    REQUIRE(answers.size() == 2);
    CHECK(answers[0].source == "made");
    CHECK(answers[0].answer.made);
    CHECK(answers[0].answer.years.size() == 12);
    CHECK(answers[1].source == "SUNY");
    CHECK(!answers[1].answer.made);
    CHECK(!answers[1].answer.own_is_recorded);
    CHECK(answers[1].year_numbers == std::vector<int>{2001, 2002});
    auto const& notes = answers[1].answer.notes;
    CHECK(std::find(notes.begin(), notes.end(), "a note") != notes.end());

    auto const table = table_of_years(answers);
    std::vector<double> of_made(12);
    std::iota(of_made.begin(), of_made.end(), 1.0);
    auto year = numbers(table, "year");
    REQUIRE(year.size() == 14);
    CHECK(std::vector(year.begin(), year.begin() + 12) == of_made);
    CHECK(year[12] == 2001);
    CHECK(year[13] == 2002);
    auto const& calendar = numbers(table, "calendar_year");
    CHECK(std::isnan(calendar[0]));
    CHECK(calendar[13] == 2002);
    auto const& hours = numbers(table, "shortage_hours");
    for (std::size_t i = 0; i < 12; ++i) CHECK(hours[i] == answers[0].answer.years[i].summary.shortage_hours);
    CHECK(hours[13] == answers[1].answer.years[1].summary.shortage_hours);
    CHECK(std::get<std::vector<std::string>>(table.columns[table.columns.size() - 2].values)[12] == "SUNY");
    // Computing time and balance errors are no figures of a year; made years alone have no source.
    for (auto const& c : table.columns) {
        CHECK(c.name != "wall_time_s");
        CHECK(c.name.find("residual") == std::string::npos);
    }
    auto const alone = table_of_years({answers[0]});
    CHECK(alone.columns.size() + 2 == table.columns.size());
    CHECK(alone.columns.back().name == "problem");
}

TEST_CASE("without made years the recorded ones are the answer") {
    auto const answers = made_and_recorded(0);
    REQUIRE(answers.size() == 1);
    CHECK(answers[0].answer.own_is_recorded);
    CHECK(table_of_years(answers).columns.back().name == "calendar_year");
}

// Shares and spreads against the years themselves; the bad end of a figure is the low one where more is
// better.
TEST_CASE("shares and spreads are those of the years, the bad end where less is worse") {
    auto const answers = made_and_recorded(20);
    auto const& a = answers[0].answer;
    int dry_free = 0, nearly = 0;
    double sum = 0, most = 0, least_soc = 1;
    for (auto const& y : a.years) {
        dry_free += y.summary.shortage_hours <= 0 && y.recovers ? 1 : 0;
        nearly += y.summary.demand_met_fraction >= 0.999 ? 1 : 0;
        sum += y.summary.shortage_hours;
        most = std::max(most, y.summary.shortage_hours);
        least_soc = std::min(least_soc, y.summary.soc_mean);
    }
    CHECK(a.wet.times == dry_free);
    CHECK(a.nearly_wet.times == nearly);
    CHECK(a.wet.years == 20);
    for (auto const& spread : figure_spreads(a)) {
        if (spread.name == "shortage_hours") {
            CHECK(spread.spread.mean == Near{sum / 20, 1e-9, 0});
            CHECK(spread.spread.worst == most);
            CHECK(spread.spread.bad >= spread.spread.median);
            CHECK(spread.as_written == a.as_written.summary.shortage_hours);
        }
        if (spread.name == "soc_mean") {
            CHECK(spread.spread.worst == least_soc);
            CHECK(spread.spread.bad <= spread.spread.median);
        }
    }
}

TEST_CASE("a design whose own year cannot be run has no answer") {
    auto [scenario, year] = saltbush();
    scenario.well.static_level_m.fill(2000);  // more than the pump lifts
    DrawOptions draw;
    draw.years = 1;
    CHECK_THROWS_AS((void)sourced_years(scenario, year, draw), std::invalid_argument);
}

TEST_SUITE_END();
