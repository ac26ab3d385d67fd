#include "weather/weather_maker.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "weather/clear_sky.hpp"
#include "weather/decomposition.hpp"
#include "weather/made_light.hpp"
#include "weather/quality.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

MakeOptions dry_fork() {
    MakeOptions o;
    o.place = "Dry Fork";
    o.site = {40, -105, 1600, -7};
    o.seed = 7;
    o.clearness = {.50, .52, .55, .56, .58, .62, .62, .60, .60, .57, .50, .47};
    o.temperature_c = {-2, 0, 4, 9, 14, 19, 23, 22, 17, 10, 4, -1};
    return o;
}

double monthly_mean(std::vector<double> const& values, std::size_t month, int per_day = 1) {
    auto const first = static_cast<std::size_t>(month_start_hour[month] / 24 * per_day),
               end = static_cast<std::size_t>(month_start_hour[month + 1] / 24 * per_day);
    double sum = 0;
    for (std::size_t i = first; i < end; ++i) sum += values[i];
    return sum / static_cast<double>(end - first);
}

}  // namespace

TEST_SUITE_BEGIN("weather/weather_maker");

// Graham & Hollands 1990, from memory; rows recomputed from the formulas as printed in the header.
TEST_CASE("mean and scatter of an hour") {
    struct Row {
        double daily, air_mass, mean, scatter;
    };
    for (auto const& r : std::vector<Row>{
             {0.3, 1.5, 0.29058, 0.13856}, {0.5, 1.2, 0.55155, 0.15757}, {0.7, 2.0, 0.69037, 0.10285}}) {
        auto const h = hourly_clearness_of(r.daily, r.air_mass);
        CHECK(h.mean == Near{r.mean, 1e-5, 0});
        CHECK(h.scatter == Near{r.scatter, 1e-5, 0});
    }
}

TEST_CASE("monthly means of clearness to 1 % and of temperature exactly") {
    for (std::uint64_t seed : {1u, 7u, 99u}) {
        CAPTURE(seed);
        auto o = dry_fork();
        o.seed = seed;
        auto const year = make_weather(o);
        auto const daily = daily_clearness(year.ghi_w_m2, sun_over_year(o.site));
        for (std::size_t m = 0; m < 12; ++m) {
            CAPTURE(m);
            CHECK(monthly_mean(daily, m) == Near{o.clearness[m], 0, 0.01});
            CHECK(monthly_mean(year.temperature_c, m, 24) == Near{o.temperature_c[m], 0.05, 0});
        }
    }
}

TEST_CASE("a made year is a possible year") {
    for (double latitude : {40.0, -35.0, 5.0, 62.0}) {
        CAPTURE(latitude);
        auto o = dry_fork();
        o.site.latitude_deg = latitude;
        if (latitude > 60) o.clearness.fill(0.35);
        auto const year = make_weather(o);
        auto const sun = sun_over_year(o.site);
        auto const report = check_quality(year, sun);
        CHECK(report.beyond_possible_h == 0);
        CHECK(report.closure_residual < 1e-9);
        CHECK(report.light_without_sun_h == 0);
        CHECK(report.stuck_light_h == 0);
        auto const clear = clear_sky_ghi_w_m2(sun, o.linke_turbidity);
        double wind = 0;
        for (std::size_t i = 0; i < hours_per_year; ++i) {
            // Hours too dark to be scaled down further may pass a clear sky of almost nothing.
            REQUIRE(year.ghi_w_m2[i] <= clear[i] + 0.02 * sun.extraterrestrial_horizontal_w_m2[i] + 1e-9);
            wind += year.wind_m_s[i] / hours_per_year;
        }
        CHECK(wind == Near{o.wind_mean_m_s, 0, 0.06});
    }
}

TEST_CASE("cloudy days have a small swing of temperature, clear days a large one") {
    auto const o = dry_fork();
    auto const year = make_weather(o);
    auto const daily = daily_clearness(year.ghi_w_m2, sun_over_year(o.site));
    double cloudy = 0, clear = 0;
    int cloudy_days = 0, clear_days = 0;
    for (std::size_t day = 0; day < 365; ++day) {
        auto const [low, high] =
            std::minmax_element(&year.temperature_c[day * 24 + 5], &year.temperature_c[day * 24 + 23]);
        if (daily[day] < 0.3) cloudy += *high - *low, ++cloudy_days;
        if (daily[day] > 0.65) clear += *high - *low, ++clear_days;
    }
    REQUIRE(cloudy_days > 5);
    REQUIRE(clear_days > 5);
    CHECK(clear / clear_days > 1.5 * cloudy / cloudy_days);
}

TEST_CASE("the same seed gives the same bytes, another seed others, and the file reads back") {
    auto const o = dry_fork();
    auto const text = plain_csv_of(make_weather(o));
    CHECK(text == plain_csv_of(make_weather(o)));
    auto other = o;
    other.seed = 8;
    CHECK(text != plain_csv_of(make_weather(other)));
    CHECK(
        text.starts_with("# Dry Fork is an invented place: this weather is made by a random generator, not "
                         "measured.\n# Seed 7, year 0."));
    auto const back = read_weather_text(text, "made.csv");
    CHECK(plain_csv_of(back) == text);
    CHECK(back.station == "Dry Fork (invented place)");
    CHECK(back.repairs.empty());
    CHECK(back.warnings.empty());
    CHECK(back.site.utc_offset_h == -7);
}

// A digest of a made file: with the same seed another compiler or machine must write the same bytes. The
// value was written by this code (gold); it changes only when the generator is changed on purpose.
TEST_CASE("the bytes of seed 7") {
    auto const text = plain_csv_of(make_weather(dry_fork()));
    std::uint64_t digest = 14695981039346656037u;  // FNV-1a, 64 bit
    for (char c : text) digest = (digest ^ static_cast<unsigned char>(c)) * 1099511628211u;
    CHECK(digest == 5404579606609836753u);
}

TEST_CASE("many years scatter about the monthly means and are each their own") {
    auto o = dry_fork();
    o.keep_monthly_means = false;
    auto const sun = sun_over_year(o.site);
    int const years = 60;
    std::array<double, 12> mean{}, square{};
    double phi = 0;
    std::set<double> first_temperatures;
    for (int y = 0; y < years; ++y) {
        auto const year = make_weather(o, y);
        auto const daily = daily_clearness(year.ghi_w_m2, sun);
        phi += day_to_day_of(daily) / years;
        for (std::size_t m = 0; m < 12; ++m) {
            double const k = monthly_mean(daily, m);
            mean[m] += k / years;
            square[m] += k * k / years;
        }
        first_temperatures.insert(year.temperature_c[0]);
    }
    CHECK(first_temperatures.size() == static_cast<std::size_t>(years));
    CHECK(phi == Near{o.day_to_day, 0.06, 0});
    for (std::size_t m = 0; m < 12; ++m) {
        CAPTURE(m);
        double const spread = std::sqrt(square[m] - mean[m] * mean[m]);
        // A month of 30 days with a daily spread of 0.17 and a memory of 0.29 has 0.17 sqrt(1.8/30) = 0.042.
        CHECK((spread > 0.015 && spread < 0.07));
        // Four standard errors of the mean of 60 months.
        CHECK(mean[m] == Near{o.clearness[m], 4 * 0.042 / std::sqrt(60.0), 0});
    }
    // A year does not depend on those before it.
    CHECK(plain_csv_of(make_weather(o, 0)) == plain_csv_of(make_weather(o)));
    CHECK(plain_csv_of(make_weather(o, 37)) == plain_csv_of(make_weather(o, 37)));
}

TEST_CASE("the days of many years are distributed as the formula says, up to the clear sky") {
    auto o = dry_fork();
    o.keep_monthly_means = false;
    auto const sun = sun_over_year(o.site);
    auto const clear = daily_clearness(clear_sky_ghi_w_m2(sun, o.linke_turbidity), sun);
    std::vector<double> july, december;
    for (int y = 0; y < 60; ++y) {
        auto const daily = daily_clearness(make_weather(o, y).ghi_w_m2, sun);
        for (std::size_t day = 181; day < 212; ++day) july.push_back(daily[day]);
        for (std::size_t day = 334; day < 365; ++day) {
            december.push_back(daily[day]);
            CHECK(daily[day] <= clear[day] + 1e-9);
        }
    }
    // 1860 days: the standard error of a share of 0.5 is 0.012, and memory widens it by a factor of 1.35;
    // 0.06 is four of them. The mean that is put in is a little above the intended one, to compensate for the
    // cap.
    for (auto const& [days, k] : {std::pair{&july, o.clearness[6]}, std::pair{&december, o.clearness[11]}}) {
        auto const d = clearness_distribution(k);
        for (double share : {0.1, 0.25, 0.5}) {
            CAPTURE(k);
            CAPTURE(share);
            double const below =
                static_cast<double>(std::count_if(days->begin(), days->end(),
                                                  [&](double x) { return x < clearness_at(d, share); })) /
                static_cast<double>(days->size());
            CHECK(below == Near{share, 0.06, 0});
        }
    }
}

// Clear winter nights are colder and clear summer days warmer than cloudy ones.
TEST_CASE("temperature goes with the light") {
    auto o = dry_fork();
    o.keep_monthly_means = false;
    WeatherMaker const maker(o);
    auto const sun = sun_over_year(o.site);
    double january_night_c[2] = {}, july_day_c[2] = {};
    int january[2] = {}, july[2] = {};
    for (int y = 0; y < 60; ++y) {
        auto const year = maker.year(y);
        auto const daily = daily_clearness(year.ghi_w_m2, sun);
        for (std::size_t day = 1; day < 31; ++day) {
            bool const clear = daily[day] > o.clearness[0];
            january_night_c[clear] += year.temperature_c[24 * day + 28];  // the night after the day
            ++january[clear];
        }
        for (std::size_t day = 181; day < 212; ++day) {
            bool const clear = daily[day] > o.clearness[6];
            july_day_c[clear] += year.temperature_c[24 * day + 14];
            ++july[clear];
        }
    }
    // Halves above and below the mean are 1.6 deviates apart: the mean of the day moves by -1.3 and +0.7 K a
    // deviate, half the range by 1.5 K. The night has the mean of the next day, of which a third is left.
    CHECK(january_night_c[1] / january[1] < january_night_c[0] / january[0] - 1.5);
    CHECK(july_day_c[1] / july[1] > july_day_c[0] / july[0] + 2);
}

// What independent days cannot give: months differ more, and a cloudy month makes a cloudy neighbor likely.
TEST_CASE("a slow part makes whole months differ and neighbors alike") {
    auto o = dry_fork();
    o.keep_monthly_means = false;
    auto const spread_and_neighbor = [&](double slow_share) {
        o.slow_share = slow_share;
        WeatherMaker const maker(o);
        auto const sun = sun_over_year(o.site);
        int const years = 300;
        double square = 0, product = 0;
        for (int y = 0; y < years; ++y) {
            auto const daily = daily_clearness(maker.year(y).ghi_w_m2, sun);
            double before = 0;
            for (std::size_t m = 0; m < 12; ++m) {
                double const off = monthly_mean(daily, m) / o.clearness[m] - 1;
                square += off * off / (12 * years);
                if (m > 0) product += off * before / (11 * years);
                before = off;
            }
        }
        return std::pair{std::sqrt(square), product / square};
    };
    auto const [spread, neighbor] = spread_and_neighbor(0.03);
    auto const [plain_spread, plain_neighbor] = spread_and_neighbor(0);
    CHECK(spread > 1.08 * plain_spread);
    // 3,300 pairs: a standard error of 0.017.
    CHECK(plain_neighbor == Near{0.02, 0.05, 0});
    CHECK((neighbor > 0.05 && neighbor < 0.20));
}

TEST_CASE("a year goes on from the one before it") {
    auto o = dry_fork();
    o.keep_monthly_means = false;
    o.day_to_day = 0.8;
    WeatherMaker const maker(o);
    auto const sun = sun_over_year(o.site);
    double product = 0, square = 0;
    int const years = 300;
    double last = 0;
    for (int y = 0; y < years; ++y) {
        auto const daily = daily_clearness(maker.year(y).ghi_w_m2, sun);
        double const first = daily[0] - o.clearness[0];
        if (y > 0) product += first * last;
        last = daily[364] - o.clearness[11];
        square += last * last;
    }
    // Correlation of 31 December and 1 January; four standard errors of 299 pairs.
    CHECK(product / square == Near{0.8, 0.14, 0});
}

TEST_CASE("options that cannot be are refused by name, value and rule") {
    auto o = dry_fork();
    o.clearness[2] = 0.9;
    CHECK_THROWS_WITH_AS(make_weather(o), "clearness[3] = 0.9 (must be 0.2 .. 0.75)", std::invalid_argument);
    o = dry_fork();
    o.site.latitude_deg = 80;
    CHECK_THROWS_WITH_AS(make_weather(o), "latitude_deg = 80 (must be -66 .. 66 for made weather)",
                         std::invalid_argument);
    o = dry_fork();
    o.temperature_c[0] = std::nan("");
    CHECK_THROWS_AS(make_weather(o), std::invalid_argument);
    CHECK_THROWS_WITH_AS(make_weather(dry_fork(), -1), "index = -1 (must be 0 or more)",
                         std::invalid_argument);
}

TEST_SUITE_END();
