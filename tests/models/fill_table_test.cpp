#include "models/water/fill_table.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <tuple>

#include "tests/support/fill_examples.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

TEST_SUITE_BEGIN("models/fill_table");

// The same fill as in pump_cycle_test: recomputed twice, by an integrator and by quadrature. gpm, s, J.
TEST_CASE("the worked fill, from the table") {
    auto const c = example_curve(256);
    for (auto const& [gpm, run_s, energy_j] : {std::tuple{0., 73.790956097, 29518.8967},
                                               {3., 110.111499284, 43954.9918},
                                               {6., 224.060261104, 88797.0546}}) {
        CAPTURE(gpm);
        std::size_t piece = 0;
        auto const step = FillTable(c, gpm * gpm_m3_s).fill(c.cut_in_m3, 1e6, piece);
        CHECK(step.seconds == Near{run_s, 1e-6, 1e-9});
        CHECK(step.energy_j == Near{energy_j, 1e-3, 1e-9});
        CHECK(step.water_m3 == c.cut_out_m3);
    }
}

TEST_CASE("the table and the curve say the same, whatever the start, the demand, the limit and the guess") {
    std::mt19937_64 random(41);
    std::uniform_real_distribution<double> any(0, 1);
    for (auto const& c : {example_curve(), second_curve(), constant_flow(tank_gal(44), 5e-4)}) {
        for (int i = 0; i < 500; ++i) {
            double const q = i % 5 == 0 ? 0 : 1.2e-3 * any(random);
            double const from = i % 3 == 0 ? c.cut_in_m3 : c.cut_out_m3 * any(random);
            double const limit_s = 600 * any(random);
            FillTable const table(c, q);
            auto piece = static_cast<std::size_t>(i) % (c.pieces.size() + 3);
            auto const step = table.fill(from, limit_s, piece);
            double const full_s = time_to_reach_s(c, from, c.cut_out_m3, q);
            CHECK(step.seconds == Near{std::min(full_s, limit_s), 1e-9, 1e-11});
            auto const plain = advance(c, from, q, step.seconds);
            CHECK(step.water_m3 == Near{plain.water_m3, 1e-12, 1e-10});
            CHECK(step.pumped_m3 == Near{plain.pumped_m3, 1e-12, 1e-10});
            CHECK(step.energy_j == Near{plain.energy_j, 1e-6, 1e-10});
            auto const part = table.advance(from, 0.5 * step.seconds, piece),
                       half = advance(c, from, q, 0.5 * step.seconds);
            CHECK(part.water_m3 == Near{half.water_m3, 1e-12, 1e-10});
            CHECK(part.energy_j == Near{half.energy_j, 1e-6, 1e-10});
        }
    }
}

TEST_SUITE_END();
