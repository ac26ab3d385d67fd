#include "weather/cloudy_periods.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/weather/made_years.hpp"
#include "weather/decomposition.hpp"

using namespace holdwater::weather;
using holdwater::test::cloudless_year;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/cloudy_periods");

// By hand.
TEST_CASE("cloudiest runs of eight days") {
    std::vector<double> const supply{5, 2, 1, 1, 3, 6, 6, 4};
    auto const worst = worst_cloudy_periods(supply, 5);
    struct Row {
        int days;
        double sum;
        int start;
    };
    for (auto const& r : std::vector<Row>{{1, 1, 2}, {2, 2, 2}, {3, 4, 1}, {5, 12, 0}}) {
        auto const& found = worst[static_cast<std::size_t>(r.days - 1)];
        CHECK(found.days == r.days);
        CHECK(found.energy == r.sum);
        CHECK(found.first_day == r.start);
    }
}

TEST_CASE("runs round the year, seams, and percent of normal") {
    std::vector<double> daily(365, 10.0);
    daily[0] = 1, daily[363] = 2, daily[364] = 2;
    auto const straight = worst_cloudy_periods(daily, 3);
    CHECK(straight[2].first_day == 362);
    CHECK_FALSE(straight[2].over_year_end);
    auto const round = worst_cloudy_periods(daily, 3, {}, true);
    CHECK(round[2].first_day == 363);
    CHECK(round[2].energy == 5);
    CHECK(round[2].over_year_end);
    // 61 days round the turn of the year: 58 of 10 and 1, 2, 2.
    CHECK(round[2].percent_of_normal == Near{100 * 5 / (3 * (58 * 10 + 5) / 61.0), 0.01, 0});

    std::vector<int> file_year(hours_per_year, 1990);
    std::fill(file_year.begin() + 744, file_year.end(), 1995);
    std::vector<double> seam(365, 10.0);
    seam[30] = seam[31] = 1;
    auto const over = worst_cloudy_periods(seam, 2, file_year);
    CHECK_FALSE(over[0].over_seam);
    CHECK(over[1].over_seam);
    std::fill(file_year.begin(), file_year.end(), 1990);
    CHECK_FALSE(worst_cloudy_periods(seam, 2, file_year)[1].over_seam);
    CHECK_THROWS_WITH_AS(worst_cloudy_periods(daily, 0), "longest_days = 0 (must be 1 .. 365)",
                         std::invalid_argument);
}

TEST_CASE("longer runs hold more energy, and no run of that length holds less than the one found") {
    auto const sun = sun_over_year({40, -105, 0, -7});
    auto year = cloudless_year(sun);
    for (std::size_t i = 0; i < hours_per_year; ++i)
        year.ghi_w_m2[i] *= 0.2 + 0.1 * static_cast<double>((i / 24 * 7919) % 9);
    auto const daily = daily_energy_kwh_m2(year.ghi_w_m2);
    auto const worst = worst_cloudy_periods(daily, 21);
    for (std::size_t n = 1; n <= 21; ++n) {
        double least = 1e9;
        for (std::size_t start = 0; start + n <= 365; ++start) {
            double sum = 0;
            for (std::size_t k = 0; k < n; ++k) sum += daily[start + k];
            least = std::min(least, sum);
        }
        CHECK(worst[n - 1].energy == Near{least, 0, 1e-12});
        if (n > 1) CHECK(worst[n - 1].energy >= worst[n - 2].energy);
    }
}

TEST_CASE("a cloudy period of one's own: its energy, its shape, its temperatures, and nothing else") {
    Site const site{40, -105, 0, -7};
    auto const sun = sun_over_year(site);
    auto year = cloudless_year(sun);
    for (std::size_t i = 0; i < hours_per_year; ++i)
        year.temperature_c[i] = 10 + 8 * std::sin(static_cast<double>(i % 24) / 4.0);
    auto const cloudy = with_cloudy_period(year, sun, {362, 6, 0.12});
    auto const kt = daily_clearness(cloudy.ghi_w_m2, sun);
    for (std::size_t day = 0; day < 365; ++day) {
        CAPTURE(day);
        bool const inside = day >= 362 || day < 3;
        double mean = 0, mean_before = 0;
        for (std::size_t i = day * 24; i < day * 24 + 24; ++i) {
            mean += cloudy.temperature_c[i] / 24, mean_before += year.temperature_c[i] / 24;
            if (inside) {
                REQUIRE(cloudy.dni_w_m2[i] == 0);
                REQUIRE(cloudy.dhi_w_m2[i] == cloudy.ghi_w_m2[i]);
            } else {
                REQUIRE(cloudy.ghi_w_m2[i] == year.ghi_w_m2[i]);
                REQUIRE(cloudy.temperature_c[i] == year.temperature_c[i]);
            }
        }
        CHECK(mean == Near{mean_before, 1e-9, 0});
        if (!inside) continue;
        CHECK(kt[day] == Near{0.12, 0, 1e-12});
        auto const swing = [&](WeatherYear const& y) {
            auto const [low, high] =
                std::minmax_element(&y.temperature_c[day * 24], &y.temperature_c[day * 24] + 24);
            return *high - *low;
        };
        CHECK(swing(cloudy) == Near{0.5 * swing(year), 1e-9, 0});
    }
    CHECK(cloudy.repairs.back().kind == "cloudy_period");
    // A clear "cloudy period" has beam irradiance again, and still its energy.
    auto const bright = with_cloudy_period(year, sun, {100, 1, 0.5});
    CHECK(*std::max_element(bright.dni_w_m2.begin() + 2400, bright.dni_w_m2.begin() + 2424) > 100);
    CHECK(daily_clearness(bright.ghi_w_m2, sun)[100] == Near{0.5, 0, 1e-12});
    CHECK_THROWS_WITH_AS(with_cloudy_period(year, sun, {0, 3, 0.9}), "clearness = 0.9 (must be 0 .. 0.8)",
                         std::invalid_argument);
    CHECK_THROWS_WITH_AS(with_cloudy_period(year, sun, {365, 3, 0.1}), "first_day = 365 (must be 0 .. 364)",
                         std::invalid_argument);
    CHECK_THROWS_WITH_AS(with_cloudy_period(year, sun, {0, 0, 0.1}), "days = 0 (must be 1 .. 365)",
                         std::invalid_argument);
}

TEST_SUITE_END();
