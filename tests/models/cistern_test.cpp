#include "models/water/cistern.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <tuple>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/water_units.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

namespace {

CisternParameters five_m3() {
    CisternParameters p;
    p.capacity_m3 = 5;
    p.fill_start_m3 = 2.0;
    p.fill_stop_m3 = 4.5;
    return p;
}

}  // namespace

TEST_SUITE_BEGIN("models/cistern");

TEST_CASE("one day of float-switch filling") {
    // Recomputed: 3.0 m3 at first, 0.10e-3 m3/s drawn, well 0.30e-3 m3/s against 60 m at 0.40 wire to water,
    // 441.29925 W. On 10000..22500, 47500..60000, 85000..86400 s: 3 starts, 26400 s, 7.92 m3 pumped, 8.64 m3
    // drawn, 2.28 m3 left.
    auto const p = five_m3();
    double const q = 0.10e-3, well = 0.30e-3;
    double volume = 3.0, t = 0, on_s = 0, pumped = 0, delivered = 0;
    std::vector<double> switched;
    bool on = false;
    while (t < 86400) {
        double const target = on ? p.fill_stop_m3 : p.fill_start_m3;
        double const step_s = std::min(time_to_level_s(volume, target, on ? well : 0, q), 86400 - t);
        auto const step = advance(p, volume, on ? well : 0, q, step_s);
        delivered += step.delivered_m3;
        if (on) on_s += step_s, pumped += well * step_s;
        t += step_s;
        volume = step.volume_m3;
        if (t >= 86400) break;
        volume = target;
        on = filling_called(p, FillRule::level, volume, on, false);
        switched.push_back(t);
    }
    std::vector<double> const expected{10000, 22500, 47500, 60000, 85000};
    REQUIRE(switched.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) CHECK(switched[i] == Near{expected[i], 1e-6, 0});
    CHECK(on_s == Near{26400, 1e-6, 0});
    CHECK(pumped == Near{7.92, 1e-9, 0});
    CHECK(delivered == Near{8.64, 1e-9, 0});
    CHECK(volume == Near{2.28, 1e-9, 0});
    double const power_w = hydraulic_power_w(well, 60, {1000, 1e-3}) / 0.40;
    CHECK(power_w == Near{441.29925, 1e-5, 0});
    CHECK(power_w * on_s / 3.6e6 == Near{3.2361945, 1e-7, 0});
}

TEST_CASE("water already lifted, as electricity") {
    // Recomputed. 2500 gal through 250 ft (999.7 kg/m3 would give 0.03 % less): 1.964384 kWh, at
    // 0.35 5.612524 kWh; through a 50 psi booster at 0.30 3.020775 kWh; 1000 gal by 92.4 ft 0.29033 kWh.
    Water const w{1000, 1e-3};
    CHECK(hydraulic_power_w(2500 * gal_m3, 250 * foot_m, w) / 3.6e6 == Near{1.964384, 1e-6, 0});
    CHECK(hydraulic_power_w(2500 * gal_m3, 250 * foot_m, w) / 3.6e6 / 0.35 == Near{5.612524, 1e-6, 0});
    CHECK(2500 * gal_m3 * 50 * psi_kpa / 3600 / 0.30 == Near{3.020775, 1e-6, 0});
    CHECK(hydraulic_power_w(1000 * gal_m3, 92.4 * foot_m, {999.7, 1e-3}) / 3.6e6 == Near{0.29033, 1e-5, 0});
    // 300 gal a day: direct through 273.34 ft at 0.378; by cistern 147 ft at 0.36 and 50 psi at 0.30. 999.7
    // kg/m3.
    Water const cool{999.7, 1e-3};
    double const direct = hydraulic_power_w(300 * gal_m3, 273.34 * foot_m, cool) / 3.6e6 / 0.378;
    double const lift = hydraulic_power_w(300 * gal_m3, 147 * foot_m, cool) / 3.6e6 / 0.36;
    double const boost = 300 * gal_m3 * 50 * psi_kpa / 3600 / 0.30;
    CHECK(direct == Near{0.6816, 6e-5, 0});
    CHECK(lift == Near{0.3849, 6e-5, 0});
    CHECK(boost == Near{0.3625, 6e-5, 0});
    CHECK(lift + boost == Near{0.7474, 6e-5, 0});
    CHECK((lift + boost) / direct - 1 == Near{0.096, 1e-3, 0});
    CHECK(direct / 0.9 / 0.96 == Near{0.7889, 6e-5, 0});
    // 1.2 m3 a day, 70 m and 35.2 m: 0.764192 direct at 0.45; 0.508493 at 0.45 and 0.383549 at 0.30
    CHECK(hydraulic_power_w(1.2, 105.2, w) / 3.6e6 / 0.45 == Near{0.764192, 1e-6, 0});
    CHECK(hydraulic_power_w(1.2, 70, w) / 3.6e6 / 0.45 == Near{0.508493, 1e-6, 0});
    CHECK(hydraulic_power_w(1.2, 35.2, w) / 3.6e6 / 0.30 == Near{0.383549, 1e-6, 0});
    // kWh per m3 by lift and efficiency
    struct Row {
        double lift_m, ideal, at_25, at_35, at_45, at_55;
    };
    for (Row const r :
         {Row{10, .027241, .10896, .07783, .06053, .04953}, Row{30, .081722, .32689, .23349, .18160, .14859},
          Row{50, .136203, .54481, .38915, .30267, .24764}, Row{80, .217926, .87170, .62264, .48428, .39623},
          Row{100, .272407, 1.08963, .77831, .60535, .49529}}) {
        double const kwh = hydraulic_power_w(1, r.lift_m, w) / 3.6e6;
        CHECK(kwh == Near{r.ideal, 6e-7, 0});
        CHECK(kwh / 0.25 == Near{r.at_25, 6e-6, 0});
        CHECK(kwh / 0.35 == Near{r.at_35, 6e-6, 0});
        CHECK(kwh / 0.45 == Near{r.at_45, 6e-6, 0});
        CHECK(kwh / 0.55 == Near{r.at_55, 6e-6, 0});
    }
    // Battery that carries it through inverter 0.92, discharge 0.96 and 80 % usable: 1.081567 and 0.542840
    // kWh.
    CHECK(0.764192 / (0.92 * 0.96 * 0.80) == Near{1.081567, 2e-6, 0});
    CHECK(0.383549 / (0.92 * 0.96 * 0.80) == Near{0.542840, 2e-6, 0});
}

TEST_CASE("pressure by height") {
    // Recomputed: 40 psi needs 28.131222 m (92.294 ft) at 999.7 kg/m3; a 30 m hill gives 42.7 psi.
    auto p = five_m3();
    p.floor_elevation_m = 28.131222;
    CHECK(gravity_pressure_kpa(p, 3, 0, {999.7, 1e-3}) / psi_kpa == Near{40, 1e-6, 0});
    p.floor_elevation_m = 30;
    CHECK(gravity_pressure_kpa(p, 3, 0, {1000, 1e-3}) / psi_kpa == Near{42.7, 0.05, 0});
    p.floor_area_m2 = 2;
    CHECK(gravity_pressure_kpa(p, 3, 31.5, {1000, 1e-3}) == Near{0, 1e-12, 0});
    CHECK(gravity_pressure_kpa(p, 1, 31.5, {1000, 1e-3}) < 0);
}

TEST_CASE("edges: dry, spilling, and the reserve ordinary use may not touch") {
    auto p = five_m3();
    p.dead_m3 = 0.2;
    p.reserve_m3 = 1;
    CHECK(usable_from_m3(p) == Near{1.2, 1e-15, 0});
    CHECK(autonomy_days(p, 4.2, 1.5) == Near{2, 1e-12, 0});
    CHECK(autonomy_days(p, 1, 1.5) == 0);
    CHECK(std::isinf(autonomy_days(p, 1, 0)));
    auto const dry =
        advance(p, 2.2, 1e-4, 1e-3, 3600);  // reaches the band after 1111 s, then only the inflow
    CHECK(dry.volume_m3 == Near{1.2, 1e-12, 0});
    CHECK(dry.delivered_m3 == Near{1 + 0.36, 1e-12, 0});
    CHECK(dry.unmet_m3 == Near{3.6 - 1.36, 1e-12, 0});
    auto const fire = advance(p, 2.2, 1e-4, 1e-3, 3600, true);
    CHECK(fire.volume_m3 == Near{0.2, 1e-12, 0});
    CHECK(fire.delivered_m3 == Near{2.36, 1e-12, 0});
    auto const spill = advance(p, 4.9, 1e-3, 1e-4, 3600);
    CHECK(spill.volume_m3 == 5);
    CHECK(spill.spilled_m3 == Near{3.24 - 0.1, 1e-12, 0});
    CHECK(spill.delivered_m3 == Near{0.36, 1e-12, 0});
    // After a fire the reserve is refilled first: normal use gets nothing during 1000 s.
    auto const after = advance(p, 0.2, 1e-3, 5e-4, 1500);
    CHECK(after.volume_m3 == Near{1.2 + 0.25, 1e-12, 0});
    CHECK(after.delivered_m3 == Near{0.25, 1e-12, 0});
    CHECK(after.unmet_m3 == Near{0.5, 1e-12, 0});
    CHECK(time_to_level_s(3, 2, 0, 1e-4) == Near{1e4, 1e-9, 0});
    CHECK(std::isinf(time_to_level_s(3, 2, 2e-4, 1e-4)));
    CHECK(std::isinf(time_to_level_s(3, 2, 1e-4, 1e-4)));
}

TEST_CASE("water is neither made nor lost, and steps join up") {
    std::mt19937_64 random(41);
    std::uniform_real_distribution<double> any(0, 1);
    auto p = five_m3();
    p.dead_m3 = 0.3;
    p.reserve_m3 = 0.8;
    for (int i = 0; i < 500; ++i) {
        double const from = 5 * any(random), in = 1e-3 * any(random) * (i % 5 != 0),
                     out = 1e-3 * any(random) * (i % 7 != 0);
        double const a = 5000 * any(random), b = 5000 * any(random);
        bool const open = i % 2 == 0;
        auto const one = advance(p, from, in, out, a + b, open);
        CHECK(one.volume_m3 - from == Near{in * (a + b) - one.delivered_m3 - one.spilled_m3, 1e-12, 0});
        CHECK(one.delivered_m3 + one.unmet_m3 == Near{out * (a + b), 1e-12, 0});
        CHECK(one.delivered_m3 >= 0);
        CHECK(one.unmet_m3 >= 0);
        CHECK(one.spilled_m3 >= 0);
        CHECK(one.volume_m3 <= 5 + 1e-12);
        auto const first = advance(p, from, in, out, a, open),
                   then = advance(p, first.volume_m3, in, out, b, open);
        CHECK(then.volume_m3 == Near{one.volume_m3, 1e-11, 0});
        CHECK(first.unmet_m3 + then.unmet_m3 == Near{one.unmet_m3, 1e-11, 0});
        CHECK(first.spilled_m3 + then.spilled_m3 == Near{one.spilled_m3, 1e-11, 0});
    }
}

TEST_CASE("when filling is called") {
    auto p = five_m3();
    p.fill_enough_m3 = 3;
    // By water level: hysteresis between 2.0 and 4.5, the sun does not matter.
    CHECK(filling_called(p, FillRule::level, 2.0, false, false));
    CHECK_FALSE(filling_called(p, FillRule::level, 2.1, false, true));
    CHECK(filling_called(p, FillRule::level, 4.4, true, false));
    CHECK_FALSE(filling_called(p, FillRule::level, 4.5, true, true));
    // With sun up to the stop level; with stored energy from 2.0 only up to 3.
    CHECK(filling_called(p, FillRule::surplus_or_low, 4.4, false, true));
    CHECK_FALSE(filling_called(p, FillRule::surplus_or_low, 4.4, true, false));
    CHECK(filling_called(p, FillRule::surplus_or_low, 2.0, false, false));
    CHECK(filling_called(p, FillRule::surplus_or_low, 2.9, true, false));
    CHECK_FALSE(filling_called(p, FillRule::surplus_or_low, 2.9, false, false));
    CHECK_FALSE(filling_called(p, FillRule::surplus_or_low, 3.0, true, false));
    // Only with sun.
    CHECK_FALSE(filling_called(p, FillRule::surplus_only, 0.1, false, false));
    CHECK(filling_called(p, FillRule::surplus_only, 4.4, false, true));
    CHECK_FALSE(filling_called(p, FillRule::surplus_only, 4.5, false, true));
}

TEST_CASE("trough with a float valve") {
    TroughParameters const t{1.0, 0.6, 3 * gpm_m3_s};
    CHECK_NOTHROW(validate(t));
    TroughState state{1.0, false};
    double const drinking = 1e-4;
    CHECK(time_to_change_s(t, state, drinking) == Near{0.4 / 1e-4, 1e-9, 0});
    auto const a = advance(t, state, drinking, 4000);
    CHECK(state.open);
    CHECK(state.volume_m3 == Near{0.6, 1e-12, 0});
    CHECK(a.drawn_m3 == 0);
    double const fill_s = 0.4 / (3 * gpm_m3_s - drinking);
    CHECK(time_to_change_s(t, state, drinking) == Near{fill_s, 1e-6, 0});
    auto const b = advance(t, state, drinking, fill_s + 100);
    CHECK_FALSE(state.open);
    CHECK(b.open_s == Near{fill_s, 1e-6, 0});
    CHECK(b.drawn_m3 == Near{3 * gpm_m3_s * fill_s, 1e-9, 0});
    CHECK(state.volume_m3 == Near{1 - 100 * drinking, 1e-9, 0});
    // Without water in the system the animals empty it.
    TroughState dry{0.5, true};
    auto const c = advance(t, dry, drinking, 7200, false);
    CHECK(dry.volume_m3 == 0);
    CHECK(c.unmet_m3 == Near{0.72 - 0.5, 1e-12, 0});
    CHECK(c.drawn_m3 == 0);
    // A long day: balance, with water drawn in many short draws.
    std::mt19937_64 random(2);
    TroughState day{1.0, false};
    double drawn = 0, drunk = 0;
    for (int i = 0; i < 2000; ++i) {
        double const d = 3e-4 * static_cast<double>(random() >> 11) * 0x1p-53;
        auto const s = advance(t, day, d, 300);
        drawn += s.drawn_m3;
        drunk += d * 300 - s.unmet_m3;
        CHECK(day.volume_m3 >= 0);
        CHECK(day.volume_m3 <= 1);
    }
    CHECK(1 + drawn - drunk == Near{day.volume_m3, 1e-9, 0});
    CHECK(drawn > 50);
}

TEST_CASE("cisterns and troughs that cannot be are refused with their physical reason") {
    auto const refused = [](auto change, char const* field, char const* part) {
        auto p = five_m3();
        change(p);
        try {
            validate(p);
            FAIL("accepted ", field);
        } catch (ParameterError const& e) {
            CHECK(e.field() == field);
            CHECK(e.rule().find(part) != std::string::npos);
        }
    };
    CHECK_NOTHROW(validate(five_m3()));
    refused([](auto& p) { p.capacity_m3 = 0; }, "capacity_m3", "> 0");
    refused([](auto& p) { p.reserve_m3 = 5; }, "reserve_m3", "something usable");
    refused([](auto& p) { p.reserve_m3 = 3; }, "fill_start_m3", "taps are dry");
    refused([](auto& p) { p.fill_stop_m3 = 1; }, "fill_stop_m3", "above the level");
    refused([](auto& p) { p.fill_stop_m3 = 6; }, "fill_stop_m3", "spill for ever");
    refused([](auto& p) { p.fill_enough_m3 = 1; }, "fill_enough_m3", "above the start");
    refused([](auto& p) { p.dead_m3 = std::nan(""); }, "dead_m3", ">= 0");
    CHECK_THROWS_AS(validate(TroughParameters{1, 1, 1e-4}), ParameterError);
    CHECK_THROWS_AS(validate(TroughParameters{1, 0.5, 0}), ParameterError);
}

TEST_SUITE_END();
