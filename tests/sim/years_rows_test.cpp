// The made years of a design as rows: the rows say what running the years at once says, and the hash tells
// other inputs apart. The joined answer of shards is in tests/tools/shards_test.cpp.
#include "sim/sweep/years_rows.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <cmath>
#include <functional>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "sim/base/stop.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/verdict/made_weather.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/saltbush.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::message_of, test::saltbush;

namespace {

constexpr int years_made = 4;

DrawOptions four_years() {
    static auto const shelf = std::make_shared<MadeShelf>();
    DrawOptions draw;
    draw.years = years_made;
    draw.seed = 7;
    draw.shelf = shelf;
    return draw;
}

// Rows first .. end - 1 of the plan, in one block.
SweepBlock run_made_rows(YearsRows const& rows, std::size_t first, std::size_t end) {
    SweepBlock out;
    run_blocks(
        SweepPlan(numbered_rows(years_made)), {first, end}, years_figures().size(),
        [&](SweepBlock& block) { rows.run(block); }, [&](SweepBlock const& block) { out = block; });
    REQUIRE(out.size() == end - first);
    return out;
}

// The rows of all years of the livestock demo, run once for all tests.
YearsRows const& of_saltbush() {
    static YearsRows const rows(saltbush().scenario, saltbush().year, four_years());
    return rows;
}
SweepBlock const& all_rows() {
    static auto const block = run_made_rows(of_saltbush(), 0, years_made);
    return block;
}
YearsAnswer const& run_at_once() {
    static auto const years = sourced_years(saltbush().scenario, saltbush().year, four_years());
    return years.at(0).answer;
}

void check_same_year(DrawnYear const& found, DrawnYear const& expected) {
    CAPTURE(expected.number);
    CHECK(found.number == expected.number);
    CHECK(found.problem == expected.problem);
    for (auto const& f : repeatable_fields()) {
        CAPTURE(f.name);
        CHECK(found.summary.*f.value == expected.summary.*f.value);
    }
    CHECK(found.findings.battery_life_y == expected.findings.battery_life_y);
    CHECK(found.start_soc == expected.start_soc);
    CHECK(found.end_soc == expected.end_soc);
    CHECK(found.run_in_days == expected.run_in_days);
    CHECK(found.recovers == expected.recovers);
}

// A block of `rows` rows, row by row each figure 1 larger than the one before it.
SweepBlock counted(std::size_t rows) {
    SweepBlock block;
    block.width = years_figures().size();
    block.settings.resize(rows);
    block.problems.resize(rows);
    for (std::size_t i = 0; i < rows * block.width; ++i)
        block.figures.push_back(static_cast<double>(100 + i));
    return block;
}

std::string hash_of(scenarios::Scenario const& scenario, weather::WeatherYear const& own, DrawOptions draw) {
    return YearsRows(scenario, own, std::move(draw)).inputs_hash();
}

}  // namespace

TEST_SUITE_BEGIN("sim/years_rows");

TEST_CASE("a row of years has the year's number, its summary, and how it began and ended") {
    auto const figures = years_figures();
    // The summary has numbers only; the computing time is in no row.
    REQUIRE(figures.size() == 1 + (sizeof(Summary) / sizeof(double) - 1) + 5);
    std::vector<std::string> names;
    for (auto const& f : figures) names.push_back(f.name);
    CHECK(names.front() == "made_year");
    CHECK(std::vector<std::string>(names.end() - 5, names.end()) ==
          std::vector<std::string>{"battery_life_y", "start_soc", "end_soc", "run_in_days", "recovers"});
    CHECK(std::set<std::string>(names.begin(), names.end()).size() == names.size());
    for (std::size_t i = 0; i < repeatable_fields().size(); ++i) {
        CAPTURE(names[1 + i]);
        CHECK(names[1 + i] == repeatable_fields()[i].name);
        CHECK(figures[1 + i].unit == repeatable_fields()[i].unit);
    }
}

TEST_CASE("every figure of a row of years is read under its name") {
    auto block = counted(2);
    auto const figures = years_figures();
    auto const at = [&](std::string const& name) -> double& {
        for (std::size_t k = 0; k < figures.size(); ++k)
            if (figures[k].name == name) return block.figures_of(1)[k];
        FAIL("no figure " << name);
        return block.figures[0];
    };
    at("made_year") = 17;
    at("shortage_hours") = 1.5;
    at("soc_min") = 0.25;
    at("battery_life_y") = 9.5;
    at("start_soc") = 0.75;
    at("end_soc") = 0.5;
    at("run_in_days") = 45;
    for (bool const recovers : {true, false}) {
        at("recovers") = recovers ? 1 : 0;
        auto const years = years_of(block);
        REQUIRE(years.size() == 2);
        auto const& year = years[1];
        CHECK(year.number == 17);
        CHECK(year.summary.shortage_hours == 1.5);
        CHECK(year.summary.soc_min == 0.25);
        CHECK(year.findings.battery_life_y == 9.5);
        CHECK(year.start_soc == 0.75);
        CHECK(year.end_soc == 0.5);
        CHECK(year.run_in_days == 45);
        CHECK(year.recovers == recovers);
        CHECK(year.problem.empty());
        for (auto const& f : repeatable_fields()) {
            CAPTURE(f.name);
            CHECK(year.summary.*f.value == at(std::string(f.name)));
        }
    }
}

TEST_CASE("a year that could not be run keeps its number and its words, and has no figures") {
    auto block = counted(3);
    block.problems[1] = "the pump does not lift the water to the tank";
    auto const years = years_of(block);
    REQUIRE(years.size() == 3);
    CHECK(years[1].number == static_cast<int>(block.figures_of(1)[0]));
    CHECK(years[1].problem == "the pump does not lift the water to the tank");
    CHECK(years[1].summary.water_demand_m3 == 0);
    CHECK(years[1].run_in_days == 0);
    CHECK(years[0].problem.empty());
    CHECK(years[2].problem.empty());
    CHECK(years[2].summary.water_demand_m3 == block.figures_of(2)[1]);
}

TEST_CASE("rows of years have the figures of the years run at once") {
    auto const years = years_of(all_rows());
    auto const& expected = run_at_once().years;
    REQUIRE(years.size() == years_made);
    REQUIRE(expected.size() == years_made);
    for (std::size_t i = 0; i < years_made; ++i) {
        CHECK(expected[i].number == static_cast<int>(i) + 1);
        check_same_year(years[i], expected[i]);
    }
    // The years differ, so that one in the place of another would be seen.
    CHECK(years[0].summary.pv_available_kwh != years[1].summary.pv_available_kwh);
    CHECK(years[2].summary.pv_available_kwh != years[3].summary.pv_available_kwh);
}

TEST_CASE("a row of years is the same in every block") {
    auto const middle = run_made_rows(of_saltbush(), 1, 3);
    for (std::size_t i = 0; i < 2; ++i)
        for (std::size_t k = 0; k < middle.width; ++k) {
            CAPTURE(years_figures()[k].name);
            CHECK(middle.figures_of(i)[k] == all_rows().figures_of(1 + i)[k]);
        }
    CHECK(middle.figures_of(0)[0] == 2);
}

TEST_CASE("the answer from rows of years is the answer of the years run at once") {
    auto const from_rows = of_saltbush().answer(years_of(all_rows()));
    auto const& answer = from_rows.answer;
    auto const& expected = run_at_once();
    CHECK(from_rows.source == "made");
    CHECK(answer.made);
    CHECK(answer.weather == expected.weather);
    CHECK(answer.weather.starts_with("4 made years"));
    CHECK(answer.drawn == expected.drawn);
    CHECK(answer.notes == expected.notes);
    CHECK(answer.winters == expected.winters);
    CHECK(answer.wet.times == expected.wet.times);
    CHECK(answer.wet.years == expected.wet.years);
    CHECK(answer.nearly_wet.times == expected.nearly_wet.times);
    CHECK(answer.as_written.summary.shortage_hours == expected.as_written.summary.shortage_hours);
    CHECK(answer.as_written.summary.soc_mean == expected.as_written.summary.soc_mean);
    REQUIRE(answer.years.size() == years_made);
    for (std::size_t i = 0; i < years_made; ++i) check_same_year(answer.years[i], expected.years[i]);
}

TEST_CASE("years that could not be run are left out of the answer and told in a note; none is refused") {
    auto years = years_of(all_rows());
    years[1] = {};
    years[1].number = 2;
    years[1].problem = "the well is dry";
    auto const answer = of_saltbush().answer(years).answer;
    CHECK(answer.wet.years == years_made - 1);
    CHECK(std::any_of(answer.notes.begin(), answer.notes.end(), [](std::string const& note) {
        return note.find("1 of the 4") != std::string::npos &&
               note.find("the well is dry") != std::string::npos;
    }));
    for (auto& year : years) year.problem = "the well is dry";
    CHECK(message_of<std::invalid_argument>([&] {
              (void)of_saltbush().answer(years);
          }).find("no year could be run: ") != std::string::npos);
}

TEST_CASE("a design whose own year cannot be run has no rows of years") {
    auto scenario = saltbush().scenario;
    scenario.tank.cut_out_kpa = scenario.tank.cut_in_kpa;
    auto const alone = run_year(scenario, saltbush().year).problem;
    REQUIRE(!alone.empty());
    CHECK(message_of<std::invalid_argument>([&] { YearsRows(scenario, saltbush().year, four_years()); }) ==
          alone);
}

TEST_CASE("rows of years that are asked to stop leave no row half run") {
    std::atomic<bool> stop = false;
    auto draw = four_years();
    draw.stop = &stop;
    YearsRows const rows(saltbush().scenario, saltbush().year, draw);
    stop = true;
    CHECK_THROWS_AS(run_made_rows(rows, 0, 2), StudyStopped);
}

TEST_CASE("the hash of the inputs of years covers the scenario, its weather and a measured water use") {
    auto const& place = saltbush();
    auto const before = of_saltbush().inputs_hash();
    CHECK(before.size() == 16);
    // Number of years and seed are compared by themselves.
    auto draw = four_years();
    draw.years = 2;
    draw.seed = 8;
    CHECK(hash_of(place.scenario, place.year, draw) == before);
    auto scenario = place.scenario;
    scenario.text += "# measured again\n";
    CHECK(hash_of(scenario, place.year, four_years()) != before);
    auto year = place.year;
    year.temperature_c[8759] += 0.01;
    CHECK(hash_of(place.scenario, year, four_years()) != before);
    auto use = std::make_shared<scenarios::DemandSeries>();
    use->hourly_m3.assign(8760, 0.1);
    scenario = place.scenario;
    scenario.demand.series = use;
    auto const with_use = hash_of(scenario, place.year, four_years());
    CHECK(with_use != before);
    auto other_use = std::make_shared<scenarios::DemandSeries>(*use);
    other_use->hourly_m3[0] = 0.2;
    scenario.demand.series = other_use;
    CHECK(hash_of(scenario, place.year, four_years()) != with_use);
}

TEST_CASE("a weather year is told apart by every number that a run takes from it") {
    weather::WeatherYear year;
    year.site = {31, -102, 640, -6};
    for (auto* series : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2, &year.temperature_c, &year.wind_m_s})
        *series = {1, 2};
    year.file_year = {2023, 2023};
    using Year = weather::WeatherYear;
    std::vector<std::function<void(Year&)>> const changes{
        [](Year& y) { y.site.latitude_deg = 32; }, [](Year& y) { y.site.longitude_deg = -103; },
        [](Year& y) { y.site.elevation_m = 641; }, [](Year& y) { y.site.utc_offset_h = -7; },
        [](Year& y) { y.ghi_w_m2[1] = 3; }, [](Year& y) { y.dni_w_m2[1] = 3; },
        [](Year& y) { y.dhi_w_m2[1] = 3; }, [](Year& y) { y.temperature_c[1] = 3; },
        [](Year& y) { y.wind_m_s[1] = 3; },
        [](Year& y) {
            y.albedo = {0.2, 0.2};
        },
        [](Year& y) { y.file_year[1] = 2024; },
        // A difference in the last bit.
        [](Year& y) { y.ghi_w_m2[0] = std::nextafter(1.0, 2.0); },
        // The same numbers in the same order, divided in another way.
        [](Year& y) {
            y.ghi_w_m2 = {1, 2, 1};
            y.dni_w_m2 = {2};
        }};
    std::set<std::string> texts{bytes_of(year)};
    for (auto const& change : changes) {
        auto other = year;
        change(other);
        CHECK(texts.insert(bytes_of(other)).second);
    }
    CHECK(texts.size() == 14);
    // Where the file lies and what it says of itself changes no run.
    auto moved = year;
    moved.path = "elsewhere.csv";
    moved.station = "another name";
    moved.note = "copied";
    CHECK(bytes_of(moved) == bytes_of(year));
}

TEST_CASE("numbers of a hash are not run together") {
    CHECK(numbers_text({1, 23}) != numbers_text({12, 3}));
    CHECK(numbers_text({}).empty());
    CHECK(numbers_text({0.1, -2}) == "0.1 -2 ");
}

TEST_SUITE_END();
