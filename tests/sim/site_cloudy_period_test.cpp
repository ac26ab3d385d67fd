#include "sim/verdict/site_cloudy_period.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

#include "models/numeric/random_stream.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/verdict/made_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/sun_position.hpp"

using namespace holdwater;
using test::Near;

TEST_SUITE_BEGIN("sim/site_cloudy_period");

namespace {

scenarios::Scenario household() {
    return scenarios::base_design(
               scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml"))
        .scenario;
}

// The least light on the array in seven days in a row, days from 00:00, day by day from `start_day` [kWh/m2].
double least_light_kwh_m2(std::vector<double> const& plane_w_m2, int start_day) {
    double least = std::numeric_limits<double>::infinity();
    for (int first = 0; first + 7 <= 365; ++first) {
        double sum = 0;
        for (int h = 24 * first; h < 24 * (first + 7); ++h)
            sum += plane_w_m2[static_cast<std::size_t>((24 * start_day + h) % 8760)];
        least = std::min(least, sum / 1000);
    }
    return least;
}

}  // namespace

TEST_CASE("in 5 of 50 made years, seven days in a row have as little light as the site's cloudy period") {
    auto const scenario = household();
    auto const year = scenarios::read_scenario_weather(scenario);
    sim::DrawOptions options;
    options.years = 50;
    options.seed = 7;
    auto const site = sim::site_cloudy_periods({{scenario, &year}}, options).front();
    CHECK(site.years == 50);
    REQUIRE(site.clearness.size() == 7);
    for (double const kt : site.clearness) CHECK((kt > 0 && kt < 0.8));

    int const month = sim::verdict_start_month(sim::make_inputs(scenario, year));
    int const first_hour = weather::month_start_hour[month - 1];
    sim::MadeWeather const made(year, options);
    int as_dark = 0, darker = 0;
    double of_that_year = 0;
    for (int number = 1; number <= 50; ++number) {
        double const least = least_light_kwh_m2(
            sim::make_inputs(scenario, made.year(number, first_hour))->plane_light_w_m2, first_hour / 24);
        as_dark += least <= 7 * site.light_kwh_m2_d * (1 + 1e-9) ? 1 : 0;
        darker += least < 7 * site.light_kwh_m2_d * (1 - 1e-9) ? 1 : 0;
        if (number == site.number) of_that_year = least;
    }
    CHECK(as_dark == 5);
    CHECK(darker == 4);
    CHECK(of_that_year == Near{7 * site.light_kwh_m2_d, 0, 1e-9});
    // Its first day is a day of the calendar: the seven days from there have that light.
    REQUIRE(site.first_day >= 0);
    REQUIRE(site.first_day < 365);
    auto const plane_w_m2 = sim::make_inputs(scenario, made.year(site.number, first_hour))->plane_light_w_m2;
    double sum = 0;
    for (int h = 24 * site.first_day; h < 24 * (site.first_day + 7); ++h)
        sum += plane_w_m2[static_cast<std::size_t>(h % 8760)];
    CHECK(sum / 1000 == Near{7 * site.light_kwh_m2_d, 0, 1e-9});
}

TEST_CASE("without made years it is the file's own seven days; above 66 degrees of latitude too") {
    auto const scenario = household();
    auto year = scenarios::read_scenario_weather(scenario);
    sim::DrawOptions options;
    options.years = 0;
    auto const site = sim::site_cloudy_periods({{scenario, &year}}, options).front();
    CHECK(site.years == 0);
    CHECK(7 * site.light_kwh_m2_d ==
          Near{least_light_kwh_m2(sim::make_inputs(scenario, year)->plane_light_w_m2, 0), 0, 1e-9});
    options.years = 20;
    year.site.latitude_deg = 68;
    CHECK(sim::site_cloudy_periods({{scenario, &year}}, options).front().years == 0);
}

TEST_CASE("designs with the same weather are compared in the same days, whatever their array") {
    auto const scenario = household();
    auto const year = scenarios::read_scenario_weather(scenario), other = year;
    auto flat = scenario;
    flat.plane.tilt_deg = 5;
    sim::DrawOptions options;
    options.years = 10;
    auto const sites = sim::site_cloudy_periods({{scenario, &year}, {flat, &year}, {flat, &other}}, options);
    CHECK(sites[1].light_kwh_m2_d == sites[0].light_kwh_m2_d);
    CHECK(sites[1].clearness == sites[0].clearness);
    CHECK(sites[2].light_kwh_m2_d != sites[0].light_kwh_m2_d);
}

TEST_CASE(
    "the worst recorded seven days may go over New Year, and are named by the year in which they begin") {
    auto const scenario = household();
    auto bright = scenarios::read_scenario_weather(scenario);
    // Of two years like this one, 29 December to 4 January have a hundredth of their light.
    std::fill(bright.file_year.begin(), bright.file_year.end(), 2001);
    auto const next = [&] {
        auto year = bright;
        std::fill(year.file_year.begin(), year.file_year.end(), 2002);
        return year;
    }();
    sim::RecordedSet set{"recorded", {{bright, next}}, {}};
    auto const dim = [](weather::WeatherYear& year, int from, int to) {
        for (auto* series : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2})
            for (int h = 24 * from; h < 24 * to; ++h) (*series)[static_cast<std::size_t>(h)] *= 0.01;
    };
    dim(set.chains[0][0], 362, 365);
    dim(set.chains[0][1], 0, 4);
    auto const worst = sim::worst_recorded_period(scenario, set);
    CHECK(worst.number == 2001);
    CHECK(worst.first_day == 362);
    CHECK(worst.years == 2);
    REQUIRE(worst.clearness.size() == 7);
    auto const sun = weather::sun_over_year(bright.site);
    CHECK(worst.clearness[0] == Near{0.01 * sim::clearness_of_days(bright, sun, 362, 1)[0], 0, 1e-9});
    CHECK(worst.clearness[6] == Near{0.01 * sim::clearness_of_days(bright, sun, 3, 1)[0], 0, 1e-9});
    // In two chains no seven days go from the one into the other.
    set.chains = {{set.chains[0][0]}, {set.chains[0][1]}};
    CHECK(sim::worst_recorded_period(scenario, set).first_day != 362);
}

TEST_SUITE_END();
