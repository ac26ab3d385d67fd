#include "models/battery/lead_acid_charging.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "models/battery/battery.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/lead_acid_charging");

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
        // Constant power to the knee, then the taper.
        BatteryParameters b;
        b.energy = {row.battery_kwh, 0.88, 0.88, 0.2, 100, 100, 0};
        b.acceptance_per_h = 1;
        BatteryState const half = at_soc(b, 0.5);
        double const bulk_h = hours_until_limit(b, half, -row.charger_kw);
        auto const knee = after(b, half, -row.charger_kw, bulk_h).state;
        auto const hours_to = [&](double to_soc) {
            return to_soc <= soc(b, knee)
                       ? hours_until(b.energy, half.available_kwh, -row.charger_kw, to_soc * row.battery_kwh)
                       : bulk_h + hours_until_soc_in_taper(b, knee, to_soc);
        };
        CHECK(hours_to(0.80) == Near{row.to_80_h, 5.1e-4, 0});
        CHECK(hours_to(0.90) == Near{row.to_90_h, 5.1e-4, 0});
        CHECK(hours_to(0.95) == Near{row.to_95_h, 5.1e-4, 0});
        CHECK(hours_to(0.99) == Near{row.to_99_h, 5.1e-4, 0});
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
        CHECK(hours_until(b.energy, 0.2 * row.battery_kwh, -row.charger_kw, 0.8 * row.battery_kwh) ==
              Near{row.hours, 5.1e-4, 0});
    }
    // 60 % in 2 h needs 0.3125 of capacity per hour, in 1 h 0.625.
    CHECK(0.6 / (0.96 * 2) == Near{0.3125, 0, 1e-12});
    CHECK(0.6 / (0.96 * 1) == Near{0.625, 0, 1e-12});
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

TEST_SUITE_END();
