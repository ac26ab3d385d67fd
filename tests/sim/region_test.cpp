// The smallest battery of many stations: against verdicts of single designs, and against the whole list of
// sizes.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <limits>
#include <numbers>
#include <numeric>
#include <sstream>
#include <string>

#include "models/water/pressure_tank.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_demand.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/region/least_batteries.hpp"
#include "sim/region/region_plan.hpp"
#include "sim/region/region_rows.hpp"
#include "sim/region/region_run.hpp"
#include "sim/region/rule_cards.hpp"
#include "sim/region/station.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "tests/support/command.hpp"
#include "tests/support/faint_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

std::string const scenarios_folder = HOLDWATER_SOURCE "/scenarios/";

std::string why(RegionQuestion const& question) {
    try {
        (void)plan_region(question);
    } catch (std::invalid_argument const& error) {
        return error.what();
    }
    return "accepted";
}

RegionRow row_at(std::size_t station, std::string const& state, double latitude, double elevation,
                 std::array<double, 3> const& kwh) {
    RegionRow row;
    row.station = station;
    row.state = state;
    row.name = "station " + std::to_string(station);
    row.latitude_deg = latitude;
    row.elevation_m = elevation;
    row.array_w = 2200;
    row.daily_demand_m3 = 0.85;
    row.battery_kwh = kwh;
    return row;
}

// All rows of a region, in one block.
std::vector<RegionRow> rows_of_region(std::string const& demo, std::vector<std::string> const& files,
                                      RegionQuestion question, RegionBasis const& basis) {
    question.stations = files.size();
    auto const plan = plan_region(question);
    RegionRun const run(scenarios::read_design_file(scenarios_folder + demo + ".toml"), {}, files, plan,
                        basis);
    std::vector<RegionRow> rows;
    run_blocks(
        plan.rows, {0, plan.rows.size()}, region_figures().size(), [&](SweepBlock& b) { run.run(b); },
        [&](SweepBlock const& b) {
            auto const more = rows_of(b, plan.rows_per_station());
            rows.insert(rows.end(), more.begin(), more.end());
        },
        nullptr, {region_texts().size(), plan.rows_per_station()});
    return rows;
}

RegionBasis basis_for(std::string const& demo, int years) {
    auto basis = region_basis(scenarios::read_scenario(scenarios_folder + demo + ".toml"));
    basis.made_years = years;
    return basis;
}

std::string const household = "juniper-bend-household";
std::string weather_file(std::string const& name) { return scenarios_folder + "weather/" + name + ".csv"; }

constexpr double infinity = std::numeric_limits<double>::infinity();

}  // namespace

TEST_SUITE_BEGIN("sim/region");

TEST_CASE("a region's rows are every station, array and demand; the demand changes fastest") {
    auto const plan = plan_region({.stations = 2,
                                   .arrays = "1 kW,3 kW",
                                   .demands = "100 L/day..300 L/day/3",
                                   .batteries = "10 kWh,4 kWh"});
    CHECK(plan.rows_per_station() == 6);
    REQUIRE(plan.rows.size() == 12);
    CHECK(plan.batteries_kwh == std::vector{4.0, 10.0});
    auto const cell = cell_of(plan.rows.row(10));
    CHECK(cell.station == 1);
    CHECK(*cell.array_w == 3000);
    CHECK(*cell.daily_demand_m3 == Near{0.2, 1e-12, 0});
    auto const own = cell_of(plan_region({.stations = 1}).rows.row(0));
    CHECK(own.station == 0);
    CHECK_FALSE(own.array_w);
    CHECK_FALSE(own.daily_demand_m3);
    CHECK(plan_region({.stations = 1}).batteries_kwh.size() == 60);
}

TEST_CASE("what is wrong with a question about a region is said with what is accepted") {
    CHECK(why({.stations = 0}) == "--stations: 0 weather files; 1 to 10000 are accepted");
    for (auto const& [text, part] : {std::pair{"5 gal", "5 gal"},
                                     {"2", "unit"},
                                     {"0 W", "0 W is not within 1 .. 100000 W"},
                                     {"2 kW,2000 W", "2000 W stands in it twice"},
                                     {"1 kW..3 kW", "the number of values behind the range is missing"},
                                     {"1 kW,,3 kW", "these are no rated powers of arrays"}}) {
        auto const said = why({.stations = 1, .arrays = text});
        CAPTURE(said);
        CHECK(said.starts_with(std::string("--array \"") + text + "\": "));
        CHECK(said.find(part) != std::string::npos);
        CHECK(
            said.find("accepted: a list such as \"1.6 kW,2.2 kW\", or a range such as \"1.2 kW..3 kW/4\"") !=
            std::string::npos);
    }
    CHECK(why({.stations = 1, .demands = "5 kWh"}).starts_with("--demand \"5 kWh\": "));
    CHECK(why({.stations = 1, .batteries = "5 W"}).starts_with("--battery \"5 W\": "));
}

// The verdict of a single design is what `simulate` prints. The list has two sizes beside each answer.
TEST_CASE("the battery of a share of winters is the smallest that gets the verdict of a single design") {
    auto const scenario = scenarios::read_scenario(scenarios_folder + household + ".toml");
    auto const weather = scenarios::read_scenario_weather(scenario);
    DrawOptions draw;
    draw.years = 10;
    draw.shelf = std::make_shared<MadeShelf>();
    std::vector<double> sizes(40);
    std::iota(sizes.begin(), sizes.end(), 1.0);
    auto const answer = least_batteries({{scenario, &weather, 1.5}}, sizes, draw)[0];
    CHECK(answer.winters == 10);
    REQUIRE(std::isfinite(answer.battery_kwh[2]));
    CHECK(answer.battery_kwh[0] <= answer.battery_kwh[1]);
    CHECK(answer.battery_kwh[1] <= answer.battery_kwh[2]);
    CHECK(answer.battery_kwh[1] == answer.battery_kwh[2]);  // 95 and 99 % of 10 are all 10
    auto const held = [&](double kwh) {
        auto alone = scenario;
        alone.rules = scenarios::without_backup(alone.rules);
        alone.generator.reset();
        double const factor = kwh / alone.battery.capacity_kwh;
        alone.battery.capacity_kwh *= factor;
        alone.battery.charge_limit_kw *= factor;
        alone.battery.discharge_limit_kw *= factor;
        alone.battery_behavior.voltage.resistance_ohm /= factor;
        alone.array.module.rated_power_w *= 1.5;
        alone.controller.power_limit_w *= 1.5;
        return verdicts_over_years({{alone, &weather}}, draw).designs[0].judged().judged().verdict.held;
    };
    CHECK(held(answer.battery_kwh[0]) >= 9);
    CHECK(held(answer.battery_kwh[0] - 1) < 9);
    CHECK(held(answer.battery_kwh[2]) == 10);
    CHECK(held(answer.battery_kwh[2] - 1) < 10);
}

TEST_CASE("bisection finds what every size of the list, tried alone, says") {
    auto const scenario = scenarios::read_scenario(scenarios_folder + household + ".toml");
    auto const weather = scenarios::read_scenario_weather(scenario);
    DrawOptions draw;
    draw.years = 6;
    draw.shelf = std::make_shared<MadeShelf>();
    std::vector<double> const sizes{10, 20, 30, 40, 50, 60, 70, 80};
    std::vector<DrawnDesign> designs;
    for (double const array : {0.8, 1.5, 2.5}) designs.push_back({scenario, &weather, array});
    auto const answers = least_batteries(designs, sizes, draw);
    std::size_t none = 0;
    for (std::size_t d = 0; d < designs.size(); ++d) {
        std::array<double, 3> found{infinity, infinity, infinity};
        for (auto at = sizes.rbegin(); at != sizes.rend(); ++at) {
            auto const one = least_batteries({designs[d]}, {*at}, draw)[0];
            for (std::size_t share = 0; share < 3; ++share)
                if (std::isfinite(one.battery_kwh[share])) found[share] = *at;
        }
        CHECK(answers[d].battery_kwh == found);
        none += std::isinf(found[2]) ? 1 : 0;
        if (d > 0) CHECK(answers[d].battery_kwh[0] <= answers[d - 1].battery_kwh[0]);
    }
    CHECK(none > 0);  // the smallest array has no battery of the list
    CHECK(none < 3);
}

// The file of Juniper Bend with a ground reflectance in each hour.
std::string with_albedo(std::function<char const*(int hour)> const& albedo) {
    std::istringstream in(test::file_text(weather_file("juniper-bend")));
    std::string out, line;
    for (int hour = -1; std::getline(in, line);) {
        if (hour >= 0) line += std::string(",") + albedo(hour++);
        if (line.starts_with("year,month")) line += ",albedo [1]", hour = 0;
        out += line + "\n";
    }
    return out;
}

// A plane of tilt b sees the light of the ground at (1 - cos b) / 2 of what the ground reflects, for ground
// as far as the eye reaches (Duffie and Beckman, isotropic ground; from memory).
TEST_CASE(
    "the ground reflectance of a station's file is told as its mean, and lights the array hour by hour") {
    test::ScratchFolder folder;
    scenarios::VariantReader const variants(
        scenarios::read_design_file(scenarios_folder + household + ".toml"), {});
    auto const put = [&](std::string const& name, std::function<char const*(int)> const& albedo) {
        std::ofstream(folder / name, std::ios::binary) << with_albedo(albedo);
        auto s = read_station(variants, folder / name);
        CHECK(s.problem == "");
        return s;
    };
    auto const mixed = put("mixed.csv", [](int hour) { return hour % 48 < 24 ? "0.2" : "0.6"; });
    CHECK(mixed.albedo == Near{(183 * 0.2 + 182 * 0.6) / 365, 1e-12, 0});  // days with each of them
    auto const dark = put("dark.csv", [](int) { return "0.2"; });
    auto const snow = put("snow.csv", [](int) { return "0.6"; });
    auto const light = [](Station const& s) { return make_inputs(s.scenario, s.weather)->plane_light_w_m2; };
    auto const on_mixed = light(mixed), on_dark = light(dark), on_snow = light(snow);
    double const tilt = mixed.scenario.plane.tilt_deg * std::numbers::pi / 180;
    double more = 0, expected = 0;
    for (std::size_t h = 0; h < 8760; ++h) {
        CHECK(on_mixed[h] == (h % 48 < 24 ? on_dark[h] : on_snow[h]));
        more += on_snow[h] - on_dark[h];
        expected += 0.4 * mixed.weather.ghi_w_m2[h] * (1 - std::cos(tilt)) / 2;
    }
    CHECK(more > 0);
    CHECK(more == Near{expected, 0, 1e-3});
}

TEST_CASE("a daily demand changes every use in proportion") {
    auto const weather = scenarios::read_scenario_weather(
        scenarios::read_scenario(scenarios_folder + "saltbush-livestock.toml"));
    for (std::string const demo : {"juniper-bend-household", "saltbush-livestock", "alder-flat-cistern"}) {
        CAPTURE(demo);
        auto scenario = scenarios::read_scenario(scenarios_folder + demo + ".toml");
        double const own = daily_demand_m3(scenario, weather);
        CHECK(own > 0);
        auto const before = scenario.demand;
        scenario.demand = times(scenario.demand, 1.7);
        CHECK(daily_demand_m3(scenario, weather) == Near{1.7 * own, 0, 1e-9});
        for (std::size_t u = 0; u < before.uses.size(); ++u)
            CHECK(scenario.demand.uses[u].tap_flow_m3_s == before.uses[u].tap_flow_m3_s);
    }
    // The household: 225 gal/day (US gallon 3.785411784 L).
    auto const scenario = scenarios::read_scenario(scenarios_folder + household + ".toml");
    CHECK(daily_demand_m3(scenario, weather) == Near{225 * 3.785411784e-3, 1e-9, 0});
    scenarios::DemandSettings measured;
    measured.series = std::make_shared<scenarios::DemandSeries>(
        scenarios::DemandSeries{std::vector<double>(8760, 0.01), {}});
    CHECK(times(measured, 3).series->hourly_m3[5] == Near{0.03, 1e-12, 0});
    CHECK(measured.series->hourly_m3[5] == 0.01);
}

TEST_CASE("a station gives its place, elevation, water temperature and albedo; the scenario all else") {
    test::ScratchFolder folder;
    scenarios::VariantReader const variants(
        scenarios::read_design_file(scenarios_folder + household + ".toml"), {});
    auto const s = read_station(variants, weather_file("saltbush-wells"));
    CHECK(s.problem == "");
    CHECK(s.name == "Saltbush Wells (invented place)");
    CHECK(s.latitude_deg == 33.1);
    CHECK(s.elevation_m == 640);
    CHECK(std::isnan(s.albedo));
    double mean = 0;
    for (double const c : s.weather.temperature_c) mean += c / 8760;
    CHECK(s.scenario.lift.water_temperature_c == Near{mean, 1e-9, 0});
    CHECK(s.scenario.elevation_m == 640);
    CHECK(s.scenario.tank.atmosphere_kpa == Near{models::standard_atmosphere_kpa_at(640), 1e-9, 0});
    CHECK(s.scenario.battery.capacity_kwh == Near{10.2, 1e-9, 0});
    CHECK(s.remarks.empty());

    auto const put = [&](std::string const& name, std::string const& from, std::string const& to) {
        auto text = test::file_text(weather_file("juniper-bend"));
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
        std::ofstream(folder / name, std::ios::binary) << text;
        return read_station(variants, folder / name);
    };
    // A little light at noon of summer, which the sun of these latitudes can give.
    auto const faint = [&](std::string const& name, double latitude) {
        test::put_faint_weather(folder / name, latitude);
        return read_station(variants, folder / name);
    };
    auto const north = faint("north.csv", 66.1);
    CHECK(north.problem == "latitude 66.1: no years can be made above 66 degrees");
    CHECK(north.latitude_deg == 66.1);
    auto const named = put("named.csv", "latitude_deg,44.2", "state,Northland\nlatitude_deg,44.2");
    CHECK(named.state == "Northland");
    auto const south = faint("south.csv", -44);
    CHECK(south.problem == "");
    CHECK(std::any_of(south.remarks.begin(), south.remarks.end(), [](auto const& remark) {
        return remark.find("faces away from the equator") != std::string::npos;
    }));
    auto const damaged = put("damaged.csv", "longitude_deg,-114.6\n", "");
    CHECK(damaged.problem.find("longitude_deg") != std::string::npos);
    CHECK(damaged.name == "damaged");
    CHECK(std::isnan(damaged.latitude_deg));
    CHECK(read_station(variants, folder / "none.csv").problem.find("none.csv") != std::string::npos);
}

TEST_CASE(
    "more demand needs no smaller battery, more array no larger one, and a rarer shortage a larger one") {
    auto const rows =
        rows_of_region(household, {weather_file("juniper-bend"), weather_file("saltbush-wells")},
                       {.stations = 2,
                        .arrays = "1.6 kW,3.2 kW",
                        .demands = "100 gal/day,225 gal/day,400 gal/day",
                        .batteries = "2 kWh..60 kWh/30"},
                       basis_for(household, 6));
    REQUIRE(rows.size() == 12);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CAPTURE(i);
        CHECK(rows[i].problem == "");
        CHECK(rows[i].winters == 6);
        CHECK(rows[i].combination == i % 6);
        for (std::size_t share = 0; share < 3; ++share) {
            if (share > 0) CHECK(rows[i].battery_kwh[share] >= rows[i].battery_kwh[share - 1]);
            if (i % 3 > 0) CHECK(rows[i].battery_kwh[share] >= rows[i - 1].battery_kwh[share]);
            if (i % 6 >= 3) CHECK(rows[i].battery_kwh[share] <= rows[i - 3].battery_kwh[share]);
        }
    }
    CHECK(rows[0].battery_kwh[0] > rows[6].battery_kwh[0]);  // the desert needs less than the cold valley
}

TEST_CASE("neither the order of the stations, nor threads, nor blocks change a row") {
    std::vector<std::string> const files{weather_file("juniper-bend"), weather_file("alder-flat"),
                                         weather_file("saltbush-wells")};
    RegionQuestion const question{.arrays = "1.6 kW,2.4 kW", .demands = "", .batteries = "4 kWh..40 kWh/10"};
    auto const basis = basis_for(household, 4);
    auto const forth = rows_of_region(household, files, question, basis);
    std::vector<RegionRow> back;
    on_threads(1, [&] { back = rows_of_region(household, {files.rbegin(), files.rend()}, question, basis); });
    REQUIRE(forth.size() == 6);
    for (std::size_t s = 0; s < 3; ++s)
        for (std::size_t c = 0; c < 2; ++c) {
            auto const &a = forth[2 * s + c], &b = back[2 * (2 - s) + c];
            CHECK(a.file == b.file);
            CHECK(a.battery_kwh == b.battery_kwh);
            CHECK(a.daily_demand_m3 == b.daily_demand_m3);
        }
    auto const alone =
        rows_of_region(household, {files[1]}, {.arrays = "2.4 kW", .batteries = "4 kWh..40 kWh/10"}, basis);
    CHECK(alone[0].battery_kwh == forth[3].battery_kwh);
}

// By hand: differences of ranks 1, 1, 1, 1 over four pairs: 1 - 6 * 4 / (4 * 15) = 0.6.
TEST_CASE("rank correlation") {
    CHECK(rank_correlation({1, 2, 3, 4}, {20, 10, 40, 30}) == Near{0.6, 1e-12, 0});
    CHECK(rank_correlation({1, 2, 3}, {9, 5, 1}) == Near{-1, 1e-12, 0});
    // Ranks 0.5, 0.5, 2 and 0, 1, 2: covariance 1.5, squares 1.5 and 2.
    CHECK(rank_correlation({7, 7, 8}, {1, 2, 3}) == Near{1.5 / std::sqrt(3.0), 1e-12, 0});
    CHECK(std::isnan(rank_correlation({1, 1, 1}, {1, 2, 3})));
}

TEST_CASE("a rule card has the least and the most of its state's stations, and what goes with it") {
    std::vector<RegionRow> rows;
    for (std::size_t i = 0; i < 6; ++i)
        rows.push_back(
            row_at(i + 1, "Northland", 40.0 + static_cast<double>(i), 500,
                   {8.0 + static_cast<double>(i), 10.0 + static_cast<double>(i), i == 5 ? infinity : 20}));
    rows.push_back(row_at(7, "", 30, 10, {1, 2, 3}));
    rows.push_back(row_at(8, "Eastland", 30, 10, {4, 5, 6}));
    rows.push_back(row_at(9, "Eastland", 70, 10, {0, 0, 0}));
    rows.back().problem = "too far north";
    auto const cards = rule_cards(rows);
    REQUIRE(cards.size() == 3);
    CHECK(cards[0].state == "Eastland");
    CHECK(cards[0].stations == 2);
    REQUIRE(cards[0].not_served.size() == 1);
    CHECK(cards[0].not_served[0]->station == 9);
    CHECK(cards[1].state == "Northland");
    CHECK(cards[2].state == "");
    auto const& c = cards[1].combinations.at(0);
    CHECK(c.array_w == 2200);
    CHECK(c.lines[0].least_kwh() == 8);
    CHECK(c.lines[0].most_kwh() == 13);
    CHECK(c.lines[0].most->station == 6);
    CHECK(c.lines[2].served == 5);
    CHECK(c.lines[2].most_kwh() == 20);
    CHECK(c.with_latitude == Near{1, 1e-12, 0});
    CHECK(std::isnan(c.with_elevation));
    CHECK(std::isnan(cards[0].combinations.at(0).with_latitude));
}

TEST_CASE("the basis of a region survives its lines") {
    auto basis = basis_for(household, 30);
    basis.title = "A = b = c";
    basis.batteries = "1 kWh..60 kWh/60";
    basis.longest_shortage_h = infinity;
    auto const back = basis_of(settings_of(basis));
    CHECK(settings_of(back) == settings_of(basis));
    CHECK(back.title == basis.title);
    CHECK(std::isinf(back.longest_shortage_h));
    CHECK(back.plane == "tilt 55 deg, azimuth 180 deg");
}

TEST_CASE("a row with a daily demand of its own is the design with that demand") {
    auto const file = weather_file("juniper-bend");
    auto const basis = basis_for(household, 4);
    auto const row = rows_of_region(household, {file},
                                    {.demands = "400 gal/day", .batteries = "1 kWh..80 kWh/80"}, basis)[0];
    scenarios::VariantReader const variants(
        scenarios::read_design_file(scenarios_folder + household + ".toml"), {});
    auto const station = read_station(variants, file);
    auto scenario = station.scenario;
    scenario.demand = times(scenario.demand, 400.0 / 225);  // the household uses 225 gal a day
    DrawOptions draw;
    draw.years = basis.made_years;
    draw.seed = basis.seed;
    draw.start_month = verdict_start_month(make_inputs(station.scenario, station.weather));
    draw.shelf = std::make_shared<MadeShelf>();
    std::vector<double> sizes(80);
    std::iota(sizes.begin(), sizes.end(), 1.0);
    auto const battery_kwh = [&](scenarios::Scenario const& with) {
        return least_batteries({{with, &station.weather, 1}}, sizes, draw)[0].battery_kwh;
    };
    CHECK(battery_kwh(scenario) == row.battery_kwh);
    CHECK(battery_kwh(station.scenario)[0] < row.battery_kwh[0]);
    CHECK(std::isfinite(row.battery_kwh[0]));
}

TEST_SUITE_END();
