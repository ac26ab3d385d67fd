#include "weather/day_chain.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/near.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/day_chain");

// Of chi = sqrt(1 - v) a + sqrt(v) s the correlation over k days is (1 - v) phi^k + v q^k.
TEST_CASE("variance and correlations over many years are those of the equations") {
    DayChain chain;
    chain.day_to_day.fill(0.4);
    chain.slow_share = 0.1;
    chain.slow_days = 25;
    chain.temperature_memory = 0.7;
    int const years = 1000;
    double square = 0, lag1 = 0, lag20 = 0, warm = 0, warm1 = 0, both = 0;
    double n = 0, n1 = 0, n20 = 0;
    for (int y = 0; y < years; ++y) {
        auto const d = day_deviates(chain, 5, y);
        for (std::size_t day = 0; day < 365; ++day) {
            square += d.clearness[day] * d.clearness[day];
            warm += d.temperature[day] * d.temperature[day];
            both += d.clearness[day] * d.temperature[day];
            ++n;
            if (day >= 1) {
                lag1 += d.clearness[day] * d.clearness[day - 1];
                warm1 += d.temperature[day] * d.temperature[day - 1];
                ++n1;
            }
            if (day >= 20) lag20 += d.clearness[day] * d.clearness[day - 20], ++n20;
        }
    }
    // 365,000 days: standard errors of 0.003 and less, wider by the memory.
    CHECK(square / n == Near{1, 0.015, 0});
    CHECK(warm / n == Near{1, 0.015, 0});
    CHECK(lag1 / n1 == Near{0.9 * 0.4 + 0.1 * std::exp(-1 / 25.0), 0.012, 0});
    CHECK(lag20 / n20 == Near{0.1 * std::exp(-20 / 25.0), 0.012, 0});
    CHECK(warm1 / n1 == Near{0.7, 0.012, 0});
    CHECK(both / n == Near{0, 0.012, 0});
}

TEST_CASE("each month has its own lag-1 correlation") {
    DayChain chain;
    chain.day_to_day.fill(0.1);
    chain.day_to_day[6] = 0.8;
    double july = 0, august = 0;
    int const years = 600;
    for (int y = 0; y < years; ++y) {
        auto const d = day_deviates(chain, 9, y);
        for (std::size_t day = 190; day < 210; ++day)
            july += d.clearness[day] * d.clearness[day - 1] / (20 * years);
        for (std::size_t day = 220; day < 240; ++day)
            august += d.clearness[day] * d.clearness[day - 1] / (20 * years);
    }
    CHECK(july == Near{0.8, 0.06, 0});
    CHECK(august == Near{0.1, 0.04, 0});
}

TEST_CASE("a year depends on seed and number alone and goes on from the year before") {
    DayChain chain;
    chain.day_to_day.fill(0.85);
    auto const seven = day_deviates(chain, 1, 7);
    auto const again = day_deviates(chain, 1, 7);
    CHECK(seven.clearness == again.clearness);
    CHECK(seven.temperature == again.temperature);
    CHECK(seven.clearness != day_deviates(chain, 2, 7).clearness);
    CHECK(seven.clearness != day_deviates(chain, 1, 8).clearness);
    double product = 0, square = 0;
    auto before = day_deviates(chain, 1, 0);
    for (int y = 1; y < 400; ++y) {
        auto const year = day_deviates(chain, 1, y);
        product += year.clearness[0] * before.clearness[364];
        square += before.clearness[364] * before.clearness[364];
        before = year;
    }
    // Four standard errors of 399 pairs.
    CHECK(product / square == Near{0.85, 0.11, 0});
}

TEST_CASE("days and months") {
    CHECK(month_of_day[0] == 0);
    CHECK(month_of_day[30] == 0);
    CHECK(month_of_day[31] == 1);
    CHECK(month_of_day[58] == 1);
    CHECK(month_of_day[59] == 2);
    CHECK(month_of_day[364] == 11);
}

TEST_SUITE_END();
