#include "models/electric/inverter_overload.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

InverterParameters example() { return {6000, 60, 0.02, 0.05, {{2.0, 5}, {1.5, 30}, {1.1, 1800}}}; }

}  // namespace

TEST_SUITE_BEGIN("models/inverter_overload");

// Placeholder table, common practice, no source: 2.0 for 5 s, 1.5 for 30 s, 1.1 for 30 min.
TEST_CASE("the surge table is met at its rows and read in log time between") {
    auto const p = example();
    CHECK_NOTHROW(validate(p));
    struct Row {
        double ratio, seconds;
    };
    for (auto const& [ratio, seconds] : std::vector<Row>{{2.0, 5}, {1.5, 30}, {1.1, 1800}}) {
        CHECK(allowed_seconds(p, ratio) == Near{seconds, 0, 1e-12});
        CHECK(surge_ratio(p, seconds) == Near{ratio, 0, 1e-12});
    }
    CHECK(allowed_seconds(p, 1.75) == Near{std::sqrt(5.0 * 30), 0, 1e-12});
    CHECK(surge_ratio(p, std::sqrt(5.0 * 30)) == Near{1.75, 0, 1e-12});
    CHECK(allowed_seconds(p, 2.01) == 0);
    CHECK(std::isinf(allowed_seconds(p, 1.0)));
    CHECK(allowed_seconds(p, 1.05) == 1800);
    CHECK(surge_ratio(p, 0.5) == 2);
    CHECK(surge_ratio(p, 2000) == 1);
    CHECK(surge_va(p, 1) == 12000);
    InverterParameters const none{6000, 60, 0.02, 0.05, {}};
    CHECK(surge_ratio(none, 1) == 1);
    CHECK(allowed_seconds(none, 1.01) == 0);
}

TEST_CASE("overload adds up, recovers, and trips when the allowance is used") {
    auto const p = example();
    OverloadState s;
    s = after(p, s, 9000, 15, 120);  // 1.5 times for half of its 30 s
    CHECK(s.used == Near{0.5, 1e-12, 0});
    s = after(p, s, 3000, 30, 120);
    CHECK(s.used == Near{0.25, 1e-12, 0});
    s = after(p, s, 12000, 3.75, 120);
    CHECK(s.used == Near{1, 1e-12, 0});
    CHECK(after(p, {}, 13000, 0.01, 120).used == 1);
    CHECK(after(p, {0.1}, 0, 1000, 120).used == 0);
    CHECK(after(p, {0.1}, 13000, 0, 120).used == 0.1);
}

TEST_CASE("a pump between the legs loads both of them by half, beside what each has of its own") {
    auto const p = example();
    // 500 + 1000 W and 900 + 1000 W; the legs carry 3,000 VA each.
    auto const both = leg_balance(p, {500, 0, 900, 0, 2000, 0});
    CHECK(both.leg1_va == Near{1500, 1e-9, 0});
    CHECK(both.leg2_va == Near{1900, 1e-9, 0});
    CHECK(both.imbalance == Near{400.0 / 3400, 1e-12, 0});
    CHECK(both.worst_ratio == Near{1900.0 / 3000, 1e-12, 0});
    // One output carries the loads of both.
    auto single = p;
    single.legs = 1;
    CHECK(leg_balance(single, {500, 0, 900, 0, 0, 0}).leg1_va == Near{1400, 1e-9, 0});
}

// Legs of 3 kVA each. A 240 V pump splits evenly, a 120 V load adds to one leg.
TEST_CASE("legs are limited one by one") {
    auto const p = example();
    auto const pump = leg_balance(p, {.across_w = 4000, .across_var = 3000});
    CHECK(pump.leg1_va == Near{2500, 0, 1e-12});
    CHECK(pump.imbalance == 0);
    CHECK(pump.worst_ratio == Near{2500.0 / 3000, 0, 1e-12});
    auto const one_sided = leg_balance(p, {.leg1_w = 3300});
    CHECK(one_sided.imbalance == 1);
    CHECK(one_sided.worst_ratio == Near{1.1, 0, 1e-12});  // trips at little over half of the whole rating
    auto const both = leg_balance(p, {.leg1_w = 500, .across_w = 4000, .across_var = 3000});
    CHECK(both.leg1_va == Near{std::hypot(2500, 1500), 0, 1e-12});
    CHECK(both.leg2_va == Near{2500, 0, 1e-12});
    CHECK(leg_balance(p, {}).imbalance == 0);
    auto single = p;
    single.legs = 1;
    CHECK(leg_balance(single, {.leg1_w = 3000}).worst_ratio == 0.5);
    CHECK_THROWS_AS(leg_balance(single, {.across_w = 1000}), ParameterError);
}

// Three phases of 3 kVA. By hand: 1200 W on L1 leave 1800 W on it, so 5400 W balanced: with 300 W on L2 6900
// W in all, 2100 W below the rating. With 3.5 kVA a phase: 3 x 2300 + 1500 = 8400 W, 600 W below.
TEST_CASE("the fullest of three phases lowers what the inverter carries") {
    InverterParameters p{9000, 60, 0.02, 0.05, {}};
    p.legs = 3;
    CHECK(phase_rating_va(p) == 3000);
    CHECK(phase_imbalance_va(p, {{1200, 300, 0}, {}}) == Near{2100, 1e-9, 0});
    CHECK(phase_imbalance_va(p, {{0, 300, 1200}, {}}) == Near{2100, 1e-9, 0});
    CHECK(phase_imbalance_va(p, {{700, 700, 700}, {}}) == 0);
    CHECK(phase_imbalance_va(p, {{}, {}, 6000, 2000}) == 0);
    p.phase_va = 3500;
    CHECK_NOTHROW(validate(p));
    CHECK(phase_imbalance_va(p, {{1200, 300, 0}, {}}) == Near{600, 1e-9, 0});
    CHECK(phase_imbalance_va(p, {{400, 100, 0}, {}}) == 0);
    p.phase_va = 2900;
    CHECK_THROWS_AS(validate(p), ParameterError);
    p.phase_va = 0;
    // A motor of 3000 W and 2250 var loads each phase with 1000 W and 750 var.
    auto const va = phase_va({{1000, 0, 0}, {0, 0, 250}, 3000, 2250});
    CHECK(va[0] == Near{std::hypot(2000, 750), 0, 1e-12});
    CHECK(va[1] == Near{1250, 0, 1e-12});
    CHECK(va[2] == Near{std::hypot(1000, 1000), 0, 1e-12});
}

// Whatever fits by the imbalance fits on each phase, with any power factors.
TEST_CASE("what the imbalance allows overloads no phase") {
    InverterParameters p{9000, 60, 0.02, 0.05, {}};
    p.legs = 3;
    for (double const l1 : {0., 700., 2500.})
        for (double const q1 : {0., 500., 1500.})
            for (double const l2 : {0., 400.})
                for (double const q3 : {0., 900.}) {
                    PhaseLoad l{{l1, l2, 0}, {q1, 0, q3}};
                    double const room_va = p.rated_power_w - phase_imbalance_va(p, l);
                    double const sum_w = l1 + l2, sum_var = q1 + q3;
                    if (std::hypot(sum_w, sum_var) > room_va) continue;
                    l.balanced_w = std::sqrt(room_va * room_va - sum_var * sum_var) - sum_w;
                    for (double const va : phase_va(l)) CHECK(va <= 3000 * (1 + 1e-12));
                }
}

TEST_CASE("three restarts, then locked out; a quiet time clears the count") {
    TripParameters const p;
    CHECK_NOTHROW(validate(p));
    TripState s;
    for (int i = 0; i < 3; ++i) {
        double const now_s = 60 * i;
        s = after_trip(p, s, now_s);
        CHECK(!s.locked_out);
        CHECK(restart_at_s(p, s) == now_s + 45);
    }
    CHECK(after_trip(p, s, 1000).trips == 1);
    s = after_trip(p, s, 180);
    CHECK(s.locked_out);
    CHECK(std::isinf(restart_at_s(p, s)));
    CHECK_THROWS_AS(validate(TripParameters{45, 3, 30}), ParameterError);
}

TEST_SUITE_END();
