#include "models/electric/motor_protection.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/motor_protection");

// IEC 60898-1, from memory.
TEST_CASE("a breaker's curve holds and trips at its multiples of the rated current") {
    CHECK(instant_trip(BreakerCurve::b).holds == 3);
    CHECK(instant_trip(BreakerCurve::b).trips == 5);
    CHECK(instant_trip(BreakerCurve::c).holds == 5);
    CHECK(instant_trip(BreakerCurve::c).trips == 10);
    CHECK(instant_trip(BreakerCurve::d).holds == 10);
    CHECK(instant_trip(BreakerCurve::d).trips == 20);
    CHECK(name(BreakerCurve::d) == 'D');
}

// Trip classes of IEC 60947-4-1, from memory. By hand: class 10 at 6 x: 4 s x (7.2 / 6)^2 = 5.76 s; class 20
// at 3.6 x: 6 s x 4 = 24 s.
TEST_CASE("motor protection trips earlier with more current, and not at all up to 1.05 x its setting") {
    CHECK(earliest_trip_s(TripClass::c10a, 7.2) == Near{2, 1e-12, 0});
    CHECK(earliest_trip_s(TripClass::c10, 7.2) == Near{4, 1e-12, 0});
    CHECK(earliest_trip_s(TripClass::c30, 7.2) == Near{9, 1e-12, 0});
    CHECK(earliest_trip_s(TripClass::c10, 6) == Near{5.76, 1e-12, 0});
    CHECK(earliest_trip_s(TripClass::c20, 3.6) == Near{24, 1e-12, 0});
    CHECK(std::isinf(earliest_trip_s(TripClass::c10, 1.05)));
    CHECK(std::isfinite(earliest_trip_s(TripClass::c10, 1.06)));
    CHECK_THROWS_AS((void)earliest_trip_s(TripClass::c10, 0), ParameterError);
}

TEST_SUITE_END();
