#include "models/battery/two_well_battery.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

struct Leg {
    double current_a, minutes;
};

// Repeats the legs until the available well is empty; returns minutes.
double run_time_min(TwoWellParameters const& p, std::vector<Leg> const& legs) {
    TwoWellState state = at_rest(p, p.capacity_kwh);
    for (double elapsed_min = 0;;) {
        for (auto [current_a, minutes] : legs) {
            double const left_min = current_a > 0 ? 60 * hours_until_available(p, state, current_a, 0) : 1e9;
            if (left_min <= minutes) return elapsed_min + left_min;
            state = after(p, state, current_a, minutes / 60);
            elapsed_min += minutes;
        }
    }
}

// c 0.40, k 0.50 1/h, 280 Ah; Ah stand for kWh throughout the rows below.
TwoWellParameters example() { return {280, 0.4, 0.5, 0}; }

}  // namespace

TEST_SUITE_BEGIN("models/two_well_battery");

// Equations of Manwell & McGowan, Solar Energy 50(5), 399-405, 1993 (citation from memory); rows recomputed
// from them and compared, before they came here, with numerical integration of the two differential
// equations. 280 Ah, start full, steps of 1 h. Printed to 1e-5, hence the tolerance.
TEST_CASE("five hourly steps: wells, greatest discharge and greatest charge") {
    struct Row {
        double current_a, available_ah, bound_ah, greatest_discharge_a, greatest_charge_a;
    };
    auto const p = example();
    TwoWellState state = at_rest(p, 280);
    for (auto const& row : std::vector<Row>{
             {40, 77.11347, 162.88653, 128.41633, 0},
             {40, 49.65821, 150.34179, 96.93684, 31.47950},
             {0, 61.59678, 138.40322, 70.62529, 57.79105},
             {-20, 86.28114, 133.71886, 78.92775, 49.48858},
             {-20, 104.40073, 135.59927, 99.70320, 28.71313},
         }) {
        CAPTURE(row.available_ah);
        CHECK(max_draw_kw(p, state, 1) == Near{row.greatest_discharge_a, 1e-5, 0});
        CHECK(max_fill_kw(p, state, 1) == Near{row.greatest_charge_a, 1e-5, 0});
        state = after(p, state, row.current_a, 1);
        CHECK(state.available_kwh == Near{row.available_ah, 1e-5, 0});
        CHECK(state.bound_kwh == Near{row.bound_ah, 1e-5, 0});
    }
    CHECK(max_draw_kw(p, state, 1) == Near{115.91328, 1e-5, 0});
    CHECK(max_fill_kw(p, state, 1) == Near{12.50305, 1e-5, 0});
}

// Same source and parameters, recomputed: capacity delivered in T hours from full. Printed to 1e-3.
TEST_CASE("capacity against discharge time") {
    struct Row {
        double hours, capacity_ah;
    };
    for (auto const& [hours, capacity_ah] : std::vector<Row>{
             {1, 128.416}, {5, 180.558}, {10, 215.720}, {20, 243.480}, {50, 264.151}, {100, 271.845}}) {
        CAPTURE(hours);
        CHECK(capacity_at_hours_kwh(example(), hours) == Near{capacity_ah, 5e-4, 0});
        double const k = 0.5, c = 0.4, decay = std::exp(-k * hours);  // the published closed form
        CHECK(capacity_at_hours_kwh(example(), hours) ==
              Near{280 * k * c * hours / (1 - decay + c * (k * hours - 1 + decay)), 0, 1e-12});
    }
    CHECK(capacity_at_hours_kwh(example(), 1e-6) == Near{112, 0, 1e-6});
    CHECK(capacity_at_hours_kwh(example(), 1e7) == Near{280, 0, 1e-6});
}

// The published step as printed in the same paper, hourly form, coded a second way.
TEST_CASE("the step agrees with the published form in exp(-k dt)") {
    auto const p = example();
    for (double hours : {0.01, 0.25, 1.0, 7.0}) {
        TwoWellState const s{60, 120};
        double const k = 0.5, c = 0.4, q = 180, current = 8, e = std::exp(-k * hours);
        double const q1 =
            s.available_kwh * e + (q * k * c - current) * (1 - e) / k - current * c * (k * hours - 1 + e) / k;
        double const q2 =
            s.bound_kwh * e + q * (1 - c) * (1 - e) - current * (1 - c) * (k * hours - 1 + e) / k;
        CHECK(after(p, s, current, hours).available_kwh == Near{q1, 0, 1e-12});
        CHECK(after(p, s, current, hours).bound_kwh == Near{q2, 0, 1e-12});
    }
}

// Jongerden, Haverkort, Bohnenkamp & Katoen, "Maximizing system lifetime by battery scheduling", DSN 2009,
// doi 10.1109/DSN.2009.5270351: run times of one cell with c = 0.166, k' = 0.122 /min, printed to 0.01 min,
// hence the tolerance. Parameters and rows are from memory: the paper could not be opened, so this supports
// recall and equations together but is not a check against the page. There k' is this model's exchange.
// The paper itself has not been seen.
TEST_CASE("run times agree with those remembered from Jongerden et al. 2009") {
    struct Row {
        std::string load;
        double capacity_amin;
        std::vector<Leg> legs;
        double minutes;
    };
    for (auto const& [load, capacity_amin, legs, minutes] : std::vector<Row>{
             {"0.25 A steady", 5.5, {{0.25, 1}}, 4.53},
             {"0.50 A steady", 5.5, {{0.50, 1}}, 2.02},
             {"0.50 A and 0.25 A in turn, 1 min each", 5.5, {{0.50, 1}, {0.25, 1}}, 2.58},
             {"0.25 A, 1 min on, 1 min off", 5.5, {{0.25, 1}, {0, 1}}, 10.80},
             {"0.50 A, 1 min on, 1 min off", 5.5, {{0.50, 1}, {0, 1}}, 4.30},
             {"0.25 A, 1 min on, 2 min off", 5.5, {{0.25, 1}, {0, 2}}, 21.86},
             {"0.50 A, 1 min on, 2 min off", 5.5, {{0.50, 1}, {0, 2}}, 6.53},
             {"0.25 A steady, double size", 11, {{0.25, 1}}, 12.16},
         }) {
        CAPTURE(load);
        CHECK(run_time_min({capacity_amin / 60, 0.166, 0.122 * 60, 0}, legs) == Near{minutes, 0.005, 0});
    }
}

// Invented data-sheet rows; fit recomputed, tolerance 0.5 % as stated with it, every residual within 0.03 %.
TEST_CASE("capacity, fraction and exchange are found from a table of rated capacities") {
    auto const fit = fit_two_well({{5, 281}, {10, 326}, {20, 370}, {48, 405}, {100, 420}});
    CHECK(fit.parameters.available_fraction == Near{0.48485, 0, 0.005});
    CHECK(fit.parameters.exchange_per_h == Near{0.30344, 0, 0.005});
    CHECK(fit.parameters.capacity_kwh == Near{434.63, 0, 0.005});
    CHECK(fit.worst_residual < 3.5e-4);
    CHECK(!fit.rate_independent);
}

TEST_CASE("a fit to capacities of known parameters returns the parameters") {
    for (auto const& [c, k] :
         std::vector<std::pair<double, double>>{{0.2, 1.5}, {0.35, 0.1}, {0.6, 0.4}, {0.8, 0.05}}) {
        CAPTURE(c);
        TwoWellParameters const p{20, c, k, 0};
        std::vector<RatedCapacity> table;
        for (double hours : {1.0, 3.0, 5.0, 10.0, 20.0, 50.0, 100.0})
            table.push_back({hours, capacity_at_hours_kwh(p, hours)});
        auto const fit = fit_two_well(table);
        CHECK(fit.parameters.available_fraction == Near{c, 0, 1e-6});
        CHECK(fit.parameters.exchange_per_h == Near{k, 0, 1e-6});
        CHECK(fit.parameters.capacity_kwh == Near{20, 0, 1e-6});
        CHECK(fit.worst_residual < 1e-8);
    }
}

TEST_CASE("laws: charge is conserved, steps split, limits are met, rest levels the wells") {
    std::mt19937_64 engine(11);
    auto const uniform = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
    };
    for (int i = 0; i < 1000; ++i) {
        double const s = i % 2 == 0 ? 0 : std::pow(10, uniform(-8, -2));
        TwoWellParameters const p{uniform(1, 50), uniform(0.05, 0.95), std::pow(10, uniform(-3, 1)), s};
        double const c = p.available_fraction;
        TwoWellState const from{uniform(0, 1) * c * p.capacity_kwh, uniform(0, 1) * (1 - c) * p.capacity_kwh};
        double const draw_kw = uniform(-5, 5), hours = uniform(0.01, 3), cut = uniform(0, 1);
        CAPTURE(i);
        auto const whole = after(p, from, draw_kw, hours);
        auto const parts = after(p, after(p, from, draw_kw, cut * hours), draw_kw, (1 - cut) * hours);
        CHECK(parts.available_kwh == Near{whole.available_kwh, 1e-12 * p.capacity_kwh, 1e-12});
        CHECK(parts.bound_kwh == Near{whole.bound_kwh, 1e-12 * p.capacity_kwh, 1e-12});
        if (s == 0)
            CHECK(stored_kwh(whole) ==
                  Near{stored_kwh(from) - draw_kw * hours, 1e-13 * p.capacity_kwh, 1e-13});
        double const most_kw = max_draw_kw(p, from, hours), fill_kw = max_fill_kw(p, from, hours);
        CHECK(after(p, from, most_kw, hours).available_kwh == Near{0, 1e-12 * p.capacity_kwh, 0});
        CHECK(after(p, from, -fill_kw, hours).available_kwh ==
              Near{c * p.capacity_kwh, 1e-12 * p.capacity_kwh, 0});
        if (s == 0) {
            auto const rested = after(p, from, 0, 100 / p.exchange_per_h);
            CHECK(rested.available_kwh / stored_kwh(rested) == Near{c, 1e-12, 0});
        }
    }
}

TEST_CASE("time to a level is the first time, also through a turn") {
    auto const p = example();
    // After a hard discharge the available well first recovers under a light load, then falls.
    TwoWellState const tired{5, 160};
    double const draw_a = 10, up_h = hours_until_available(p, tired, draw_a, 20);
    CHECK(after(p, tired, draw_a, up_h).available_kwh == Near{20, 1e-9, 0});
    double const top_h = 60;  // long past the turn
    double const down_h = hours_until_available(p, tired, draw_a, 5.0 - 1e-3);
    CHECK(up_h < down_h);
    CHECK(down_h < top_h);
    CHECK(after(p, tired, draw_a, down_h).available_kwh == Near{5.0 - 1e-3, 1e-9, 0});
    for (double h = 0; h < up_h; h += up_h / 50) CHECK(after(p, tired, draw_a, h).available_kwh < 20);
    CHECK(std::isinf(hours_until_available(p, tired, draw_a, 111)));
    // At rest the well never passes its share.
    CHECK(std::isinf(hours_until_available(p, tired, 0, 0.4 * 165 + 1e-6)));
    CHECK(std::isinf(hours_until_available(p, tired, 0, 0)));
    CHECK(hours_until_available(p, tired, 0, 5) == 0);
    CHECK(hours_until_stored(p, tired, 10, 115) == Near{5, 0, 1e-14});
    CHECK(std::isinf(hours_until_stored(p, tired, 0, 115)));
}

TEST_CASE("the taper holds the available well full and matches its own first moment") {
    TwoWellParameters p = example();
    p.self_discharge_per_h = 1e-3;
    TwoWellState const from{112, 100};
    auto const step = taper(p, from, 3);
    CHECK(step.state.available_kwh == 112);
    CHECK(step.filled_kwh == Near{stored_kwh(step.state) - 212 + step.self_loss_kwh, 1e-12, 0});
    CHECK(taper(p, from, 1e-6).filled_kwh / 1e-6 == Near{taper_fill_kw(p, from), 0, 1e-5});
    // A constant fill at the mean of the taper would overfill the available well at first.
    CHECK(hours_until_available(p, {112 - 1e-9, 100}, -taper_fill_kw(p, from) * 1.01, 112) < 1e-6);
}

TEST_CASE("bad parameters are refused by name, value and rule") {
    CHECK_NOTHROW(validate(example()));
    CHECK_THROWS_WITH_AS(validate(TwoWellParameters{400, 1.3, 0.6, 0}),
                         "available_fraction = 1.3 (must be between 0 and 1, ends excluded)", ParameterError);
    CHECK_THROWS_AS(validate(TwoWellParameters{400, 0.3, 0, 0}), ParameterError);
    CHECK_THROWS_AS(validate(TwoWellParameters{-1, 0.3, 0.5, 0}), ParameterError);
    CHECK_THROWS_AS(fit_two_well({{5, 281}, {10, 326}}), ParameterError);
    CHECK_THROWS_AS(fit_two_well({{5, 281}, {10, 326}, {20, 370}}), ParameterError);
    CHECK_THROWS_AS(fit_two_well({{5, 281}, {10, 270}, {100, 370}}), ParameterError);
}

TEST_SUITE_END();
