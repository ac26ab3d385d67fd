#include "weather/random.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "tests/support/near.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

TEST_SUITE_BEGIN("weather/random");

// The 10 000th output of the default engine is required by the C++ standard (rand.predef).
TEST_CASE("the engine is that of the standard") {
    std::mt19937_64 engine;
    engine.discard(9999);
    CHECK(engine() == 9981545732273789042u);
}

// Standard normal quantiles, recomputed with 50 digits.
TEST_CASE("normal quantiles") {
    struct Row {
        double p, x;
    };
    for (auto const& [p, x] : std::vector<Row>{{0.975, 1.959963984540054},
                                               {0.2, -0.841621233572914},
                                               {0.001, -3.090232306167813},
                                               {1e-9, -5.997807015007687}}) {
        CAPTURE(p);
        CHECK(normal_quantile(p) == Near{x, 1e-12, 0});
        CHECK(normal_share_below(normal_quantile(p)) == Near{p, 0, 1e-10});
    }
    CHECK(normal_quantile(0.5) == Near{0, 1e-15, 0});
}

// Recomputed apart from this code.
TEST_CASE("the first draws of seed 12345") {
    std::mt19937_64 engine(12345);
    CHECK(engine() == 6597103971274460346u);
    CHECK(engine() == 7386862472818278521u);
    CHECK(engine() == 12716877617435052285u);
    Random uniform(12345), normal(12345);
    for (double u : {0.357629722888426, 0.400442617044061, 0.689383317002769})
        CHECK(uniform.uniform() == Near{u, 1e-15, 0});
    for (double x : {-0.364801686917842, -0.252201609486525, 0.494103103781933})
        CHECK(normal.normal() == Near{x, 1e-12, 0});
}

// Four million numbers: standard errors of 0.0005 for the mean, 0.0007 for the variance, 0.0005 for a
// correlation.
TEST_CASE("normal numbers for hours have mean 0, variance 1 and no memory") {
    HourlyNormals random(3);
    int const count = 4'000'000;
    double sum = 0, square = 0, product = 0, beyond_2 = 0, before = 0;
    for (int i = 0; i < count; ++i) {
        double const x = random.next();
        sum += x / count;
        square += x * x / count;
        product += x * before / count;
        if (std::abs(x) > 2) beyond_2 += 1.0 / count;
        before = x;
    }
    CHECK(sum == Near{0, 0.002, 0});
    CHECK(square == Near{1, 0.003, 0});
    CHECK(product == Near{0, 0.002, 0});
    CHECK(beyond_2 == Near{0.0455, 0.0005, 0});
}

// Two from each output, the low half first.
TEST_CASE("the first normal numbers for hours of seed 12345") {
    HourlyNormals random(12345);
    for (std::uint64_t bits : {6597103971274460346u, 7386862472818278521u})
        for (int half = 0; half < 2; ++half) {
            double const p = static_cast<double>(static_cast<std::uint32_t>(bits >> (32 * half))) * 0x1p-32;
            CHECK(random.next() == Near{normal_quantile(p), 0.001, 0});
        }
}

TEST_SUITE_END();
