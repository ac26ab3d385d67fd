#include "models/numeric/monotone_cubic.hpp"

#include <doctest/doctest.h>

#include <random>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

namespace {

std::vector<double> const flow_gpm{0, 2, 4, 6, 8, 10, 12, 14, 16};
std::vector<double> const stage_head_ft{27.0, 26.6, 25.9, 24.8, 23.1, 20.6, 17.0, 12.0, 5.5};  // invented
std::vector<double> const stage_shaft_hp{.0520, .0611, .0671, .0737, .0812, .0867, .0896, .0884, .0794};
// 13 stages of another invented pump: head ft and electrical input W
std::vector<double> const head13_ft{390.0, 384.8, 374.4, 357.5, 332.8, 297.7, 249.6, 185.9, 104.0};
std::vector<double> const input13_w{913, 1029, 1152, 1269, 1372, 1456, 1502, 1508, 1482};

}  // namespace

TEST_SUITE_BEGIN("models/monotone_cubic");

TEST_CASE("values and slopes of an invented pump stage") {
    // Fritsch-Butland slopes recomputed in another language; digits as printed.
    MonotoneCubic const head(flow_gpm, stage_head_ft), shaft(flow_gpm, stage_shaft_hp);
    struct Row {
        double q, h, p;
    };
    for (Row const r : {Row{1, 26.832386364, 0.056977276}, Row{5, 25.410019841, 0.070308055},
                        Row{7.3, 23.771889583, 0.078707507}, Row{9, 21.965876269, 0.084268567},
                        Row{11, 18.954403355, 0.088624702}, Row{15, 8.949728261, 0.085247794}}) {
        CHECK(head(r.q) == Near{r.h, 1e-8, 0});
        CHECK(shaft(r.q) == Near{r.p, 1e-8, 0});
    }
    std::vector<double> const slopes{-0.125,      -0.25454545, -0.42777778, -0.66785714, -1.01190476,
                                     -1.47540984, -2.09302326, -2.82608696, -3.625};
    auto const got = monotone_slopes(flow_gpm, stage_head_ft);
    for (std::size_t i = 0; i < slopes.size(); ++i) CHECK(got[i] == Near{slopes[i], 5e-9, 0});
    CHECK(head.slope(4) == Near{-0.42777778, 5e-9, 0});
}

TEST_CASE("values and slopes of a second invented pump") {
    MonotoneCubic const head(flow_gpm, head13_ft), power(flow_gpm, input13_w);
    // Recomputed; an independently written version agreed to 1e-14.
    struct Row {
        double q, h, w;
    };
    for (Row const r : {Row{1, 387.9416666667, 970.1378138075}, Row{3.3, 378.6822, 1109.1178657296},
                        Row{7.5, 339.7961659307, 1348.0289187834}, Row{9.25, 312.2023901898, 1428.8468801419},
                        Row{10, 297.7, 1456}, Row{13.7, 196.4879260538, 1507.8385192308},
                        Row{15.9, 108.5299515625, 1484.08375}}) {
        CHECK(head(r.q) == Near{r.h, 1e-9, 0});
        CHECK(power(r.q) == Near{r.w, 1e-9, 0});
    }
    std::vector<double> const dh{-1.3,        -3.466666666667,  -6.438095238095, -10.034375, -14.497826086957,
                                 -20.2921875, -27.405813953488, -35.83125,       -45.5};
    std::vector<double> const dp{
        56.25, 59.698744769874, 59.9625, 54.777272727273, 46.267379679144, 29.723076923077, 5.307692307692, 0,
        -21};
    auto const gh = monotone_slopes(flow_gpm, head13_ft), gp = monotone_slopes(flow_gpm, input13_w);
    for (std::size_t i = 0; i < 9; ++i) {
        CHECK(gh[i] == Near{dh[i], 1e-11, 0});
        CHECK(gp[i] == Near{dp[i], 1e-11, 0});
    }
}

TEST_CASE("through the points, never outside their range, flat beyond the ends") {
    std::mt19937_64 random(3);
    std::uniform_real_distribution<double> any(0, 1);
    for (int k = 0; k < 50; ++k) {
        std::vector<double> x{0}, y{100};
        for (int i = 0; i < 6; ++i) {
            x.push_back(x.back() + 0.1 + any(random));
            y.push_back(y.back() - 5 * any(random) * any(random));
        }
        MonotoneCubic const c(x, y);
        for (std::size_t i = 0; i < x.size(); ++i) CHECK(c(x[i]) == Near{y[i], 1e-12, 0});
        double before = c(0);
        for (double t = 0; t <= x.back(); t += x.back() / 300) {
            CHECK(c(t) <= before + 1e-12);
            before = c(t);
        }
        CHECK(c(-1) == y.front());
        CHECK(c(x.back() + 1) == Near{y.back(), 1e-12, 0});
    }
    MonotoneCubic const line({0, 2}, {4, 8});
    CHECK(line(0.5) == Near{5, 1e-14, 0});
}

TEST_CASE("points that do not rise are refused") {
    CHECK_THROWS_AS(MonotoneCubic({0, 1, 1}, {3, 2, 1}), ParameterError);
    CHECK_THROWS_AS(MonotoneCubic({0}, {1}), ParameterError);
    CHECK_THROWS_AS(MonotoneCubic({0, 1}, {1}), ParameterError);
}

TEST_SUITE_END();
