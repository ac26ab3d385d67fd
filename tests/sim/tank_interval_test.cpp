#include "sim/replay/tank_interval.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <utility>
#include <vector>

#include "tests/support/near.hpp"

using namespace holdwater;
using sim::tank_interval;
using test::Near;

TEST_SUITE_BEGIN("sim/tank_interval");

// Days that do not follow each other: each has its own e + d - d', so all ratios give the regression through
// the origin. By hand: sums of squares and products 35, 73.7 and 155.3, so slope 73.7 / 35 and a square of
// the rests of 155.3 - 73.7^2 / 35 = 0.108857 with 5 degrees of freedom; t(0.95, 5) = 2.015048 (Student's
// table).
TEST_CASE("days apart are a regression through the origin with Student's t") {
    std::vector<double> const water{1, 2, 3, 4, 2, 1}, energy{2.1, 4, 6.2, 8.6, 4.3, 2};
    double const half = 2.015048 * std::sqrt(0.108857 / 5 / 35);
    auto const found = tank_interval(energy, water, std::vector<bool>(6, true), 0.9);
    CHECK(found.center == Near{73.7 / 35, 0, 1e-9});
    CHECK(found.high - found.center == Near{half, 0, 1e-5});
    CHECK(found.center - found.low == Near{half, 0, 1e-5});
}

// Two runs of three days: what the tank takes over from day to day cancels within a run.
TEST_CASE("what the tank carries into the next day is no scatter of the energy") {
    std::vector<double> const water{10, 11, 9, 10, 12, 8};
    std::vector<bool> const runs{true, false, false, true, false, false};
    std::vector<double> energy;
    double const carried[] = {0, 1.5, -1, 0, 0, 1, -1.5, 0};
    for (std::size_t i = 0; i < water.size(); ++i) {
        std::size_t const at = i + i / 3;
        energy.push_back(2 * water[i] + carried[at + 1] - carried[at]);
    }
    auto const followed = tank_interval(energy, water, runs, 0.9),
               apart = tank_interval(energy, water, std::vector<bool>(6, true), 0.9);
    CHECK(followed.low < 2);
    CHECK(followed.high > 2);
    CHECK(followed.high - followed.low < 0.7 * (apart.high - apart.low));
}

TEST_CASE("days exactly in proportion have their ratio, and no width") {
    auto const found =
        tank_interval({1, 2, 3, 2, 1}, {2, 4, 6, 4, 2}, {true, false, false, false, true}, 0.9);
    CHECK(found.center == Near{0.5, 0, 1e-12});
    CHECK(found.low == Near{0.5, 0, 1e-9});
    CHECK(found.high == Near{0.5, 0, 1e-9});
}

// 200 drawn logs of 45 days, a gap after 20: the tank holds anything within 16 % of a usual day at midnight,
// the energy scatters by 1 % of a usual day. With the likeliest ratio taken for the true one the interval
// held the truth in only 79 % of such logs.
TEST_CASE("the interval holds the truth as often as it says, though the log must tell two scatters apart") {
    std::mt19937_64 random(7);
    auto const uniform = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
    auto const normal = [&] {
        double const u = 1 - uniform();
        return std::sqrt(-2 * std::log(u)) * std::cos(6.283185307179586 * uniform());
    };
    int held = 0;
    for (int log = 0; log < 200; ++log) {
        std::vector<double> energy, water;
        std::vector<bool> apart;
        double tank = 0.08 * uniform();
        for (int day = 0; day < 45; ++day) {
            apart.push_back(day == 0 || day == 20);
            if (apart.back()) tank = 0.08 * uniform();
            double const before = std::exchange(tank, 0.08 * uniform());
            water.push_back(0.5 * std::exp(0.25 * normal()));
            energy.push_back(0.6 * (water.back() + tank - before + 0.005 * normal()));
        }
        auto const found = tank_interval(energy, water, apart, 0.9);
        held += found.low <= 0.6 && found.high >= 0.6;
    }
    CHECK(held >= 0.85 * 200);
    CHECK(held <= 0.95 * 200);
}

TEST_SUITE_END();
