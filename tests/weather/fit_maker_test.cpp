#include "weather/fit_maker.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <numeric>
#include <stdexcept>

#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater;
using namespace holdwater::weather;
using test::Near;

namespace {

MakeOptions some_place() {
    MakeOptions o;
    o.place = "Nowhere";
    o.site = {44, -114, 1100, -7};
    o.clearness = {.44, .50, .54, .56, .60, .64, .70, .68, .65, .57, .46, .41};
    o.temperature_c = {-5, -2, 3, 7, 12, 16, 21, 20, 15, 8, 1, -5};
    o.wind_mean_m_s = 4;
    o.daily_range_k = 11;
    return o;
}

double sum(std::vector<double> const& v) { return std::accumulate(v.begin(), v.end(), 0.0); }

}  // namespace

TEST_SUITE_BEGIN("weather/fit_maker");

// The parameters from which a year was made are found again. Wind is made hour by hour with a memory of about
// ten hours: its mean over a year is accurate to 2 % (one standard deviation); the day-to-day memory of 365
// days to 0.05.
TEST_CASE("a made year gives back what it was made from") {
    auto const wanted = some_place();
    auto const found = fit_maker(make_weather(wanted), 7).options;
    for (std::size_t m = 0; m < 12; ++m) {
        CAPTURE(m);
        // A month moves half the way to the curve through its neighbors: here by 1.1 % at most.
        CHECK(found.clearness[m] == Near{wanted.clearness[m], 0, 0.015});
        CHECK(found.temperature_c[m] == Near{wanted.temperature_c[m], 1e-9, 0});
    }
    // Moved toward that of other places (weather/fit_days.hpp), and found in one year.
    CHECK(found.day_to_day == Near{wanted.day_to_day, 0.15, 0});
    CHECK(found.wind_mean_m_s == Near{wanted.wind_mean_m_s, 0, 0.06});
    // Straight cloudy periods between coldest and warmest hour; days in between move it a little.
    CHECK(found.daily_range_k == Near{wanted.daily_range_k, 0, 0.1});
    CHECK(found.seed == 7);
    CHECK(!found.keep_monthly_means);
}

// Sun of a year over 30 made ones: a year's GHI scatters by about 2 %, the mean of 30 by 0.4 %.
TEST_CASE("made years bring the file's sun on average and differ among themselves") {
    auto const own = read_weather(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv");
    auto const fit = fit_maker(own, 3);
    CHECK(fit.notes.empty());
    double total = 0, least = 1e9, most = 0;
    for (int i = 0; i < 30; ++i) {
        double const ghi = sum(make_weather(fit.options, i).ghi_w_m2);
        total += ghi / 30;
        least = std::min(least, ghi);
        most = std::max(most, ghi);
    }
    CHECK(total == Near{sum(own.ghi_w_m2), 0, 0.015});
    CHECK(most > 1.01 * least);
}

TEST_CASE("measured typical years can be fitted") {
    std::string const folder = HOLDWATER_SHARED "/weather/";
    for (std::string const name : {"bishop-tmy3.csv", "boise-tmy3.csv", "chicago-ohare.epw"}) {
        CAPTURE(name);
        if (!std::filesystem::exists(folder + name)) {
            std::cout << "SKIPPED " << name << ": not in " << folder << "\n";
            continue;
        }
        auto const own = read_weather(folder + name);
        auto const fit = fit_maker(own, 1);
        double total = 0;
        for (int i = 0; i < 10; ++i) total += sum(make_weather(fit.options, i).ghi_w_m2) / 10;
        CHECK(total == Near{sum(own.ghi_w_m2), 0, 0.03});
    }
}

// Thirty years with their own spread: the parameters from which they were made are found again, and the
// spread of whole months is kept, while a typical year would be given that of the rule.
TEST_CASE("recorded years give back what they were made from") {
    auto wanted = some_place();
    wanted.keep_monthly_means = false;
    wanted.slow_share = 0.1;
    WeatherMaker const maker(wanted);
    std::vector<WeatherYear> years;
    for (int y = 0; y < 30; ++y) years.push_back(maker.year(y));
    auto const found = fit_maker(years, 1).options;
    for (std::size_t m = 0; m < 12; ++m) {
        CAPTURE(m);
        // A month's clearness has a deviation of 0.05 from year to year; four standard errors of 30.
        CHECK(found.clearness[m] == Near{wanted.clearness[m], 0.037, 0});
        CHECK(found.temperature_c[m] == Near{wanted.temperature_c[m], 1.2, 0});
    }
    CHECK(found.day_to_day == Near{wanted.day_to_day, 0.04, 0});
    CHECK(found.slow_share == Near{(30 * 0.1 + 10 * 0.025) / 40, 0.03, 0});
    CHECK(found.wind_mean_m_s == Near{wanted.wind_mean_m_s, 0, 0.02});
    CHECK_THROWS_AS(fit_maker(std::vector<WeatherYear>{}, 1), std::invalid_argument);
}

TEST_CASE("what cannot be made is said") {
    auto cloudy = make_weather(some_place());
    for (std::size_t h = 0; h < 744; ++h) {
        cloudy.ghi_w_m2[h] *= 0.2;
        cloudy.dni_w_m2[h] = 0;
        cloudy.dhi_w_m2[h] = cloudy.ghi_w_m2[h];
    }
    auto const fit = fit_maker(cloudy, 1);
    REQUIRE(fit.notes.size() == 1);
    CHECK(fit.notes[0].find("clearness of month 1, 0.09 is taken as 0.20") == 0);
    auto polar = cloudy;
    polar.site.latitude_deg = 70;
    polar.path = "north.csv";
    CHECK_THROWS_WITH_AS(
        fit_maker(polar, 1),
        "north.csv: latitude 70.0 deg: no years can be made from a file above 66 degrees north or "
        "south, because its winter months have hardly any light; accepted: -66 to 66, or a run of "
        "the file alone, without made years (made_years = 0 in [weather], or --years 0)",
        WeatherError);
}

TEST_SUITE_END();
