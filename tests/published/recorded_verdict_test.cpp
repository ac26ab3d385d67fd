#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iostream>
#include <limits>
#include <string>
#include <vector>

#include "models/array/pv_array.hpp"
#include "models/numeric/statistics.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/verdict/site_cloudy_period.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

// Verdicts and autonomy on the recorded years 2000 to 2004 of station 724915 (National Solar Radiation Data
// Base 1991-2010 update), light of both of its models, temperature and wind of the typical year, beside those
// on the typical year and on years that are made from it alone. The differences are printed.

using namespace holdwater;
using test::Near;

namespace {

std::string const years_folder = std::string(HOLDWATER_SHARED "/weather/years");

bool station_is_there() {
    bool there = std::filesystem::exists(years_folder + "/724915TY.csv");
    for (int year = 2000; year <= 2004; ++year)
        there = there && std::filesystem::exists(fmt::format("{}/724915_{}_solar.csv", years_folder, year));
    if (!there) std::cout << "SKIPPED recorded years: not all in " << years_folder << '\n';
    return there;
}

/// The household demo without its generator.
scenarios::Scenario household(double array_kw, double battery_kwh) {
    auto s = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    s.rules.backup = scenarios::Backup::none;
    s.start_soc = 1;
    s.array.module.rated_power_w *= 1000 * array_kw / models::array_rated_power_w(s.array);
    s.battery.capacity_kwh = battery_kwh;
    return s;
}

/// Made years like the typical year: beside recorded years they would be fitted to these.
sim::DrawOptions made_years(int count) {
    sim::DrawOptions options;
    options.years = count;
    return options;
}

sim::DrawOptions recorded_years() {
    sim::DrawOptions options;
    scenarios::OtherYears other;
    for (int year = 2000; year <= 2004; ++year)
        other.paths.push_back(fmt::format("{}/724915_{}_solar.csv", years_folder, year));
    other.temperature_path = years_folder + "/724915TY.csv";
    other.light_models = {weather::LightModel::suny, weather::LightModel::metstat};
    options.years = 0;
    options.recorded = sim::recorded_sets(scenarios::read_scenario_years(household(1.8, 10), other));
    return options;
}

std::string days(double d) { return std::isinf(d) ? "more than 60" : fmt::format("{:.1f}", d); }

}  // namespace

TEST_SUITE_BEGIN("published/recorded_verdict");

// Five recorded years give four years of a verdict. The share of the made years that hold must be in the 90 %
// interval (Clopper and Pearson) of the recorded ones; the worst of 50 made years is at least as bad as the
// worst recorded one, and that is at least as bad as the typical year.
TEST_CASE("verdicts on five recorded years beside made years and the typical year") {
    if (!station_is_there()) return;
    auto const typical = weather::read_weather(years_folder + "/724915TY.csv");
    auto const recorded = recorded_years();
    REQUIRE(recorded.recorded.size() == 2);
    fmt::print("verdicts at station 724915: years held of all, median of the hours short, lowest SOC\n");
    for (double const array_kw : {1.2, 1.8, 2.4})
        for (double const battery_kwh : {6.0, 10.0, 16.0}) {
            auto const scenario = household(array_kw, battery_kwh);
            auto const typical_run = sim::run_year(scenario, typical).summary;
            auto const of_made = sim::verdicts_over_years({{scenario, &typical}}, made_years(50));
            auto const of_record = sim::verdicts_over_years({{scenario, &typical}}, recorded);
            auto sets = of_made.designs.at(0).fresh.sets;
            auto const& recorded_sets = of_record.designs.at(0).fresh.sets;
            sets.insert(sets.end(), recorded_sets.begin(), recorded_sets.end());
            REQUIRE(sets.size() == 3);
            double worst_recorded_h = 0;
            fmt::print("{:.1f} kW, {:4.1f} kWh: typical year {:.0f} h short, lowest SOC {:.2f}", array_kw,
                       battery_kwh, typical_run.shortage_hours, typical_run.soc_min);
            for (auto const& set : sets) {
                auto const& v = set.verdict;
                double lowest = 1;
                for (auto const& y : set.years) lowest = std::min(lowest, y.summary.soc_min);
                fmt::print("; {} {} of {}, {:.0f} h, {:.2f}", set.source, v.held, v.years,
                           models::quantile(v.hours_short, 0.5), lowest);
            }
            fmt::print("\n");
            CAPTURE(array_kw);
            CAPTURE(battery_kwh);
            auto const& made = sets[0].verdict;
            double const made_share = static_cast<double>(made.held) / made.years;
            for (std::size_t i = 1; i < sets.size(); ++i) {
                CAPTURE(sets[i].source);
                auto const& v = sets[i].verdict;
                REQUIRE(v.years == 4);
                auto const share = models::clopper_pearson_interval(v.held, v.years);
                CHECK(made_share >= share.low);
                CHECK(made_share <= share.high);
                worst_recorded_h = std::max(worst_recorded_h, v.hours_short.back());
            }
            CHECK(made.hours_short.back() >= worst_recorded_h);
            CHECK(typical_run.shortage_hours <= worst_recorded_h);
        }
}

// The smallest battery, in steps of 0.5 kWh, with which a year has no shortage: the median over 100 made
// years beside the median over the four recorded ones by the satellite model SUNY, within one step or 15 %.
// By the cloud model METSTAT, whose years are lighter, the medians are farther apart; they are printed with a
// *.
TEST_CASE("the smallest battery without a shortage at three arrays, made years beside recorded ones") {
    if (!station_is_there()) return;
    constexpr double step_kwh = 0.5;
    auto const typical = weather::read_weather(years_folder + "/724915TY.csv");
    auto const recorded_options = recorded_years();
    fmt::print("smallest battery [kWh] without a shortage at station 724915, steps of {} kWh\n", step_kwh);
    for (double const array_kw : {1.4, 1.8, 2.2}) {
        std::vector<sim::DrawnDesign> designs;
        for (int steps = 6; steps <= 80; ++steps)
            designs.push_back({household(array_kw, steps * step_kwh), &typical});
        // Of each year: the battery one step above the largest that is too small.
        auto const smallest_kwh = [&](std::vector<std::vector<sim::DrawnYear>> const& by_battery) {
            std::vector<double> smallest(by_battery.at(0).size(), designs[0].scenario.battery.capacity_kwh);
            for (std::size_t d = 0; d < designs.size(); ++d)
                for (std::size_t y = 0; y < smallest.size(); ++y)
                    if (!sim::without_shortage(by_battery[d][y]))
                        smallest[y] = designs[d].scenario.battery.capacity_kwh + step_kwh;
            return smallest;
        };
        auto const made = smallest_kwh(sim::draw_years(designs, made_years(100)).years);
        double const made_median = models::quantile(made, 0.5);
        fmt::print("{:.1f} kW: made median {:.1f} (10-90 % {:.1f} to {:.1f})", array_kw, made_median,
                   models::quantile(made, 0.1), models::quantile(made, 0.9));
        for (auto const& set : sim::draw_years(designs, recorded_options).recorded) {
            auto const recorded = smallest_kwh(set.years);
            double const median = models::quantile(recorded, 0.5);
            double const tolerance = std::max(step_kwh, 0.15 * median);
            fmt::print("; {} {:.1f}, median {:.2f} ({:+.0f} %{})", set.source, fmt::join(recorded, " "),
                       median, 100 * (made_median / median - 1),
                       std::abs(made_median - median) <= tolerance ? "" : " *");
            CAPTURE(array_kw);
            if (set.source == "SUNY") CHECK(made_median == Near{median, tolerance, 0});
        }
        fmt::print("\n");
    }
}

// Autonomy without sun begins with a full battery, and there is no cistern, so the year hardly matters: 0.1
// days. With the year's own weather most recorded years have a start date after which the water ends, as the
// typical year has.
TEST_CASE("autonomy on five recorded years beside the typical year") {
    if (!station_is_there()) return;
    auto const typical = weather::read_weather(years_folder + "/724915TY.csv");
    auto const options = recorded_years();
    auto const scenario = household(1.8, 10);
    sim::AutonomyOptions asked;
    asked.every_days = 5;
    auto const figures = [&](std::string const& name, weather::WeatherYear const& year) {
        // The seven days with the least light of that year itself.
        sim::DrawOptions own_days;
        own_days.years = 0;
        asked.site = sim::site_cloudy_periods({{scenario, &year}}, own_days).front();
        auto const a = sim::study_autonomy(scenario, year, asked);
        fmt::print(
            "{}: no sun {} d (worst), {} d (median); the year's own weather {} d (worst), {} d (median)\n",
            name, days(a.autonomy.water.worst_d), days(a.autonomy.water.median_d),
            days(a.record_water.worst_d), days(a.record_water.median_d));
        return a;
    };
    fmt::print("autonomy at station 724915, 1.8 kW and 10 kWh, without backup\n");
    auto const of_typical = figures("typical year", typical);
    int short_years = 0, years = 0;
    for (auto const& set : options.recorded)
        for (auto const& chain : set.chains)
            for (auto const& year : chain) {
                auto const a = figures(fmt::format("{} {}", set.source, year.file_year.at(0)), year);
                CHECK(a.autonomy.water.worst_d == Near{of_typical.autonomy.water.worst_d, 0.1, 0});
                CHECK(a.autonomy.water.median_d == Near{of_typical.autonomy.water.median_d, 0.1, 0});
                short_years += !std::isinf(a.record_water.worst_d);
                ++years;
            }
    CHECK(!std::isinf(of_typical.record_water.worst_d));
    CHECK(years == 10);
    CHECK(short_years > years / 2);
}

TEST_SUITE_END();
