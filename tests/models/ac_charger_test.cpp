#include "models/electric/ac_charger.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/ac_charger");

// 60 A at 54.4 V, efficiency 0.90; power factors 0.70 uncorrected, 0.99 corrected (from memory); recomputed
// and printed to the digits shown.
TEST_CASE("a 5 kVA generator carries the corrected charger and not the other") {
    double const dc_w = 60 * 54.4;
    AcChargerParameters const plain{5000, 0.90, 0.70}, corrected{5000, 0.90, 0.99};
    CHECK(dc_w == Near{3264, 0, 1e-12});
    CHECK(charger_ac_w(plain, dc_w) == Near{3626.7, 0.05, 0});
    CHECK(charger_headroom_dc_w(plain, 5000, 5000, 0, 0) < dc_w);
    CHECK(charger_headroom_dc_w(corrected, 5000, 5000, 0, 0) > dc_w);
}

TEST_CASE("the charger folds back for a pump and never below nothing") {
    AcChargerParameters const p{3000, 0.92, 0.95};
    // Generator of 5 kW, 6 kVA with a pump of 1.8 kW, 2.4 kVA: 3.2 kW and 3.6 kVA are left, so the watts
    // limit.
    CHECK(charger_headroom_dc_w(p, 5000, 6000, 1800, 2400) == Near{0.92 * 3200, 0, 1e-12});
    CHECK(charger_headroom_dc_w(p, 5000, 4000, 1800, 2400) == Near{0.92 * 0.95 * 1600, 0, 1e-12});
    CHECK(charger_headroom_dc_w(p, 9000, 9000, 0, 0) == 3000);
    CHECK(charger_headroom_dc_w(p, 1500, 9000, 1800, 2400) == 0);
    CHECK(charger_dc_w(p, -5) == 0);
    // The output that is returned draws exactly the power that was available.
    CHECK(charger_ac_w(p, charger_dc_w(p, 1000)) == Near{1000, 0, 1e-12});
}

TEST_CASE("bad parameters are refused") {
    CHECK_NOTHROW(validate(AcChargerParameters{3000, 0.9, 0.7}));
    CHECK_THROWS_AS(validate(AcChargerParameters{-1, 0.9, 0.7}), ParameterError);
    CHECK_THROWS_AS(validate(AcChargerParameters{3000, 0, 0.7}), ParameterError);
    CHECK_THROWS_WITH_AS(validate(AcChargerParameters{3000, 0.9, 1.2}),
                         "power_factor = 1.2 (must be above 0 and at most 1)", ParameterError);
}

TEST_SUITE_END();
