#include "weather/fit_temperature.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/near.hpp"
#include "weather/weather_year.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/fit_temperature");

TEST_CASE("daily means and ranges give back what they were made from") {
    std::array<MonthTemperature, 12> months;
    std::array<double, 12> means{};
    for (std::size_t m = 0; m < 12; ++m) {
        double const winter = std::cos(2 * 3.14159265358979 * static_cast<double>(m) / 12);
        months[m] = {10 - 12 * winter, 11, -0.3 - winter, 2.5, 3.5};
        means[m] = months[m].mean_c;
    }
    auto const season_c = through_the_months(means);
    DayChain chain;
    chain.day_to_day.fill(0.3);
    chain.temperature_memory = 0.75;
    std::vector<DailyTemperature> years;
    for (int y = 0; y < 40; ++y) {
        auto const d = day_deviates(chain, 2, y);
        auto const hourly = make_temperature(months, season_c, d, false);
        DailyTemperature daily;
        for (std::size_t day = 0; day < 365; ++day) {
            double sum = 0, least = 99, most = -99;
            for (std::size_t h = 24 * day; h < 24 * day + 24; ++h) {
                sum += hourly[h] / 24;
                least = std::min(least, hourly[h]);
                most = std::max(most, hourly[h]);
            }
            daily.mean_c.push_back(sum);
            daily.range_k.push_back(most - least);
            daily.light.push_back(d.clearness[day]);
        }
        years.push_back(daily);
    }
    auto const fit = fit_temperature(years);
    CHECK(fit.memory == Near{0.75, 0.02, 0});
    for (std::size_t m = 0; m < 12; ++m) {
        CAPTURE(m);
        // A month's mean wanders by 1.6 K from year to year; four standard errors of 40.
        CHECK(fit.months[m].mean_c == Near{months[m].mean_c, 1.0, 0});
        // Of a month and its neighbors: the season makes it a little less.
        CHECK(fit.months[m].mean_by_light_k == Near{months[m].mean_by_light_k, 0.4, 0});
        CHECK(fit.months[m].wander_k == Near{3.5, 0.4, 0});
        // Straight lines between coldest and warmest hour, cut where a day is much like the mean.
        CHECK(fit.months[m].range_k == Near{11, 0, 0.1});
        CHECK(fit.months[m].range_by_light_k == Near{2.5, 0, 0.3});
    }
}

TEST_CASE(
    "the season: every month has its mean, and between the middles of two months the line is straight") {
    std::array<double, 12> const monthly{-9.5, -8, -1, 6, 13, 18, 21.5, 20, 14, 7, -1.5, -30};
    auto const season_c = through_the_months(monthly);
    REQUIRE(season_c.size() == hours_per_year);
    for (std::size_t m = 0; m < 12; ++m) {
        auto const first = static_cast<std::size_t>(month_start_hour[m]),
                   end = static_cast<std::size_t>(month_start_hour[m + 1]);
        double sum = 0;
        for (std::size_t h = first; h < end; ++h) sum += season_c[h];
        CAPTURE(m);
        CHECK(sum / static_cast<double>(end - first) == Near{monthly[m], 1e-9, 0});
        auto const middle = (first + end) / 2;
        auto const bend = [&](std::size_t h) { return season_c[h + 1] - 2 * season_c[h] + season_c[h - 1]; };
        for (std::size_t h = std::max<std::size_t>(first, 1); h < end && h + 1 < hours_per_year; ++h)
            if (h + 1 < middle || h > middle) CHECK(bend(h) == Near{0, 1e-9, 0});
    }
    // Three quarters of a month's mean are its middle and an eighth each those of its neighbors (some -7 and
    // 2 here):
    // (-30 + 7/8 - 2/8) / 0.75 = -39.
    CHECK(season_c[static_cast<std::size_t>(month_start_hour[11] + month_start_hour[12]) / 2] ==
          Near{-39, 1.5, 0});
}

TEST_CASE("the usual temperatures: clear winter days are colder, on both halves of the Earth") {
    std::array<double, 12> means{};
    auto const north = usual_temperatures(means, 10, 45), south = usual_temperatures(means, 10, -35);
    CHECK(north[0].mean_by_light_k == Near{-1.3, 1e-12, 0});
    CHECK(north[6].mean_by_light_k == Near{0.7, 1e-12, 0});
    CHECK(south[0].mean_by_light_k == Near{0.7, 1e-12, 0});
    CHECK(south[6].mean_by_light_k == Near{-1.3, 1e-12, 0});
}

TEST_SUITE_END();
