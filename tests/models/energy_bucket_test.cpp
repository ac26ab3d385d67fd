#include "models/battery/energy_bucket.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

EnergyBucketParameters example() { return {10, 0.95, 0.95, 0.2, 5, 5, 0.02 / 720}; }

}  // namespace

TEST_SUITE_BEGIN("models/energy_bucket");

// Derivation from the energy balance, hourly form: self-discharge first, then the power. Rows recomputed
// from the equations as printed: capacity 10 kWh, start 5, both efficiencies 0.95, 2 % self-discharge in
// 720 h, depth 0.8, steps of 1 h. Printed to 1e-6, hence the tolerance.
TEST_CASE("the hourly form is met when self-discharge and power act one after the other") {
    auto resting = example(), working = example();
    working.self_discharge_per_h = 0;
    double stored_kwh = 5;
    auto const hour = [&](double power_kw) {
        stored_kwh = after(resting, stored_kwh, 0, 1).stored_kwh;
        stored_kwh = after(working, stored_kwh, power_kw, 1).stored_kwh;
    };
    hour(-2);
    CHECK(stored_kwh == Near{6.899861, 1e-6, 0});
    hour(3);
    CHECK(stored_kwh == Near{3.741775, 1e-6, 0});
    double const rested_kwh = after(resting, stored_kwh, 0, 1).stored_kwh;
    CHECK(max_discharge_kw(working, rested_kwh, 1) == Near{1.654587, 1e-6, 0});
    working.charge_limit_kw = infinite;
    CHECK(max_charge_kw(working, rested_kwh, 1) == Near{6.587715, 1e-6, 0});
}

// Our step lets both act together, which is what a battery does. The difference from the hourly form is
// w s dt^2 / 2 to first order (w: power into the store): 2.6e-5 kWh for the first step above.
TEST_CASE("the exact step differs from the hourly form by half a step of self-discharge on the flow") {
    auto const p = example();
    double const step_kwh = after(p, 5, -2, 1).stored_kwh;
    CHECK(step_kwh - 6.899861 == Near{-1.9 * p.self_discharge_per_h / 2, 1e-6, 0});
    CHECK(step_kwh == Near{5 * std::exp(-p.self_discharge_per_h) +
                               1.9 * (1 - std::exp(-p.self_discharge_per_h)) / p.self_discharge_per_h,
                           0, 1e-11});
}

// 3 % a month over 730 h, recomputed: 4.172e-5 1/h.
TEST_CASE("monthly self-discharge becomes an hourly rate") {
    CHECK(self_discharge_per_h(0.03) == Near{4.172e-5, 0.0005e-5, 0});
    CHECK(std::exp(-730 * self_discharge_per_h(0.03)) == Near{0.97, 0, 1e-12});
}

TEST_CASE("laws hold for any power and length: balance, step splitting, time to a level") {
    std::mt19937_64 engine(7);
    auto const uniform = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
    };
    for (int i = 0; i < 2000; ++i) {
        double const s = i % 3 == 0 ? 0 : std::pow(10, uniform(-9, -1.3));
        EnergyBucketParameters const p{uniform(1, 40), uniform(0.7, 1), uniform(0.7, 1), 0.1, 9, 9, s};
        double const stored_kwh = uniform(0, 1) * p.capacity_kwh;
        double const power_kw = uniform(-3, 3), hours = uniform(0, 3), cut = uniform(0, 1);
        CAPTURE(i);
        auto const whole = after(p, stored_kwh, power_kw, hours);
        auto const first = after(p, stored_kwh, power_kw, hours * cut);
        auto const second = after(p, first.stored_kwh, power_kw, hours * (1 - cut));
        CHECK(second.stored_kwh == Near{whole.stored_kwh, 1e-12, 0});
        CHECK(first.loss_kwh + second.loss_kwh == Near{whole.loss_kwh, 1e-12, 0});
        CHECK(first.self_loss_kwh + second.self_loss_kwh == Near{whole.self_loss_kwh, 1e-12, 0});
        CHECK(whole.loss_kwh >= 0);
        double const balance_kwh =
            whole.stored_kwh - stored_kwh + power_kw * hours + whole.loss_kwh + whole.self_loss_kwh;
        CHECK(balance_kwh == Near{0, 1e-13, 0});
        if (whole.stored_kwh > 0 && std::abs(power_kw) > 1e-3) {
            CHECK(hours_until(p, stored_kwh, power_kw, whole.stored_kwh) == Near{hours, 1e-9, 0});
        }
        // The most even powers end exactly at the limits when the hardware does not bind.
        double const give_kw = max_discharge_kw(p, stored_kwh, 2), take_kw = max_charge_kw(p, stored_kwh, 2);
        if (give_kw > 0 && give_kw < 9) {
            CHECK(after(p, stored_kwh, give_kw, 2).stored_kwh == Near{0.1 * p.capacity_kwh, 1e-12, 0});
        }
        if (take_kw > 0 && take_kw < 9) {
            CHECK(after(p, stored_kwh, -take_kw, 2).stored_kwh == Near{p.capacity_kwh, 1e-12, 0});
        }
    }
}

TEST_CASE("holding power keeps the store where it is, and charging less never fills it") {
    auto const p = example();
    double const hold_kw = holding_power_kw(p, 10);
    CHECK(hold_kw < 0);
    CHECK(after(p, 10, hold_kw, 1000).stored_kwh == Near{10, 1e-12, 0});
    CHECK(std::isinf(hours_until(p, 5, 0.5 * hold_kw, 10)));
    CHECK(std::isinf(hours_until_limit(p, 5, 0.1 * hold_kw)));
}

TEST_CASE("ends of a step: 0 at the limit, never at rest, nothing divides by zero") {
    auto p = example();
    CHECK(hours_until_limit(p, 2, 1) == 0);
    CHECK(hours_until_limit(p, 10, -1) == 0);
    CHECK(std::isinf(hours_until_limit(p, 1, 0)));
    CHECK(hours_until(p, 5, 1, 5) == 0);
    CHECK(std::isinf(hours_until(p, 5, 1, 6)));
    p.self_discharge_per_h = 0;
    CHECK(hours_until_limit(p, 5, 1.9) == Near{3 * 0.95 / 1.9, 0, 1e-14});
    CHECK(std::isinf(hours_until(p, 5, 0, 6)));
    p.capacity_kwh = 0;
    CHECK(max_discharge_kw(p, 0, 1) == 0);
    CHECK(max_charge_kw(p, 0, 1) == 0);
    CHECK(hours_until_limit(p, 0, 1) == 0);
    CHECK(hours_until_limit(p, 0, -1) == 0);
}

TEST_CASE("bad parameters are refused by name and rule") {
    auto const refused = [](auto change) {
        auto p = example();
        change(p);
        CHECK_THROWS_AS(validate(p), ParameterError);
    };
    CHECK_NOTHROW(validate(example()));
    refused([](auto& p) { p.capacity_kwh = -1; });
    refused([](auto& p) { p.charge_efficiency = 1.01; });
    refused([](auto& p) { p.discharge_efficiency = 0; });
    refused([](auto& p) { p.charge_limit_kw = std::nan(""); });
    refused([](auto& p) { p.self_discharge_per_h = 3; });
    auto p = example();
    p.min_soc = 1;
    CHECK_THROWS_WITH_AS(
        validate(p),
        "min_soc = 1 (must be at least 0 and below 1: it is 1 minus the depth of discharge allowed)",
        ParameterError);
}

TEST_SUITE_END();
