#include "sim/verdict/made_years.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <utility>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "tests/support/saltbush.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near, test::saltbush;

namespace {

bool same(DrawnYear const& a, DrawnYear const& b) {
    for (auto const& f : summary_fields())
        if (a.summary.*f.value != b.summary.*f.value) return false;
    return a.problem == b.problem;
}

DrawOptions draws_of(int years, std::uint64_t seed = 1, int threads = 0) {
    DrawOptions o;
    o.years = years;
    o.seed = seed;
    o.threads = threads;
    return o;
}

RecordedSet set_of(RecordedChain chain) { return {"recorded", {std::move(chain)}, {}}; }

}  // namespace

TEST_SUITE_BEGIN("sim/made_years");

TEST_CASE("what a shelf keeps changes no figure, whatever was run with it before") {
    auto const& [scenario, year] = saltbush();
    auto const shelf = std::make_shared<MadeShelf>();
    auto const check = [&](scenarios::Scenario const& s, weather::WeatherYear const& own,
                           DrawOptions options) {
        auto const alone = draw_years({{s, &own}}, options);
        auto a = run_drawn_year({s, &own}, options, alone.start_month, alone.years[0].back(), {});
        options.shelf = shelf;
        auto const with = draw_years({{s, &own}}, options);
        auto const b = run_drawn_year({s, &own}, options, with.start_month, with.years[0].back(), {});
        REQUIRE(with.years[0].size() == alone.years[0].size());
        for (std::size_t i = 0; i < alone.years[0].size(); ++i)
            CHECK(same(with.years[0][i], alone.years[0][i]));
        a.summary.wall_time_s = b.summary.wall_time_s;
        for (auto const& f : summary_fields()) CHECK(a.summary.*f.value == b.summary.*f.value);
    };
    check(scenario, year, draws_of(3));
    check(scenario, year, draws_of(3, 2));
    auto bigger = scenario;
    bigger.battery.capacity_kwh *= 1.25;
    bigger.array.dc_loss_fraction += 0.05;
    check(bigger, year, draws_of(5));
    auto weather = year;
    check(scenario, weather, draws_of(3));
    for (double& t : weather.temperature_c) t += 6;  // other weather in the same place
    check(scenario, weather, draws_of(3));
    check(scenario, year, draws_of(70));  // more than it keeps
    check(scenario, year, draws_of(3));
}

TEST_CASE("a shelf fits a maker once for each weather and seed, and makes a year once") {
    auto const& [scenario, year] = saltbush();
    MadeShelf shelf;
    auto const maker = shelf.maker(year, draws_of(3));
    auto const copy = year;
    CHECK(shelf.maker(copy, draws_of(9)) == maker);
    CHECK(shelf.maker(year, draws_of(3, 2)) != maker);
    auto warm = year;
    warm.temperature_c[0] += 1;
    CHECK(shelf.maker(warm, draws_of(3)) != maker);
    auto const years = shelf.years(maker, 1, 3, 4344);
    CHECK(shelf.years(maker, 2, 2, 4344) == std::vector{years[1], years[2]});
    CHECK(shelf.years(maker, 1, 1, 0)[0] != years[0]);
    CHECK(years[2]->ghi_w_m2 == maker->year(3, 4344).ghi_w_m2);
    (void)shelf.years(maker, 4, 2, 4344);
    CHECK(shelf.years(maker, 1, 3, 4344) == years);
}

// One year and as many as it may keep are one too many.
TEST_CASE("a shelf keeps no more years than it may") {
    auto const& [scenario, year] = saltbush();
    MadeShelf shelf;
    auto const maker = shelf.maker(year, draws_of(3));
    std::weak_ptr<weather::WeatherYear const> const first = shelf.years(maker, 1, 1, 0)[0];
    CHECK(!first.expired());
    (void)shelf.years(maker, 2, MadeShelf::most_years, 0);
    CHECK(first.expired());
}

TEST_CASE("a year depends on seed and number alone") {
    auto const& [scenario, year] = saltbush();
    auto const few = draw_years({{scenario, &year}}, draws_of(3, 1, 1)).years[0];
    auto const many = draw_years({{scenario, &year}}, draws_of(6, 1, 2)).years[0];
    auto const other = draw_years({{scenario, &year}}, draws_of(3, 2)).years[0];
    for (std::size_t i = 0; i < 3; ++i) {
        CAPTURE(i);
        CHECK(same(few[i], many[i]));
        CHECK(!same(few[i], other[i]));
    }
    CHECK(!same(few[0], few[1]));
}

TEST_CASE("every design gets the same years") {
    auto const& [scenario, year] = saltbush();
    auto bigger = scenario;
    bigger.battery.capacity_kwh *= 2;
    auto const draws = draw_years({{scenario, &year}, {bigger, &year}, {scenario, &year}}, draws_of(4));
    for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        CHECK(same(draws.years[0][i], draws.years[2][i]));
        CHECK(draws.years[0][i].summary.pv_available_kwh == draws.years[1][i].summary.pv_available_kwh);
        CHECK(draws.years[1][i].summary.shortage_hours <= draws.years[0][i].summary.shortage_hours);
    }
    CHECK(draws.drawn == "weather");
}

TEST_CASE("one demand without uses varies from day to day too, and that is said") {
    auto [scenario, year] = saltbush();
    models::WaterUse use;
    use.daily_m3 = scenario.demand.daily_m3;
    use.tap_flow_m3_s = scenario.demand.tap_flow_m3_s;
    use.day_variation = 0.3;
    scenario.demand.varying = use;
    CHECK(draw_years({{scenario, &year}}, draws_of(1)).drawn == "weather, demand from day to day");
}

// N recorded years in a row give N - 1 verdict years. From the first of June: June to December of the one,
// January to May of the next; a battery full and empty 30 days before agree where the sun fills it.
TEST_CASE("recorded years: verdict years from two calendar years each, after a run-in") {
    auto const& [scenario, year] = saltbush();
    auto dim = year;
    for (auto* series : {&dim.ghi_w_m2, &dim.dni_w_m2, &dim.dhi_w_m2})
        for (double& v : *series) v *= 0.9;
    auto bright = year, middle = dim;
    bright.file_year.assign(hours_per_year, 2031);
    middle.file_year.assign(hours_per_year, 2032);
    auto options = draws_of(0);
    options.recorded = {set_of({bright, middle, bright})};
    auto const draws = draw_years({{scenario, &year}}, options);
    CHECK(draws.years[0].empty());
    auto const& years = draws.recorded[0].years[0];
    REQUIRE(years.size() == 2);
    CHECK(years[0].number == 2031);
    CHECK(years[1].number == 2032);
    CHECK(draws.weather.empty());
    CHECK(draws.recorded[0].weather == "2 recorded years");
    int const start = weather::month_start_hour[draws.start_month - 1];
    for (std::size_t i = 0; i < 2; ++i) {
        CAPTURE(i);
        CHECK(years[i].run_in_days >= 30);
        auto joined = i == 0 ? bright : middle;
        auto const& before = i == 0 ? middle : bright;
        for (auto series : {&weather::WeatherYear::ghi_w_m2, &weather::WeatherYear::dni_w_m2,
                            &weather::WeatherYear::dhi_w_m2, &weather::WeatherYear::temperature_c})
            std::copy((before.*series).begin(), (before.*series).begin() + start, (joined.*series).begin());
        auto const alone = simulate(with_levels(make_system(scenario), {years[i].start_soc, 0, 0}),
                                    make_inputs(scenario, joined), Clock{start, hours_per_year, 3600});
        CHECK(years[i].summary.shortage_hours == alone.summary.shortage_hours);
        CHECK(years[i].summary.pv_used_kwh == Near{alone.summary.pv_used_kwh, 0, 1e-9});
        auto const again = run_drawn_year({scenario, &year}, options, draws.start_month, years[i], 0).summary;
        CHECK(again.shortage_hours == alone.summary.shortage_hours);
        CHECK(again.soc_min == alone.summary.soc_min);
    }
    options.recorded = {set_of({bright})};
    CHECK_THROWS_AS(draw_years({{scenario, &year}}, options), models::ParameterError);
}

// A year of a verdict that begins in January is a calendar year; the first calendar year is its run-in.
TEST_CASE("recorded years that begin in January: the first calendar year is the run-in of the second") {
    auto const& [scenario, year] = saltbush();
    auto first = year, second = year;
    first.file_year.assign(hours_per_year, 2031);
    second.file_year.assign(hours_per_year, 2032);
    for (auto* series : {&first.ghi_w_m2, &first.dni_w_m2, &first.dhi_w_m2})
        for (double& v : *series) v *= 0.3;
    auto options = draws_of(0);
    options.start_month = 1;
    options.recorded = {set_of({first, second})};
    auto const draws = draw_years({{scenario, &year}}, options);
    auto const& years = draws.recorded[0].years[0];
    REQUIRE(years.size() == 1);
    CHECK(years[0].number == 2032);
    CHECK(years[0].start_soc < 0.99);  // after the dark year before it
    auto const again = run_drawn_year({scenario, &year}, options, 1, years[0], 0).summary;
    CHECK(again.pv_available_kwh == Near{years[0].summary.pv_available_kwh, 0, 1e-12});
    CHECK(again.shortage_hours == years[0].summary.shortage_hours);
}

TEST_CASE("a first recorded year whose record begins too late is left out, with the reason") {
    auto const& [scenario, year] = saltbush();
    auto dark = year;
    for (auto* series : {&dark.ghi_w_m2, &dark.dni_w_m2, &dark.dhi_w_m2})
        for (double& v : *series) v *= 0.2;
    auto options = draws_of(0);
    options.start_month = 2;  // 31 days before it
    options.recorded = {set_of({dark, dark, dark})};
    auto big = scenario;
    big.battery.capacity_kwh *= 50;
    auto const draws = draw_years({{big, &year}}, options);
    auto const& years = draws.recorded[0].years[0];
    REQUIRE(years.size() == 2);
    CHECK(years[0].problem.find("is not known: its record begins only 31 days before it") !=
          std::string::npos);
    CHECK(years[1].problem.empty());
}

// The second set has nine tenths of the light, so its years cannot be better; made years are fitted to the
// first set, and need five recorded years for it.
TEST_CASE("two sets of recorded years stand side by side, and the made years are like the first") {
    auto const& [scenario, year] = saltbush();
    auto dim = year;
    for (auto* series : {&dim.ghi_w_m2, &dim.dni_w_m2, &dim.dhi_w_m2})
        for (double& v : *series) v *= 0.9;
    auto options = draws_of(2);
    auto const like_file = draw_years({{scenario, &year}}, options);
    options.recorded = {{"bright", {{year, year, year, year, year}}, {"a note"}},
                        {"dim", {{dim, dim, dim, dim, dim}}, {}}};
    auto const draws = draw_years({{scenario, &year}}, options);
    REQUIRE(draws.recorded.size() == 2);
    CHECK(draws.recorded[0].source == "bright");
    CHECK(draws.recorded[0].notes == std::vector<std::string>{"a note"});
    CHECK(draws.recorded[1].weather == "4 recorded years, dim light");
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(draws.recorded[1].years[0][i].summary.pv_available_kwh <
              0.95 * draws.recorded[0].years[0][i].summary.pv_available_kwh);
    CHECK(draws.weather == "2 made years like the recorded years, seed 1");
    CHECK(!same(draws.years[0][0], like_file.years[0][0]));
    options.recorded_fit_only = true;
    auto const fitted = draw_years({{scenario, &year}}, options);
    CHECK(fitted.recorded.empty());
    CHECK(same(fitted.years[0][0], draws.years[0][0]));
    options.recorded = {set_of({dim, dim, dim, dim})};
    auto const few = draw_years({{scenario, &year}}, options);
    CHECK(few.weather == "2 made years like the weather file, seed 1");
    CHECK(same(few.years[0][0], like_file.years[0][0]));
}

TEST_CASE("a made year run once more hour by hour is the year that was counted") {
    auto const& [scenario, year] = saltbush();
    auto const options = draws_of(3);
    auto const draws = draw_years({{scenario, &year}}, options);
    for (auto const& made : draws.years[0]) {
        CAPTURE(made.number);
        auto const again = run_drawn_year({scenario, &year}, options, draws.start_month, made, std::nullopt);
        CHECK(again.summary.shortage_hours == made.summary.shortage_hours);
        CHECK(again.summary.soc_min == Near{made.summary.soc_min, 1e-9, 0});
        CHECK(again.clock.first_hour == weather::month_start_hour[draws.start_month - 1]);
    }
}

// By hand: a house draws the same every day and its light peaks in June; stock that drinks three times as
// much in July to September leaves most light for its demand in spring.
TEST_CASE("years begin where light over demand is largest") {
    HourlyInputs year;
    year.plane_light_w_m2.assign(hours_per_year, 0);
    year.demand_m3.assign(hours_per_year, 1);
    for (int h = 0; h < hours_per_year; ++h)
        year.plane_light_w_m2[static_cast<std::size_t>(h)] =
            200 - 100 * std::cos(2 * 3.14159265 * (h / 8760.0));
    // The middle of the year, 2 July, is nearer to the middle of July than of June, by one day.
    CHECK(verdict_start_month(year) == 7);
    for (int h = weather::month_start_hour[6]; h < weather::month_start_hour[9]; ++h)
        year.demand_m3[static_cast<std::size_t>(h)] = 3;
    CHECK(verdict_start_month(year) == 5);  // April to June is the brightest quarter without such a month
    year.demand_m3.assign(hours_per_year, 0);
    CHECK(verdict_start_month(year) == 7);
    CHECK(are_winters(7, 44));
    CHECK(!are_winters(4, 44));
    CHECK(are_winters(12, -33));
    CHECK(!are_winters(7, -33));
}

// No sun all year and no backup: the battery stays as it began, so runs begun full and empty never agree.
TEST_CASE("a design whose stores never fill again does not recover, and its years count as failed") {
    auto [scenario, year] = saltbush();
    scenario.array.module.rated_power_w *= 1e-6;
    scenario.demand.daily_m3 *= 1e-6;
    scenario.loads.clear();
    scenario.inverter.idle_w = 0;
    scenario.battery_standby_w = scenario.controller.standby_w = 0;
    auto const draws = draw_years({{scenario, &year}}, draws_of(2));
    for (auto const& made : draws.years[0]) {
        CHECK(!made.recovers);
        CHECK(made.run_in_days == 365);
        CHECK(!without_shortage(made));
    }
}

// Fillings of tank and trough come at other hours for good in a run that began empty. That is no lack of
// recovery: the array fills this battery every few days of the year.
TEST_CASE("runs that fill their tank at different hours recover") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-low-yield.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    auto roomy = scenario;
    roomy.array.module.rated_power_w *= 4;
    roomy.controller.power_limit_w *= 4;
    roomy.battery.charge_limit_kw *= 4;
    auto const draws = draw_years({{roomy, &year}}, draws_of(4));
    for (auto const& made : draws.years[0]) CHECK(made.recovers);
    // The battery gives the loss of the inverter and its own as well: with the pump's energy alone 7 of these
    // 50 years "did not recover".
    auto const store = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/alder-flat-store.toml");
    auto const large = scenarios::option_design(store, store.options[0]).scenario;
    auto const wet = scenarios::read_scenario_weather(large);
    auto const fifty = draw_years({{large, &wet}}, draws_of(50));
    CHECK(
        std::all_of(fifty.years[0].begin(), fifty.years[0].end(), [](auto const& y) { return y.recovers; }));
}

TEST_CASE("outages and demand are drawn anew where the scenario draws them; listed outages stay") {
    auto grid = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/alder-flat-grid-first.toml");
    auto const year = scenarios::read_scenario_weather(grid);
    grid.listed_outages = {{100, 148}};
    grid.outage_statistics = models::OutageStatistics{{8, 6, 1.3}, std::nullopt};
    auto options = draws_of(0);
    options.recorded = {set_of({year, year, year})};
    auto const draws = draw_years({{grid, &year}}, options);
    CHECK(draws.drawn.find("outages") != std::string::npos);
    CHECK(!same(draws.recorded[0].years[0][0], draws.recorded[0].years[0][1]));
    auto without = grid;
    without.outage_statistics.reset();
    without.outages = without.listed_outages;
    auto const listed = draw_years({{without, &year}}, options).recorded[0].years[0];
    CHECK(listed[0].summary.grid_kwh == Near{listed[1].summary.grid_kwh, 0, 1e-6});
    // 48 h of outage, in January, seven months after the years' beginning: less energy from the grid.
    without.listed_outages = without.outages = {};
    CHECK(draw_years({{without, &year}}, options).recorded[0].years[0][0].summary.grid_kwh >
          listed[0].summary.grid_kwh);

    auto varied = saltbush().scenario;
    models::WaterUse use = models::household_use("house", 4, 0.3, 2e-4);
    use.day_variation = 0.4;
    varied.demand.uses = {use};
    varied.demand.from_trough = {false};
    auto const& own = saltbush().year;
    options.recorded = {set_of({own, own, own})};
    auto const demand = draw_years({{varied, &own}}, options);
    CHECK(demand.drawn.find("demand from day to day") != std::string::npos);
    CHECK(!same(demand.recorded[0].years[0][0], demand.recorded[0].years[0][1]));
    // The year's total stays.
    CHECK(demand.recorded[0].years[0][0].summary.water_demand_m3 ==
          Near{demand.recorded[0].years[0][1].summary.water_demand_m3, 0, 1e-9});
}

// By hand, values 0 .. 10: 10 % at 1, 90 % at 9.
TEST_CASE("spread and odds") {
    std::vector<double> values;
    std::vector<DrawnYear> years(11);
    for (int i = 0; i <= 10; ++i) {
        values.push_back(10 - i);
        years[static_cast<std::size_t>(i)].summary.shortage_hours = i;
    }
    auto const less = spread_of(values, -1), more = spread_of(values, 1);
    CHECK(less.low == Near{1, 1e-12, 0});
    CHECK(less.high == Near{9, 1e-12, 0});
    CHECK(less.bad == less.high);
    CHECK(less.worst == 10);
    CHECK(more.bad == more.low);
    CHECK(more.worst == 0);
    CHECK(less.median == 5);
    CHECK(less.mean == 5);
    years[10].problem = "could not be run";
    auto const odds = odds_of(years, [](DrawnYear const& y) { return y.summary.shortage_hours < 5; });
    CHECK(odds.times == 5);
    CHECK(odds.years == 10);
    CHECK(odds.share.low == models::clopper_pearson_interval(5, 10).low);
}

TEST_CASE("what cannot be drawn is refused") {
    auto const& [scenario, year] = saltbush();
    CHECK_THROWS_AS(draw_years({{scenario, &year}}, draws_of(0)), models::ParameterError);
    auto wrong = scenario;
    wrong.demand.daily_m3 = -1;
    CHECK_THROWS_AS(draw_years({{wrong, &year}}, draws_of(1)), std::invalid_argument);
}

TEST_SUITE_END();
