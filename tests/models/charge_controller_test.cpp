#include "models/array/charge_controller.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

namespace {

constexpr double all_of_it = std::numeric_limits<double>::infinity();

/// Module C, 36 cells, invented.
SingleDiodeParameters const module_c{.a_v = 0.95,
                                     .light_current_a = 8.70,
                                     .saturation_current_a = 5.0e-10,
                                     .series_ohm = 0.20,
                                     .shunt_ohm = 150,
                                     .alpha_a_per_k = 0.0044};

ArrayCurve curve(SingleDiodeParameters const& m, double s, double tc, int series = 1, int strings = 1) {
    PvArrayParameters p;
    p.module_model = ModuleModel::single_diode;
    p.diode = m;
    p.modules_in_series = series;
    p.strings_in_parallel = strings;
    return array_curve(p, {s, s, tc});
}

ChargeControllerParameters direct() {
    ChargeControllerParameters p;
    p.kind = ControllerKind::direct;
    return p;
}

double total_w(ControllerFlows const& f) {
    return f.output_w + f.heat_w + f.curtailed_by_controller_w + f.curtailed_by_battery_w + f.window_loss_w;
}

}  // namespace

TEST_SUITE_BEGIN("models/charge_controller");

TEST_CASE("a switch on one 36-cell module") {
    // Recomputed from the single-diode equations (single_diode.hpp) and P = Vbat I(Vbat + drop); invented
    // module. Printed to 0.001 W; checked to half of the last printed digit.
    struct Row {
        double cell_c, battery_v, output_w;
    };
    Row const rows[] = {{25, 12.5, 107.490}, {55, 12.5, 108.357}, {55, 14.4, 120.159}};
    for (auto const& r : rows) {
        CAPTURE(r.cell_c);
        CAPTURE(r.battery_v);
        auto const point =
            controller_point(direct(), curve(module_c, 1000, r.cell_c), r.battery_v, all_of_it, false);
        CHECK(point.flows.output_w == Near{r.output_w, 5.1e-4, 0});
        CHECK(point.array_v == r.battery_v + 0.5);
    }
    // 73.7 % and 86.5 % of the best power: hot modules narrow the gain of a tracking controller.
    auto const cold = controller_point(direct(), curve(module_c, 1000, 25), 12.5, all_of_it, false).flows;
    auto const hot = controller_point(direct(), curve(module_c, 1000, 55), 12.5, all_of_it, false).flows;
    CHECK(cold.output_w / cold.offered_w == Near{0.737, 5e-4, 0});
    CHECK(hot.output_w / hot.offered_w == Near{0.865, 5e-4, 0});
}

TEST_CASE("a switch on a 72-cell module at a 24 V battery") {
    // Recomputed likewise; invented module A: array at 26.4 V, battery 25.9 V, 261.63 W of 388.71 W.
    auto const f = controller_point(direct(), curve({}, 1000, 25), 25.9, all_of_it, false).flows;
    CHECK(f.output_w == Near{261.63, 5.1e-3, 0});
    CHECK(f.offered_w == Near{388.71, 5.1e-3, 0});
}

TEST_CASE("a tracking controller on the same module") {
    // Recomputed: 0.96 x 125.27166 W = 120.261 W.
    auto const point = controller_point({}, curve(module_c, 1000, 55), 12.5, all_of_it, true);
    CHECK(point.flows.output_w == Near{120.261, 5.1e-4, 0});
    CHECK(point.flows.window_loss_w == 0);
}

TEST_CASE("current limit clips at the array, without heat") {
    // Recomputed: 2 x 5 modules A, efficiency 0.97, battery 51.2 V: 3770.48 W would be 73.642 A; 60 A pass
    // 3072 W and 698.48 W (counted at the output; 698.48/0.97 at the array) stay on the roof.
    ChargeControllerParameters p;
    p.efficiency = 0.97;
    auto const c = curve({}, 1000, 25, 2, 5);
    double const free_w = controller_point(p, c, 51.2, all_of_it, true).flows.output_w;
    CHECK(free_w == Near{3770.48, 5.1e-3, 0});
    CHECK(free_w / 51.2 == Near{73.642, 5.1e-4, 0});
    p.current_limit_a = 60;
    auto const f = controller_point(p, c, 51.2, all_of_it, true).flows;
    CHECK(f.output_w == Near{3072, 0, 1e-12});
    CHECK(f.curtailed_by_controller_w * 0.97 == Near{698.48, 5.1e-3, 0});
    CHECK(f.heat_w == Near{3072 / 0.97 - 3072, 0, 1e-9});
    CHECK(f.curtailed_by_battery_w == 0);
}

TEST_CASE("a current limit is a power limit that moves with the battery") {
    // Recomputed: 60 A are 3456 W at 57.6 V, 2760 W at 46.0 V.
    ChargeControllerParameters p;
    p.current_limit_a = 60;
    CHECK(controller_output_w(p, 1e5, 57.6) == Near{3456, 0, 1e-12});
    CHECK(controller_output_w(p, 1e5, 46.0) == Near{2760, 0, 1e-12});
}

TEST_CASE("without conversion the share used is about battery over module voltage") {
    // Recomputed: 13.5 V / 18 V = 0.75 when the module gives its best current at the battery's voltage as
    // well. It gives a little more there, at most its short-circuit current, so the share lies between 0.75
    // and 0.75 Isc/Imp.
    auto p = direct();
    p.drop_v = 0;
    auto const c = curve(module_c, 1000, 25);
    auto const f = controller_point(p, c, 13.5, all_of_it, false).flows;
    auto const m = array_maximum_power_point(c);
    CHECK(m.voltage_v == Near{18, 0.01, 0});
    double const share = f.output_w / f.offered_w;
    CHECK(share > 13.5 / m.voltage_v);
    CHECK(share < 13.5 / m.voltage_v * short_circuit_current_a(c.module) / m.current_a);
}

TEST_CASE("simple form: efficiency, then limit, and back") {
    ChargeControllerParameters p;
    p.efficiency = 0.95;
    p.power_limit_w = 1900;
    CHECK(controller_output_w(p, 1000) == Near{950, 0, 1e-12});
    CHECK(controller_output_w(p, 3000) == 1900);
    CHECK(controller_output_w(p, -5) == 0);
    CHECK(controller_array_draw_w(p, 1900) == Near{2000, 0, 1e-12});
    CHECK(controller_array_draw_w(p, 0) == 0);
    // Offered 3000 W, the battery takes 950 W: 1000 W for the controller's limit, 1000 W for the battery, 50
    // W heat.
    auto const f = controller_flows(p, 3000, 50, 950);
    CHECK(f.output_w == Near{950, 0, 1e-12});
    CHECK(f.curtailed_by_controller_w == Near{1000, 0, 1e-12});
    CHECK(f.curtailed_by_battery_w == Near{1000, 0, 1e-12});
    CHECK(f.heat_w == Near{50, 0, 1e-9});
}

TEST_CASE("start and run margins") {
    auto const c = curve(module_c, 1000, 25);  // open circuit 22.384 V
    ChargeControllerParameters const p;        // starts at +6 V, 16.384 V; runs at +2 V, 20.384 V
    CHECK(controller_point(p, c, 16.3, all_of_it, false).running);
    CHECK_FALSE(controller_point(p, c, 16.5, all_of_it, false).running);
    CHECK(controller_point(p, c, 16.5, all_of_it, true).running);
    CHECK_FALSE(controller_point(p, c, 20.4, all_of_it, true).running);
    CHECK(controller_point(p, c, 20.4, all_of_it, true).flows.output_w == 0);
}

TEST_CASE("held at an edge of the voltage window the array gives V I(V)") {
    auto const c = curve(module_c, 1000, 25);  // best at 17.995 V
    ChargeControllerParameters p;
    auto const low = controller_point(p, c, 19.0, all_of_it, true);
    CHECK(low.array_v == 20.0);
    CHECK(low.flows.output_w == Near{0.96 * 20.0 * current_a(c.module, 20.0), 0, 1e-9});
    CHECK(low.flows.window_loss_w > 0);
    p.tracking_max_v = 16.0;
    p.input_max_v = 30.0;
    auto const high = controller_point(p, c, 12.5, all_of_it, true);
    CHECK(high.array_v == 16.0);
    CHECK(high.flows.output_w == Near{0.96 * 16.0 * current_a(c.module, 16.0), 0, 1e-9});
}

TEST_CASE("above the input limit in open circuit nothing flows and it is said") {
    ChargeControllerParameters p;
    p.input_max_v = p.tracking_max_v = 150;
    // Three modules A at -20 C: 3 x 55.56861 V = 166.7 V.
    auto const point = controller_point(p, curve({}, 1000, -20, 3, 1), 51.2, all_of_it, true);
    CHECK(point.over_voltage);
    CHECK(point.flows.output_w == 0);
    CHECK_FALSE(controller_point(p, curve({}, 1000, 25, 3, 1), 51.2, all_of_it, true).over_voltage);
}

TEST_CASE("every watt offered is accounted for, and a loss-free tracker beats the switch") {
    std::mt19937_64 g(3);
    auto const u = [&](double lo, double hi) { return std::uniform_real_distribution<double>(lo, hi)(g); };
    for (int n = 0; n < 5000; ++n) {
        auto const c = curve(u(0, 1) < 0.5 ? SingleDiodeParameters{} : module_c, u(0, 1300), u(-30, 80),
                             1 + static_cast<int>(u(0, 4)), 1 + static_cast<int>(u(0, 4)));
        ChargeControllerParameters p;
        p.efficiency = u(0.9, 1);
        p.current_limit_a = u(5, 60);
        p.headroom_v = u(0, 3);
        double const battery_v = u(10, 60), accepted_w = u(0, 3000);
        auto switched = p;
        switched.kind = ControllerKind::direct;
        for (auto const& q : {p, switched}) {
            auto const f = controller_point(q, c, battery_v, accepted_w, u(0, 1) < 0.5).flows;
            CAPTURE(n);
            CHECK(total_w(f) == Near{f.offered_w, 1e-9, 1e-12});
            CHECK(std::min({f.output_w, f.heat_w + 1e-12, f.curtailed_by_controller_w + 1e-9,
                            f.curtailed_by_battery_w + 1e-9, f.window_loss_w + 1e-9}) >= 0);
            CHECK(f.output_w <= accepted_w);
            CHECK(f.output_w <= q.current_limit_a * battery_v * (1 + 1e-12));
        }
        auto ideal = p;
        ideal.efficiency = 1;
        ideal.headroom_v = ideal.run_margin_v = 0;
        CHECK(controller_point(ideal, c, battery_v, accepted_w, true).flows.output_w >=
              controller_point(switched, c, battery_v, accepted_w, true).flows.output_w - 1e-9);
    }
}

TEST_CASE("where the tracker is free the simple form gives what the curve gives") {
    std::mt19937_64 g(8);
    auto const u = [&](double lo, double hi) { return std::uniform_real_distribution<double>(lo, hi)(g); };
    int free = 0;
    for (int n = 0; n < 3000; ++n) {
        PvArrayParameters a;
        a.module_model = ModuleModel::single_diode;
        a.modules_in_series = 1 + n % 3;
        a.incidence.model = IncidenceModel::none;
        PlaneSample const s{.beam_w_m2 = u(0, 1100), .incidence_deg = 30, .tilt_deg = 30};
        double const air_c = u(-30, 45), battery_v = u(40, 58);
        auto const h = array_hour(a, s, air_c, 2, 5);
        ChargeControllerParameters p;
        p.input_max_v = 150;
        p.tracking_max_v = 120;
        p.tracking_min_v = 60;
        p.current_limit_a = 8;
        if (!tracks_freely(p, h, 58)) continue;
        ++free;
        auto const point =
            controller_point(p, array_curve(a, array_conditions(a, s, air_c, 2, 5)), battery_v, 250, false);
        auto const simple = controller_flows(p, h.power_w, battery_v, 250);
        CHECK(point.running);
        CHECK(point.flows.window_loss_w == 0);
        CHECK(point.flows.output_w == Near{simple.output_w, 1e-9, 1e-12});
        CHECK(point.flows.curtailed_by_controller_w == Near{simple.curtailed_by_controller_w, 1e-9, 1e-12});
    }
    CHECK(free > 500);
    CHECK(free < 2500);
    CHECK_FALSE(tracks_freely({}, {.power_w = 500}, 58));  // no voltages known
    CHECK_FALSE(tracks_freely(direct(), {.power_w = 500, .mpp_v = 80, .open_circuit_v = 100}, 58));
    CHECK(tracks_freely({}, {.power_w = 500, .mpp_v = 80, .open_circuit_v = 100}, 58));
}

TEST_CASE("a parameter that cannot be is named") {
    ChargeControllerParameters p;
    p.efficiency = 96;
    CHECK_THROWS_AS(validate(p), ParameterError);
    p = {};
    p.tracking_max_v = 700;
    CHECK_THROWS_AS(validate(p), ParameterError);
    p = {};
    p.start_margin_v = 0.5;
    CHECK_THROWS_AS(validate(p), ParameterError);
    CHECK_NOTHROW(validate(ChargeControllerParameters{}));
}

TEST_SUITE_END();
