#include "models/water/piping.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

namespace {

PipeSegment hundred_feet(double bore_in, double roughness_m = 1.5e-6, double c = 150) {
    return {100 * foot_m, bore_in * inch_m, roughness_m, c, 0};
}
double darcy_ft(double bore_in, double gpm, double roughness_m = 1.5e-6, double t_c = 15) {
    return darcy_weisbach_loss_m(hundred_feet(bore_in, roughness_m), gpm * gpm_m3_s, water_at(t_c)) / foot_m;
}
double hazen_ft(double bore_in, double gpm, double c = 150) {
    return hazen_williams_loss_m(hundred_feet(bore_in, 1.5e-6, c), gpm * gpm_m3_s) / foot_m;
}
double swamee_jain(double re, double rough) {
    return 0.25 / std::pow(std::log10(rough / 3.7 + 5.74 / std::pow(re, 0.9)), 2);
}
double haaland(double re, double rough) {
    return std::pow(-1.8 * std::log10(std::pow(rough / 3.7, 1.11) + 6.9 / re), -2);
}

}  // namespace

TEST_SUITE_BEGIN("models/piping");

TEST_CASE("friction factor by Colebrook, and the error of the explicit formulas") {
    // Recomputed with another solver. Re, relative roughness, Colebrook, Swamee-Jain (1976), Haaland (1983)
    struct Row {
        double re, rough, f, sj, h;
    };
    for (Row const r : {Row{1e5, 1e-3, 0.022174536, 0.022342412, 0.021966214},
                        Row{1e6, 1e-4, 0.013441438, 0.013507703, 0.013326160},
                        Row{2e4, 5.74e-5, 0.026008800, 0.025957905, 0.025834274}}) {
        CHECK(friction_factor(r.re, r.rough) == Near{r.f, 1e-9, 0});
        CHECK(swamee_jain(r.re, r.rough) == Near{r.sj, 1e-9, 0});
        CHECK(haaland(r.re, r.rough) ==
              Near{r.h, 2e-9, 0});  // third row prints one unit low in its last digit
    }
}

TEST_CASE("friction factor solves its own equation over the whole range") {
    std::mt19937_64 random(5);
    std::uniform_real_distribution<double> any(0, 1);
    for (int i = 0; i < 2000; ++i) {
        double const re = 4000 * std::pow(10, 4.5 * any(random)),
                     rough = 0.05 * std::pow(10, -6 * any(random));
        double const x = 1 / std::sqrt(friction_factor(re, rough));
        CHECK(x == Near{-2 * std::log10(rough / 3.7 + 2.51 / re * x), 0, 1e-13});
    }
    CHECK(friction_factor(1000, 1e-3) == 0.064);
    CHECK(friction_factor(3150, 1e-3) == Near{0.5 * (64 / 2300. + friction_factor(4000, 1e-3)), 1e-15, 0});
    CHECK(friction_factor(2300.0001, 0) == Near{64 / 2300., 1e-8, 0});
    // Some end laminar flow at 2300, some at 2000; real flow there is unsettled, so neither is
    // wrong. They part most at 2300, by a fifth of a loss that is itself below 0.02 m per 100 m in ordinary
    // pipe.
    double const from_2000 = 64 / 2000. + (friction_factor(4000, 0) - 64 / 2000.) * 300 / 2000;
    CHECK(std::abs(from_2000 / friction_factor(2300, 0) - 1) < 0.2);
}

TEST_CASE("worked pipe runs at 10 gpm") {
    // Recomputed, 10 degC. 100 ft of 1.029 in plastic; 1.049 in galvanized.
    Water const w = water_at(10);
    auto const plastic = hundred_feet(1.029), galvanized = hundred_feet(1.049, 1.5e-4);
    double const q = 10 * gpm_m3_s;
    CHECK(velocity_m_s(q, plastic.inside_diameter_m) == Near{1.175909, 0, 1e-6});
    CHECK(reynolds_number(q, plastic.inside_diameter_m, w) == Near{23527.83, 0, 1e-6});
    CHECK(friction_factor(reynolds_number(q, plastic.inside_diameter_m, w),
                          1.5e-6 / plastic.inside_diameter_m) == Near{0.025017718, 0, 1e-6});
    CHECK(darcy_weisbach_loss_m(plastic, q, w) == Near{2.056888, 0, 1e-6});
    CHECK(reynolds_number(q, galvanized.inside_diameter_m, w) == Near{23079.26, 0, 1e-6});
    CHECK(friction_factor(reynolds_number(q, galvanized.inside_diameter_m, w),
                          1.5e-4 / galvanized.inside_diameter_m) == Near{0.034885513, 0, 1e-6});
    CHECK(darcy_weisbach_loss_m(galvanized, q, w) == Near{2.604998, 0, 1e-6});
    // Second derivation, 15 degC: bore in, roughness m, m/s, Re, f, ft per 100 ft
    struct Row {
        double bore, rough, v, re, f, ft;
    };
    for (Row const r : {Row{1.049, 1.5e-6, 1.131497, 26479.0, 0.02432951, 5.960473},
                        Row{1.380, 1.5e-6, 0.653802, 20127.9, 0.02593680, 1.612671},
                        Row{1.049, 1.5e-4, 1.131497, 26479.0, 0.03449522, 8.450963}}) {
        CHECK(velocity_m_s(q, r.bore * inch_m) == Near{r.v, 0, 1e-6});
        CHECK(reynolds_number(q, r.bore * inch_m, water_at(15)) == Near{r.re, 0, 1e-5});
        CHECK(friction_factor(reynolds_number(q, r.bore * inch_m, water_at(15)),
                              r.rough / (r.bore * inch_m)) == Near{r.f, 0, 1e-5});
        CHECK(darcy_ft(r.bore, 10, r.rough) == Near{r.ft, 0, 1e-5});
    }
    // Cold water: 1.029 in at 5, 15, 25 degC, ft per 100 ft
    CHECK(darcy_ft(1.029, 10, 1.5e-6, 5) == Near{6.995, 5e-4, 0});
    CHECK(darcy_ft(1.029, 10, 1.5e-6, 15) == Near{6.534, 5e-4, 0});
    CHECK(darcy_ft(1.029, 10, 1.5e-6, 25) == Near{6.179, 5e-4, 0});
}

TEST_CASE("published friction table, Hazen-Williams C = 150") {
    // Illinois Administrative Code, Title 77, Part 906, App. A, Exhibit I, "Schedule 40 plastic", ft per 100
    // ft. Its figures are those of steel schedule 40 bores, not of plastic ones: bore in, gpm, published.
    struct Row {
        double bore, gpm, ft;
    };
    for (Row const r :
         {Row{1.049, 2, .28},    Row{1.049, 5, 1.52},  Row{1.049, 10, 5.50}, Row{1.380, 5, .39},
          Row{1.380, 10, 1.46},  Row{1.380, 15, 3.06}, Row{1.380, 20, 5.23}, Row{1.610, 5, .18},
          Row{1.610, 10, .70},   Row{1.610, 15, 1.45}, Row{1.610, 20, 2.46}, Row{1.610, 25, 3.75},
          Row{1.610, 30, 5.22},  Row{2.067, 10, .21},  Row{2.067, 15, .44},  Row{2.067, 20, .74},
          Row{2.067, 25, 1.10},  Row{2.067, 30, 1.54}, Row{2.067, 50, 3.98}, Row{3.068, 50, .58},
          Row{3.068, 100, 2.09}, Row{4.026, 100, .55}}) {
        CAPTURE(r.bore);
        CAPTURE(r.gpm);
        CHECK(hazen_ft(r.bore, r.gpm) == Near{r.ft, 0.02, 0.011});
    }
}

TEST_CASE("computed friction table, ft per 100 ft, schedule 40 plastic") {
    // Average plastic bores .804 1.029 1.360 1.590 2.047 in; Hazen-Williams (10.44 form) C = 150, then
    // Darcy-Weisbach smooth at 15 degC; recomputed, printed to 0.001.
    std::array<double, 5> const bores{.804, 1.029, 1.360, 1.590, 2.047};
    struct Row {
        double gpm;
        std::array<std::array<double, 2>, 5> ft;
    };
    for (Row const& r :
         {Row{3, {{{2.156, 2.560}, {.648, .795}, {.167, .213}, {.078, .102}, {.023, .031}}}},
          Row{5, {{{5.553, 6.249}, {1.670, 1.933}, {.429, .515}, {.201, .246}, {.059, .074}}}},
          Row{8, {{{13.260, 14.306}, {3.987, 4.408}, {1.025, 1.169}, {.479, .556}, {.140, .168}}}},
          Row{10, {{{20.046, 21.246}, {6.027, 6.534}, {1.550, 1.729}, {.724, .822}, {.212, .247}}}},
          Row{12, {{{28.097, 29.383}, {8.448, 9.022}, {2.172, 2.383}, {1.015, 1.132}, {.296, .340}}}},
          Row{15, {{{42.476, 43.754}, {12.771, 13.408}, {3.283, 3.535}, {1.534, 1.677}, {.448, .503}}}},
          Row{20, {{{72.365, 73.266}, {21.758, 22.392}, {5.594, 5.887}, {2.613, 2.789}, {.764, .835}}}},
          Row{30,
              {{{153.338, 152.163}, {46.104, 46.315}, {11.853, 12.129}, {5.538, 5.736}, {1.618, 1.712}}}}})
        for (std::size_t i = 0; i < 5; ++i) {
            CAPTURE(r.gpm);
            CAPTURE(bores[i]);
            CHECK(hazen_ft(bores[i], r.gpm) * us_over_si_hazen_williams == Near{r.ft[i][0], 1e-3, 0});
            CHECK(darcy_ft(bores[i], r.gpm) == Near{r.ft[i][1], 1e-3, 0});
        }
    // Steel schedule 40 bores: HW C 140, smooth; C 120, steel; C 100, galvanized. Bore, gpm, then pairs.
    struct Steel {
        double bore, gpm, c140, smooth, c120, steel, c100, galvanized;
    };
    for (Steel const r : {Steel{1.049, 5, 1.727, 1.764, 2.298, 1.930, 3.221, 2.264},
                          Steel{1.049, 10, 6.236, 5.960, 8.296, 6.851, 11.628, 8.451},
                          Steel{1.049, 20, 22.511, 20.417, 29.949, 25.111, 41.978, 32.417},
                          Steel{1.380, 10, 1.640, 1.613, 2.182, 1.769, 3.058, 2.077},
                          Steel{1.380, 20, 5.920, 5.490, 7.876, 6.338, 11.039, 7.810},
                          Steel{1.610, 10, 0.774, 0.774, 1.030, 0.833, 1.443, 0.953},
                          Steel{1.610, 20, 2.794, 2.628, 3.717, 2.948, 5.211, 3.537},
                          Steel{2.067, 20, 0.827, 0.798, 1.101, 0.863, 1.543, 0.993}}) {
        CHECK(hazen_ft(r.bore, r.gpm, 140) * us_over_si_hazen_williams == Near{r.c140, 1e-3, 0});
        CHECK(hazen_ft(r.bore, r.gpm, 120) * us_over_si_hazen_williams == Near{r.c120, 1e-3, 0});
        CHECK(hazen_ft(r.bore, r.gpm, 100) * us_over_si_hazen_williams == Near{r.c100, 1e-3, 0});
        CHECK(darcy_ft(r.bore, r.gpm, 1.5e-6) == Near{r.smooth, 1e-3, 0});
        CHECK(darcy_ft(r.bore, r.gpm, 4.5e-5) == Near{r.steel, 1e-3, 0});
        CHECK(darcy_ft(r.bore, r.gpm, 1.5e-4) == Near{r.galvanized, 1e-3, 0});
    }
}

TEST_CASE("a second computed table, schedule 40 nominal bores") {
    // Recomputed independently with the 10.67 form. Printed to three decimals, five digits above 100.
    // bore, gpm, C 150/140/100
    struct Hazen {
        double bore, gpm, c150, c140, c100;
    };
    for (Hazen const r :
         {Hazen{.824, 2, .903, 1.026, 1.913}, Hazen{1.049, 2, .279, .317, .590},
          Hazen{1.380, 8, .955, 1.085, 2.023}, Hazen{.824, 10, 17.788, 20.213, 37.693},
          Hazen{1.049, 10, 5.489, 6.237, 11.631}, Hazen{1.610, 12, .955, 1.085, 2.024},
          Hazen{2.067, 15, .428, .486, .906}, Hazen{1.049, 20, 19.815, 22.516, 41.987},
          Hazen{1.380, 30, 11.042, 12.547, 23.397}, Hazen{.824, 30, 136.07, 154.62, 288.33}}) {
        CHECK(hazen_ft(r.bore, r.gpm) == Near{r.c150, 5.1e-4, 5e-5});
        CHECK(hazen_ft(r.bore, r.gpm, 140) == Near{r.c140, 5.1e-4, 5e-5});
        CHECK(hazen_ft(r.bore, r.gpm, 100) == Near{r.c100, 5.1e-4, 5e-5});
    }
    // smooth 15 degC, smooth 5 degC, galvanized 15 degC
    struct Darcy {
        double bore, gpm, warm, cold, galvanized;
    };
    for (Darcy const r : {Darcy{.824, 5, 5.560, 5.975, 7.762}, Darcy{1.049, 5, 1.764, 1.900, 2.264},
                          Darcy{1.380, 5, .480, .519, .571}, Darcy{2.067, 5, .071, .077, .078},
                          Darcy{.824, 10, 18.890, 20.179, 29.545}, Darcy{1.610, 10, .774, .832, .953},
                          Darcy{2.067, 10, .236, .255, .274}, Darcy{1.380, 20, 5.490, 5.861, 7.810},
                          Darcy{.824, 30, 135.14, 143.01, 255.87}, Darcy{1.049, 30, 42.218, 44.805, 71.819},
                          Darcy{2.067, 30, 1.635, 1.746, 2.142}}) {
        CHECK(darcy_ft(r.bore, r.gpm) == Near{r.warm, 5.1e-4, 5e-5});
        CHECK(darcy_ft(r.bore, r.gpm, 1.5e-6, 5) == Near{r.cold, 5.1e-4, 5e-5});
        CHECK(darcy_ft(r.bore, r.gpm, 1.5e-4) == Near{r.galvanized, 5.1e-4, 5e-5});
    }
}

TEST_CASE("fittings") {
    // K v^2 / 2g, recomputed: 10 gpm, K 2.5 on 1.029 in and K 7.7 on 1.360 in
    PipeSegment a{0, 1.029 * inch_m, 0, 150, 2.5}, b{0, 1.360 * inch_m, 0, 150, 7.7};
    CHECK(minor_loss_m(a, 10 * gpm_m3_s) == Near{0.176253, 1e-6, 0});
    CHECK(minor_loss_m(b, 10 * gpm_m3_s) == Near{0.177907, 1e-6, 0});
    CHECK(velocity_m_s(10 * gpm_m3_s, b.inside_diameter_m) == Near{0.673173, 1e-6, 0});
}

TEST_CASE("more flow, more loss; both laws; runs add up") {
    std::mt19937_64 random(11);
    std::uniform_real_distribution<double> any(0, 1);
    for (int i = 0; i < 40; ++i) {
        PipingParameters p;
        p.segments = {
            {50 * any(random), 0.02 + 0.03 * any(random), 1.5e-4 * any(random), 150, 10 * any(random)},
            {100 * any(random), 0.02 + 0.03 * any(random), 1.5e-6, 140, 3 * any(random)}};
        for (auto const law : {FrictionLaw::darcy_weisbach, FrictionLaw::hazen_williams}) {
            p.law = law;
            double before = 0;
            for (double q = 1e-6; q < 2e-3; q *= 1.07) {
                double const loss = piping_loss_m(p, q, water_at(10));
                CHECK(loss > before);
                before = loss;
            }
            PipingParameters one{{p.segments[0]}, law}, two{{p.segments[1]}, law};
            CHECK(piping_loss_m(p, 5e-4, water_at(10)) ==
                  Near{piping_loss_m(one, 5e-4, water_at(10)) + piping_loss_m(two, 5e-4, water_at(10)), 0,
                       1e-15});
        }
        CHECK(piping_loss_m(p, 0, water_at(10)) == 0);
    }
    CHECK(piping_loss_m({}, 1e-3, water_at(10)) == 0);
}

TEST_CASE("pipes that cannot be are refused") {
    CHECK_NOTHROW(validate(hundred_feet(1.049)));
    CHECK_THROWS_AS(validate(PipeSegment{-1, 0.03}), ParameterError);
    CHECK_THROWS_AS(validate(PipeSegment{1, 0}), ParameterError);
    CHECK_THROWS_AS(validate(PipeSegment{1, 1.049}), ParameterError);  // inches taken for meters
    CHECK_THROWS_AS(validate(PipeSegment{1, 0.03, 0.01}), ParameterError);
    CHECK_THROWS_AS(validate(PipeSegment{1, 0.03, 1e-6, 10}), ParameterError);
    CHECK_THROWS_AS(validate(PipeSegment{1, 0.03, 1e-6, 150, -1}), ParameterError);
}

TEST_SUITE_END();
