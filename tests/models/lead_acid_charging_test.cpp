#include "models/battery/lead_acid_charging.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "models/battery/battery.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/lead_acid_charging");

// 400 Ah, 60 A stored, alpha 1 1/h (from memory); times recomputed and printed to 1e-5.
TEST_CASE("bulk and taper of one charge") {
    double const rate_per_h = 60.0 / 400;
    CHECK(taper_begins_at_soc(rate_per_h, 1) == Near{0.85, 0, 1e-12});
    CHECK(hours_to_charge(0.80, 0.85, rate_per_h, 1) == Near{0.33333, 1e-5, 0});
    CHECK(hours_to_charge(0.85, 1 - 8.0 / 400, rate_per_h, 1) == Near{2.01490, 1e-5, 0});
}

// Lead-acid from half charge, charge efficiency 0.88, alpha 1 1/h (from memory); hours recomputed and printed
// to 1e-3. A charge to 80-90 % in one to two hours holds for a charger near a quarter of capacity only.
TEST_CASE("how long a generator must run for lead-acid") {
    struct Row {
        double battery_kwh, charger_kw, to_80_h, to_90_h, to_95_h, to_99_h;
    };
    for (auto const& row : std::vector<Row>{
             {10, 1.5, 2.273, 3.066, 3.759, 5.368},
             {20, 3.0, 2.273, 3.066, 3.759, 5.368},
             {20, 5.0, 1.368, 2.061, 2.754, 4.364},
             {30, 5.0, 2.045, 2.792, 3.485, 5.095},
         }) {
        CAPTURE(row.battery_kwh);
        CAPTURE(row.charger_kw);
        double const rate_per_h = 0.88 * row.charger_kw / row.battery_kwh;
        CHECK(hours_to_charge(0.5, 0.80, rate_per_h, 1) == Near{row.to_80_h, 5.1e-4, 0});
        CHECK(hours_to_charge(0.5, 0.90, rate_per_h, 1) == Near{row.to_90_h, 5.1e-4, 0});
        CHECK(hours_to_charge(0.5, 0.95, rate_per_h, 1) == Near{row.to_95_h, 5.1e-4, 0});
        CHECK(hours_to_charge(0.5, 0.99, rate_per_h, 1) == Near{row.to_99_h, 5.1e-4, 0});
        // The battery model itself takes as long: constant power to the knee, then the taper.
        BatteryParameters b;
        b.energy = {row.battery_kwh, 0.88, 0.88, 0.2, 100, 100, 0};
        b.acceptance_per_h = 1;
        BatteryState const half = at_soc(b, 0.5);
        double const bulk_h = hours_until_limit(b, half, -row.charger_kw);
        auto const knee = after(b, half, -row.charger_kw, bulk_h).state;
        CHECK(bulk_h + hours_until_soc_in_taper(b, knee, 0.99) ==
              Near{hours_to_charge(0.5, 0.99, rate_per_h, 1), 0, 1e-12});
    }
}

// Lithium iron phosphate, constant power, 20 to 80 %, charge efficiency 0.96 (from memory); hours
// recomputed and printed to 1e-3. No taper.
TEST_CASE("how long a generator must run for lithium iron phosphate") {
    struct Row {
        double battery_kwh, charger_kw, hours;
    };
    for (auto const& row : std::vector<Row>{{5, 3, 1.042},
                                            {10, 3, 2.083},
                                            {10, 5, 1.250},
                                            {15, 5, 1.875},
                                            {20, 5, 2.500},
                                            {20, 10, 1.250},
                                            {30, 10, 1.875}}) {
        CAPTURE(row.battery_kwh);
        BatteryParameters b;
        b.energy = {row.battery_kwh, 0.96, 0.96, 0.1, 100, 100, 0};
        CHECK(hours_until_soc(b, at_soc(b, 0.2), -row.charger_kw, 0.8) == Near{row.hours, 5.1e-4, 0});
    }
    // 60 % in 2 h needs 0.3125 of capacity per hour, in 1 h 0.625.
    CHECK(0.6 / (0.96 * 2) == Near{0.3125, 0, 1e-12});
    CHECK(0.6 / (0.96 * 1) == Near{0.625, 0, 1e-12});
}

TEST_CASE("edges of the charge time") {
    CHECK(hours_to_charge(0.9, 0.8, 0.1, 1) == 0);
    CHECK(std::isinf(hours_to_charge(0.5, 1, 0.1, 1)));
    CHECK(std::isinf(hours_to_charge(0.5, 0.9, 0, 1)));
    CHECK(hours_to_charge(0.2, 0.5, 5, 1) == Near{std::log(0.8 / 0.5), 0, 1e-12});  // tapers from the start
    CHECK(acceptance_limit_per_h(100, 1, 1) == Near{100 * (1 - std::exp(-1.0)), 0, 1e-12});
}

// 24 cells, -5 mV per kelvin and cell: 57.6 V at 25 deg C is 60.0 V at 5 deg C (recomputed).
TEST_CASE("charging voltages rise in the cold") {
    CHECK(compensated_v(57.6, -0.005, 24, 5) == Near{60.0, 1e-12, 0});
    CHECK(compensated_v(57.6, -0.005, 24, 25) == 57.6);
}

// 0.42 L per Ah and cell from memory; 24 cells at 20 A recomputed: 201.6 L/h.
TEST_CASE("hydrogen to be vented") { CHECK(hydrogen_l_per_h(24, 20) == Near{201.6, 1e-12, 0}); }

TEST_CASE("the stages follow one another: bulk, absorption to the tail, float, and bulk again") {
    auto const p = flooded_charge_stages();
    ChargeStageState s;
    s = after(p, s, 13.5, 0.15, 0.7, 0.25);
    CHECK(s.stage == ChargeStage::bulk);
    s = after(p, s, 14.6, 0.15, 0.85, 0.25);
    CHECK(s.stage == ChargeStage::absorption);
    s = after(p, s, 14.6, 0.05, 0.93, 1);
    CHECK(s.stage == ChargeStage::absorption);
    s = after(p, s, 14.6, 0.019, 0.98, 0.05);  // tail, but not for long enough
    CHECK(s.stage == ChargeStage::absorption);
    s = after(p, s, 14.6, 0.030, 0.98, 0.05);  // a load brings the current up: the wait begins again
    CHECK(s.at_tail_h == 0);
    s = after(p, s, 14.6, 0.018, 0.98, 0.11);
    CHECK(s.stage == ChargeStage::floating);
    s = after(p, s, 13.2, 0.01, 0.97, 5);
    CHECK(s.stage == ChargeStage::floating);
    s = after(p, s, 12.4, 0, 0.95, 1);
    CHECK(s.stage == ChargeStage::bulk);
    // The timer ends an absorption that never tails off.
    ChargeStageState const late = after(p, {ChargeStage::absorption, 3.9, 0}, 14.6, 0.05, 0.9, 0.2);
    CHECK(late.stage == ChargeStage::floating);
    CHECK(after(p, {ChargeStage::floating, 0, 0}, 13.3, 0, 0.85, 1).stage == ChargeStage::bulk);
}

TEST_CASE("days between full charges are counted, each fill once") {
    FullChargeAccount a;
    for (int day = 0; day < 10; ++day) a.go_on(0.8, 0.99, 24);
    CHECK(a.since_full_h == 240);
    a.go_on(0.995, 0.99, 1);
    a.go_on(1.0, 0.99, 3);
    a.go_on(0.985, 0.99, 1);  // barely below: the same fill
    a.go_on(0.995, 0.99, 1);
    CHECK(a.full_charges == 1);
    CHECK(a.longest_gap_h == 240);
    a.go_on(0.9, 0.99, 5);
    CHECK(a.since_full_h == 5);
    a.go_on(1, 0.99, 1);
    CHECK(a.full_charges == 2);
}

TEST_CASE("stage voltages must be in order") {
    for (auto p : {flooded_charge_stages(), sealed_charge_stages(), gel_charge_stages(),
                   lithium_iron_phosphate_charge_stages()})
        CHECK_NOTHROW(validate(p));
    auto p = flooded_charge_stages();
    p.float_v = 15;
    CHECK_THROWS_WITH_AS(validate(p), "absorption_v = 14.6 (must not be below the float voltage)",
                         ParameterError);
    p = flooded_charge_stages();
    p.volts_per_k_cell = -4;
    CHECK_THROWS_AS(validate(p), ParameterError);
}

TEST_SUITE_END();
