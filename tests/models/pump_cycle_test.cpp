#include "models/water/pump_cycle.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "tests/models/steady_demand.hpp"
#include "tests/support/fill_examples.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

TEST_SUITE_BEGIN("models/pump_cycle");

TEST_CASE("constant pump flow: run, rest, starts and run share by demand") {
    // Recomputed: 11.350309 gal drawn per cycle, pump 10 gpm. gpm, s, s, s, per hour, min per hour
    auto const c = constant_flow(tank_gal(44), 10 * gpm_m3_s);
    struct Row {
        double gpm, run_s, rest_s, cycle_s, starts_h, run_min;
    };
    for (Row const r :
         {Row{0.5, 71.686, 1362.037, 1433.723, 2.51094, 3.0}, Row{1, 75.669, 681.019, 756.687, 4.75758, 6.0},
          Row{2, 85.127, 340.509, 425.637, 8.45792, 12.0}, Row{3, 97.288, 227.006, 324.295, 11.10102, 18.0},
          Row{5, 136.204, 136.204, 272.407, 13.21550, 30.0}, Row{7, 227.006, 97.288, 324.295, 11.10102, 42.0},
          Row{9, 681.019, 75.669, 756.687, 4.75758, 54.0},
          Row{9.9, 6810.186, 68.790, 6878.975, 0.52333, 59.4}}) {
        auto const s = steady_cycle(c, r.gpm * gpm_m3_s);
        CHECK(s.run_s == Near{r.run_s, 1e-3, 0});
        CHECK(s.rest_s == Near{r.rest_s, 1e-3, 0});
        CHECK(s.run_s + s.rest_s == Near{r.cycle_s, 1e-3, 0});
        CHECK(s.starts_per_h == Near{r.starts_h, 1e-5, 0});
        CHECK(s.run_fraction * 60 == Near{r.run_min, 1e-9, 0});
        CHECK(s.energy_j == Near{1000 * s.run_s, 1e-9, 1e-12});
        CHECK(s.pumped_m3 == Near{10 * gpm_m3_s * s.run_s, 0, 1e-12});
    }
    CHECK(steady_cycle(c, 5 * gpm_m3_s).starts_per_h * 24 == Near{317.2, 0.05, 0});
    // 86 gal tank, second derivation
    auto const c86 = constant_flow(tank_gal(86), 10 * gpm_m3_s);
    for (Row const r :
         {Row{0.5, 140.114, 2662.163, 2802.277, 1.28467, 3}, Row{1, 147.898, 1331.082, 1478.980, 2.43411, 6},
          Row{2, 166.385, 665.541, 831.926, 4.32731, 12}, Row{5, 266.216, 266.216, 532.433, 6.76142, 30},
          Row{8, 665.541, 166.385, 831.926, 4.32731, 48},
          Row{9.5, 2662.163, 140.114, 2802.277, 1.28467, 57}}) {
        auto const s = steady_cycle(c86, r.gpm * gpm_m3_s);
        CHECK(s.run_s == Near{r.run_s, 1e-3, 0});
        CHECK(s.rest_s == Near{r.rest_s, 1e-3, 0});
        CHECK(s.starts_per_h == Near{r.starts_h, 1e-5, 0});
        CHECK(s.run_fraction == Near{r.run_min / 60, 1e-12, 0});
    }
    // Waterlogged to a tenth: 2.21847 gal, 26.62 s on and off, 67.61 starts an hour; 44 gal tank 13.2 -> 132.
    auto logged = tank_gal(86);
    logged.air_fraction = 0.1;
    auto const s = steady_cycle(constant_flow(logged, 10 * gpm_m3_s), 5 * gpm_m3_s);
    CHECK(drawdown_m3(logged) / gal_m3 == Near{2.21847, 1e-5, 0});
    CHECK(s.run_s == Near{26.62, 5e-3, 0});
    CHECK(s.rest_s == Near{26.62, 5e-3, 0});
    CHECK(s.starts_per_h == Near{67.61, 6e-3, 0});
}

TEST_CASE("starts of an hour at a steady demand") {
    // Recomputed: tap 1 gpm, pump 10 gpm, 11.350309 gal per cycle: 60 gal (1 - 1/10) / 11.350309 gal
    // = 4.75758.
    CHECK(steady_cycle(constant_flow(tank_gal(44), 10 * gpm_m3_s), gpm_m3_s).starts_per_h ==
          Near{4.75758, 1e-5, 0});
}

TEST_CASE("ten gpm pump under a varying demand, event by event") {
    // Recomputed: 44 gal, 40/60, starts full with the contact open. Demand until s, gpm.
    auto const c = constant_flow(tank_gal(44), 10 * gpm_m3_s);
    struct Segment {
        double until_s, gpm;
    };
    SwitchedTank state{c.cut_out_m3, false};
    CycleTotals sum;
    double t = 0, demand_m3 = 0;
    for (Segment const s : {Segment{120, 2}, Segment{300, 6}, Segment{600, 0}, Segment{900, 8},
                            Segment{1500, 12}, Segment{1800, 3}}) {
        auto const part = run_switched(c, state, s.gpm * gpm_m3_s, s.until_s - t);
        demand_m3 += s.gpm * gpm_m3_s * (s.until_s - t);
        t = s.until_s;
        sum.starts += part.starts;
        sum.run_s += part.run_s;
        sum.pumped_m3 += part.pumped_m3;
        sum.unmet_m3 += part.unmet_m3;
    }
    CHECK(sum.starts == 2);
    CHECK(sum.run_s == Near{1057.95157, 1e-4, 0});
    CHECK(sum.pumped_m3 / gal_m3 == Near{176.325261, 1e-5, 0});
    CHECK(demand_m3 / gal_m3 == Near{197, 1e-9, 0});
    CHECK(sum.unmet_m3 / gal_m3 == Near{11.228683, 1e-5, 0});
    CHECK(state.water_m3 / gal_m3 == Near{3.513148, 1e-5, 0});
    CHECK(tank_pressure_kpa(tank_gal(44), state.water_m3) / psi_kpa == Near{42.572562, 1e-5, 0});
    CHECK_FALSE(state.closed);
    // Event times s: closes 193.5031, opens 325.5031, closes 685.1273, empty 1163.1395, opens 1611.0789.
    double const q2 = 2 * gpm_m3_s, q6 = 6 * gpm_m3_s, q8 = 8 * gpm_m3_s;
    double const at_120 = c.cut_out_m3 - q2 * 120;
    CHECK(120 + drain_time_s(at_120, c.cut_in_m3, q6) == Near{193.5031, 1e-3, 0});
    double const at_300 = advance(c, c.cut_in_m3, q6, 300 - 193.5031).water_m3;
    CHECK(300 + time_to_reach_s(c, at_300, c.cut_out_m3, 0) == Near{325.5031, 1e-3, 0});
    CHECK(600 + drain_time_s(c.cut_out_m3, c.cut_in_m3, q8) == Near{685.1273, 1e-3, 0});
    double const at_900 = advance(c, c.cut_in_m3, q8, 900 - 685.1273).water_m3;
    CHECK(900 + time_to_reach_s(c, at_900, 0, 12 * gpm_m3_s) == Near{1163.1395, 1e-3, 0});
    CHECK(1500 + time_to_reach_s(c, 0, c.cut_out_m3, 3 * gpm_m3_s) == Near{1611.0789, 1e-3, 0});
}

TEST_CASE("flow that falls with pressure: one fill") {
    // Recomputed twice, by an integrator and by quadrature, agreeing to 1e-11. Flow at 40, 50, 60 psi:
    CHECK(example_flow(40 * psi_kpa) == Near{6.698318258798e-4, 1e-15, 0});
    CHECK(example_flow(50 * psi_kpa) == Near{5.804094156e-4, 1e-13, 0});
    CHECK(example_flow(60 * psi_kpa) == Near{4.744212311e-4, 1e-13, 0});
    auto const tank = tank_gal(44);
    auto const c = example_curve();
    struct Row {
        double gpm, run_s, pumped_m3, energy_j, rest_s, starts_h, run_share, mean_gpm;
    };
    for (Row const& r : {Row{0, 73.790956097, 0.0429655942, 29518.8967, 0, 0, 0, 9.229024635},
                         Row{3, 110.111499284, 0.0638064625, 43954.9918, 227.006183864, 10.678763470,
                             0.326626293, 9.184808635},
                         Row{6, 224.060261104, 0.1277816294, 88797.0546, 113.503091932, 10.664664774,
                             0.663757659, 9.039443711}}) {
        CAPTURE(r.gpm);
        double const q = r.gpm * gpm_m3_s;
        // The integral itself, by Gauss-Legendre over stored water: pins the published figures to the
        // published tolerance.
        using Gauss = boost::math::quadrature::gauss<double, 30>;
        double const exact_s =
            Gauss::integrate([&](double w) { return 1 / (example_flow(tank_pressure_kpa(tank, w)) - q); },
                             c.cut_in_m3, c.cut_out_m3);
        double const exact_j = Gauss::integrate(
            [&](double w) {
                double const f = example_flow(tank_pressure_kpa(tank, w));
                return example_power(f) / (f - q);
            },
            c.cut_in_m3, c.cut_out_m3);
        CHECK(exact_s == Near{r.run_s, 1e-6, 0});
        CHECK(exact_j == Near{r.energy_j, 1e-3, 0});
        // The closed form between nodes: 32 pieces, then 256.
        auto const cycle = steady_cycle(c, q), fine = steady_cycle(example_curve(256), q);
        CHECK(cycle.run_s == Near{r.run_s, 0, 2e-6});
        CHECK(cycle.energy_j == Near{r.energy_j, 0, 2e-6});
        CHECK(fine.run_s == Near{r.run_s, 1e-6, 1e-9});
        CHECK(fine.energy_j == Near{r.energy_j, 1e-3, 1e-9});
        CHECK(cycle.pumped_m3 == Near{r.pumped_m3, 0, 2e-6});
        CHECK(cycle.pumped_m3 / cycle.run_s / gpm_m3_s == Near{r.mean_gpm, 0, 2e-6});
        if (r.gpm > 0) {
            CHECK(cycle.rest_s == Near{r.rest_s, 1e-6, 0});
            CHECK(cycle.starts_per_h == Near{r.starts_h, 0, 2e-6});
            CHECK(cycle.run_fraction == Near{r.run_share, 0, 2e-6});
        }
    }
}

TEST_CASE("flow that falls with pressure: demand above the flow at cut-out") {
    // Recomputed. 8 gpm settles at 57.346291 psi; from cut-in, s and psi:
    auto const tank = tank_gal(44);
    auto const c = example_curve();
    auto const fine = example_curve(256);
    double const q8 = 8 * gpm_m3_s;
    for (auto const& [s, psi] :
         {std::pair{60., 43.27505}, {300., 52.75350}, {600., 56.59291}, {1800., 57.34599}}) {
        CHECK(tank_pressure_kpa(tank, advance(c, c.cut_in_m3, q8, s).water_m3) / psi_kpa ==
              Near{psi, 1e-3, 0});
        CHECK(tank_pressure_kpa(tank, advance(fine, c.cut_in_m3, q8, s).water_m3) / psi_kpa ==
              Near{psi, 1e-4, 0});
    }
    CHECK(std::isinf(time_to_reach_s(c, c.cut_in_m3, c.cut_out_m3, q8)));
    CHECK(std::isinf(steady_cycle(c, q8).run_s));
    CHECK(tank_pressure_kpa(tank, settling_water_m3(fine, q8)) / psi_kpa == Near{57.346291, 1e-4, 0});
    CHECK(tank_pressure_kpa(tank, settling_water_m3(fine, 10 * gpm_m3_s)) / psi_kpa ==
          Near{44.529300, 1e-4, 0});
    // 12 gpm is more than the 10.878387 gpm at the precharge: the tank empties in 77.501338 s, the rest is
    // unmet.
    CHECK(flow_at_m3_s(c, 0) / gpm_m3_s == Near{10.878387, 1e-6, 0});
    CHECK(time_to_reach_s(fine, c.cut_in_m3, 0, 12 * gpm_m3_s) == Near{77.501338, 1e-4, 0});
    CHECK(time_to_reach_s(c, c.cut_in_m3, 0, 12 * gpm_m3_s) == Near{77.501338, 0, 1e-4});
    auto const dry = advance(fine, c.cut_in_m3, 12 * gpm_m3_s, 177.501338);
    CHECK(dry.water_m3 == 0);
    CHECK(dry.unmet_m3 / gal_m3 == Near{(12 - 10.878387) / 60 * 100, 1e-5, 0});
    CHECK(std::isnan(settling_water_m3(c, 12 * gpm_m3_s)));
    // Pressure at which a shut-in system would settle, below the precharge: 12 gpm 28.864089, 14
    // gpm 10.350658 psi.
    for (auto const& [gpm, psi] : {std::pair{12., 28.864089}, {14., 10.350658}})
        CHECK(example_flow(psi * psi_kpa) / gpm_m3_s == Near{gpm, 1e-6, 0});
}

TEST_CASE("flow linear in pressure: the logarithm form") {
    // Recomputed, closed form and quadrature agreeing to 1e-14: Q = 1.3e-3 - 1.5e-9 p, input 1000 + 5e5 Q.
    auto const make = [](int nodes) {
        return make_fill_curve(
            second_tank,
            [](double q) {
                return DeliveredAt{(1.3e-3 - q) / 1.5e-6, 1000 + 5e5 * q};
            },
            1.25e-3, nodes);
    };
    auto const c = make(32), fine = make(256);
    CHECK(1.3e-3 - 1.5e-6 * 40 * psi_kpa == Near{8.863145624e-4, 1e-13, 0});
    struct Row {
        double q, run_s, energy_j, rest_s;
    };
    for (Row const r : {Row{0.25e-3, 144.138794584728, 200850.379793646, 309.553887087},
                        Row{0.60e-3, 449.710604955330, 623318.022327756, 128.980786286}}) {
        CHECK(steady_cycle(c, r.q).run_s == Near{r.run_s, 0, 5e-6});
        CHECK(steady_cycle(c, r.q).energy_j == Near{r.energy_j, 0, 5e-6});
        CHECK(steady_cycle(fine, r.q).run_s == Near{r.run_s, 0, 2e-9});
        CHECK(steady_cycle(fine, r.q).energy_j == Near{r.energy_j, 0, 2e-9});
        CHECK(steady_cycle(c, r.q).rest_s == Near{r.rest_s, 1e-9, 0});
    }
}

TEST_CASE("a pump at the end of its curve gives that flow until the pressure passes it") {
    // The curve ends at 0.8 L/s, at (1.3 - 0.8) L/s / 1.5 L/s per MPa = 333.33 kPa, inside the band of 276 to
    // 414 kPa.
    double const end_kpa = 0.5e-3 / 1.5e-6, end_m3 = stored_water_m3(second_tank, end_kpa);
    auto const c = make_fill_curve(
        second_tank,
        [](double q) {
            return DeliveredAt{(1.3e-3 - q) / 1.5e-6, 1000 + 5e5 * q};
        },
        0.8e-3);
    for (double const share : {0.0, 0.5, 0.99})
        CHECK(flow_at_m3_s(c, c.cut_in_m3 + share * (end_m3 - c.cut_in_m3)) == Near{0.8e-3, 1e-12, 0});
    CHECK(time_to_reach_s(c, c.cut_in_m3, end_m3, 0) == Near{(end_m3 - c.cut_in_m3) / 0.8e-3, 0, 1e-9});
    // Above it the flow falls with the pressure: 0.7 L/s at 400 kPa.
    CHECK(flow_at_m3_s(c, stored_water_m3(second_tank, 400)) == Near{0.7e-3, 0, 1e-4});
}

TEST_CASE("a pump that cannot reach cut-out tops out at its shut-off pressure") {
    // 1.3 L/s - 4 L/s per MPa: no flow at 325 kPa, below the cut-out at 414 kPa.
    auto const c = make_fill_curve(
        second_tank,
        [](double q) {
            return DeliveredAt{(1.3e-3 - q) / 4e-6, 1000 + 5e5 * q};
        },
        1.25e-3);
    CHECK(std::isinf(time_to_reach_s(c, c.cut_in_m3, c.cut_out_m3, 0)));
    for (double const q : {1e-7, 1e-5})
        CHECK(tank_pressure_kpa(second_tank, settling_water_m3(c, q)) == Near{(1.3e-3 - q) / 4e-6, 0.05, 0});
}

TEST_CASE("one whole hour with all inputs, four demands") {
    // Recomputed with an integrator at 1e-12 and by quadrature. Starts full, contact open; 3600 s of steady
    // demand.
    auto const fine = second_curve(1000);
    CHECK(fine.cut_in_m3 == Near{0.010969733836459, 1e-14, 0});
    CHECK(fine.cut_out_m3 == Near{0.088358205608114, 1e-14, 0});
    for (auto const& [psi, q] : {std::pair{38., 9.122756541e-4},
                                 {40., 8.953650800e-4},
                                 {50., 8.055044466e-4},
                                 {60., 7.042699770e-4}})
        CHECK(flow_at_m3_s(fine, stored_water_m3(second_tank, psi * psi_kpa)) == Near{q, 0, 1e-7});
    struct Row {
        double q;
        long starts;
        double run_s, energy_j, pumped_m3, delivered_m3, unmet_m3, end_m3, end_psi;
        bool on;
    };
    for (Row const& r : {Row{0.25e-3, 8, 1109.520490270, 1557764.4386406, 0.896487896741, 0.9, 0,
                             0.084846102349, 58.780687275, false},
                         Row{0.60e-3, 7, 2697.134495997, 3774421.2783596, 2.154573564725, 2.16, 0,
                             0.082931770333, 58.132694351, true},
                         Row{0.80e-3, 1, 3503.264410285, 4927986.3285367, 2.849443836503, 2.88, 0,
                             0.057802042111, 50.576214419, true},
                         Row{1.00e-3, 1, 3522.611528228, 5128945.5302, 3.212668004720, 3.301026210328,
                             0.298973789672, 0, 38, true}}) {
        CAPTURE(r.q);
        for (int const nodes : {32, 1000}) {
            auto const c = second_curve(nodes);
            double const rel = nodes == 32 ? 1e-5 : 1e-7;
            SwitchedTank state{c.cut_out_m3, false};
            auto const t = run_switched(c, state, r.q, 3600);
            CHECK(t.starts == r.starts);
            CHECK(state.closed == r.on);
            CHECK(t.run_s == Near{r.run_s, 0, rel});
            CHECK(t.energy_j == Near{r.energy_j, 0, rel});
            CHECK(t.pumped_m3 == Near{r.pumped_m3, 0, rel});
            CHECK(r.q * 3600 - t.unmet_m3 == Near{r.delivered_m3, 0, rel});
            CHECK(t.unmet_m3 == Near{r.unmet_m3, 1e-12, 1e-5});
            CHECK(state.water_m3 == Near{r.end_m3, rel, 0});
            CHECK(tank_pressure_kpa(second_tank, state.water_m3) / psi_kpa ==
                  Near{r.end_psi, 100 * rel, rel});
            // Identities: water, and energy where power is linear in flow.
            CHECK(t.pumped_m3 - (r.q * 3600 - t.unmet_m3) == Near{state.water_m3 - c.cut_out_m3, 1e-12, 0});
            CHECK(t.energy_j == Near{1000 * t.run_s + 5e5 * t.pumped_m3, 0, 1e-12});
        }
    }
    // Periods: off and on s, J a cycle; and when the pump starts under the two larger demands.
    struct Period {
        double q, rest_s, run_s, energy_j;
    };
    for (Period const r : {Period{0.25e-3, 309.553887086620, 138.690061283776, 194720.554830075},
                           Period{0.60e-3, 128.980786286092, 392.099099288493, 548423.064960869}}) {
        auto const cycle = steady_cycle(fine, r.q);
        CHECK(cycle.rest_s == Near{r.rest_s, 1e-9, 0});
        CHECK(cycle.run_s == Near{r.run_s, 0, 1e-7});
        CHECK(cycle.energy_j == Near{r.energy_j, 0, 1e-7});
    }
    CHECK(drain_time_s(fine.cut_out_m3, fine.cut_in_m3, 0.8e-3) == Near{96.735589715, 1e-8, 0});
    CHECK(drain_time_s(fine.cut_out_m3, fine.cut_in_m3, 1e-3) == Near{77.388471772, 1e-8, 0});
    CHECK(settling_water_m3(fine, 0.8e-3) == Near{0.057809442208, 1e-8, 0});
    // Most starts in an hour over all demands: 9.371633 at 4.01e-4 m3/s, near half the mean pump flow.
    double most = 0, at = 0;
    for (double q = 3.5e-4; q < 4.5e-4; q += 1e-6)
        if (double const s = steady_cycle(fine, q).starts_per_h; s > most) {
            most = s;
            at = q;
        }
    CHECK(most == Near{9.371633, 1e-6, 0});
    CHECK(at == Near{4.01e-4, 1.01e-6, 0});
    CHECK(tank_pressure_kpa(second_tank, settling_water_m3(fine, 0.8e-3)) / psi_kpa ==
          Near{50.578208800, 1e-5, 0});
    CHECK(time_to_reach_s(fine, fine.cut_in_m3, 0, 1e-3) == Near{114.506440928, 1e-4, 0});
}

// Against the C library's functions of 64-bit mantissa, on both sides of where the series end.
TEST_CASE("exponential and logarithm over their argument are good through 0, to rounding") {
    double worst = 0;
    for (double size = 1e-12; size < 0.9; size *= 1.03)
        for (double const x : {size, -size}) {
            long double const w = x;
            long double const bend =
                size < 1e-2
                    ? 0.5L + w * (1 / 6.L + w * (1 / 24.L + w * (1 / 120.L + w * (1 / 720.L + w / 5040))))
                    : (std::expm1(w) - w) / (w * w);
            auto const off = [](double value, long double want) {
                return static_cast<double>(std::abs(value / want - 1));
            };
            worst = std::max({worst, off(fill_detail::expm1_over(x), std::expm1(w) / w),
                              off(fill_detail::log1p_over(x), std::log1p(w) / w)});
            // Beyond the series a difference costs some digits.
            CHECK(off(fill_detail::expm2_over(x), bend) < (size <= 0.05 ? 4e-16 : 2e-14));
        }
    CHECK(worst < 6e-16);
}

TEST_SUITE_END();
