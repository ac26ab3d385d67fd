#include "models/numeric/lanes.hpp"

#include <doctest/doctest.h>

#include <random>

#include "models/battery/energy_bucket.hpp"
#include "models/electric/inverter.hpp"

using namespace holdwater::models;

namespace {

struct Random {
    std::mt19937_64 engine{7};
    double operator()(double low, double high) {
        return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
    }
    Lanes lanes(double low, double high) {
        Lanes r = 0;
        for (std::size_t i = 0; i < Lanes::count; ++i) r.set(i, (*this)(low, high));
        return r;
    }
};

EnergyBucketParameters one_of(EnergyBucketOf<Lanes> const& p, std::size_t i) {
    return {p.capacity_kwh[i],    p.charge_efficiency[i],  p.discharge_efficiency[i], p.min_soc[i],
            p.charge_limit_kw[i], p.discharge_limit_kw[i], p.self_discharge_per_h[i]};
}

}  // namespace

TEST_SUITE_BEGIN("models/lanes");

// Arithmetic in lanes is IEEE arithmetic of doubles: the same bits, not only the same figures.
TEST_CASE("a formula gives in every lane the bits it gives for a double") {
    Random draw;
    int different = 0;
    for (int round = 0; round < 2000; ++round) {
        // Rates on both sides of the series' limit, and none at all.
        double const rate = round % 3 == 0 ? 0 : round % 3 == 1 ? 1e-4 : 0.09;
        EnergyBucketOf<Lanes> const battery{draw.lanes(1, 40), draw.lanes(0.7, 1), draw.lanes(0.7, 1), 0.1,
                                            draw.lanes(1, 9),  draw.lanes(1, 9),   draw.lanes(0, rate)};
        Lanes const stored = battery.capacity_kwh * draw.lanes(0, 1), power = draw.lanes(-5, 5),
                    hours = draw.lanes(0, 1);
        auto const step = after(battery, stored, power, hours);
        Lanes const until = hours_until(battery, stored, power, battery.capacity_kwh);
        InverterLossOf<Lanes> const inverter{
            draw.lanes(1e3, 8e3), draw.lanes(0, 60),   0.02,
            draw.lanes(0, 1e-5),  draw.lanes(-20, 20), draw.lanes(1e-3, 2e-3)};
        Lanes const dc = dc_input_w(inverter, 1e3 * stored);
        for (std::size_t i = 0; i < Lanes::count; ++i) {
            auto const p = one_of(battery, i);
            auto const one = after(p, stored[i], power[i], hours[i]);
            InverterLossOf<double> const loss{
                inverter.rated_power_w[i], inverter.idle_w[i],  inverter.k1[i],
                inverter.k2_per_w[i],      inverter.extra_w[i], inverter.extra_share_per_w[i]};
            different += one.stored_kwh != step.stored_kwh[i];
            different += one.loss_kwh != step.loss_kwh[i];
            different += one.self_loss_kwh != step.self_loss_kwh[i];
            different += hours_until(p, stored[i], power[i], p.capacity_kwh) != until[i];
            different += dc_input_w(loss, 1e3 * stored[i]) != dc[i];
        }
    }
    // hours_until takes the logarithm for all lanes as soon as one needs it: the last bit of the others.
    CHECK(different < 400);
    MESSAGE(different, " of 80000 differ in the last bit");
}

TEST_CASE("choosing, least, most, any and all act lane by lane") {
    Lanes a = 1, b = 2;
    a.set(3, 5);
    CHECK(least(a, b)[3] == 2);
    CHECK(least(a, b)[0] == 1);
    CHECK(most(a, b)[3] == 5);
    CHECK(any(a > b));
    CHECK(!all(a > b));
    CHECK(all(pick(a > b, b, a) <= b));
    CHECK((a > b)[3]);
    CHECK(!(a > b)[2]);
    CHECK((!(a > b))[2]);
    CHECK(expm1(a)[3] == std::expm1(5.0));
}

TEST_SUITE_END();
