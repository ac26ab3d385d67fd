#include "sim/supply/quick_hour.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "models/battery/battery.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

namespace {

// Two wells that level out within the hour and lose as much as a weak charge gives; no other losses.
sim::QuickSupply<double> leaking_wells() {
    sim::QuickSupply<double> s{};
    s.battery = {10, 1, 1, 0, 5, 5, 0.01};
    s.inverter = {1000, 0, 0, 0, 0, 0};
    s.controller_efficiency = 1;
    s.controller_limit_w = 5000;
    s.wells = {10, 0.4, 5, 0.01};
    s.prepare();
    return s;
}

sim::QuickHour<double> hour_of(sim::QuickSupply<double> const& s, models::TwoWellState const& from,
                               double sun_w) {
    std::array<sim::PumpStretch, 1> const idle{{{1, 0}}};
    double inverter_kwh = 0;
    auto const stretch_of = [&](sim::PumpStretch const& p) { return s.stretch<true>(p, 0.0, inverter_kwh); };
    return sim::quick_hour<true>(s, sun_w, idle, stretch_of, models::levels_of(s.wells, from));
}

}  // namespace

TEST_SUITE_BEGIN("sim/quick_hour");

TEST_CASE("an available well that a weak charge fills for minutes only is no quick hour") {
    auto const s = leaking_wells();
    double const full_kwh = 4, deficit_kwh = 2e-4, charge_kw = 0.06;
    models::TwoWellState const from{full_kwh - deficit_kwh, 6};
    // What makes it one to be looked at: it is above full after two minutes, and below at the end.
    CHECK(models::after(s.wells, from, -charge_kw, 2.0 / 60).available_kwh > full_kwh);
    CHECK(models::after(s.wells, from, -charge_kw, 1).available_kwh < full_kwh);
    CHECK(hour_of(s, from, 1e3 * charge_kw).lowest_kwh == -std::numeric_limits<double>::infinity());
}

TEST_CASE("a charge above what a full battery loses keeps an available well full, and that is quick") {
    auto const s = leaking_wells();
    models::TwoWellState const from{4 - 2e-4, 6};
    // It loses 0.1 kW when full.
    double const charge_kw = 0.12;
    auto const q = hour_of(s, from, 1e3 * charge_kw);
    CHECK(q.lowest_kwh > 0);
    CHECK(models::available_kwh(s.wells, q.battery) == Near(4, 1e-12, 0));
    // Against steps of a second: fed until it is full, then what holds it there.
    models::TwoWellState state = from;
    double filled_kwh = 0;
    int const steps = 3600;
    for (int i = 0; i < steps; ++i) {
        double const most_kw = models::max_fill_kw(s.wells, state, 1.0 / steps);
        double const fill_kw = std::min(charge_kw, most_kw);
        state = models::after(s.wells, state, -fill_kw, 1.0 / steps);
        filled_kwh += fill_kw / steps;
    }
    CHECK(models::stored_kwh(state) == Near(q.battery.stored_kwh, 1e-9, 0));
    CHECK(filled_kwh == Near(q.charged_kwh, 1e-6, 0));
}

TEST_CASE("two hours on end are the first and then the second, their sums and all") {
    auto const s = leaking_wells();
    std::array<sim::PumpStretch, 2> const pumping{{{0.25, 700}, {0.75, 0}}};
    double inverter_kwh = 0;
    auto const stretch_of = [&](sim::PumpStretch const& p) {
        return s.stretch<true>(p, 100.0, inverter_kwh);
    };
    models::TwoWellLevels<double> const from = models::levels_of(s.wells, {3, 5});
    auto const first = sim::quick_hour<true>(s, 0.0, pumping, stretch_of, from);
    auto const second = sim::quick_hour<true>(s, 600.0, pumping, stretch_of, first.battery);
    sim::QuickHour<double> both{.battery = from, .lowest_kwh = from.stored_kwh};
    for (double const sun_w : {0.0, 600.0}) sim::go_through<true>(s, sun_w, pumping, stretch_of, both);
    CHECK(both.battery.stored_kwh == second.battery.stored_kwh);
    CHECK(both.battery.head_kwh == second.battery.head_kwh);
    CHECK(both.lowest_kwh == std::min(first.lowest_kwh, second.lowest_kwh));
    CHECK(both.charged_kwh == Near(first.charged_kwh + second.charged_kwh, 1e-12, 0));
    CHECK(both.discharged_kwh == Near(first.discharged_kwh + second.discharged_kwh, 1e-12, 0));
    CHECK(both.self_loss_kwh == Near(first.self_loss_kwh + second.self_loss_kwh, 1e-12, 0));
}

TEST_SUITE_END();
