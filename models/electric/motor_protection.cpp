#include "models/electric/motor_protection.hpp"

#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

InstantTrip instant_trip(BreakerCurve curve) {
    switch (curve) {
        case BreakerCurve::b:
            return {3, 5};
        case BreakerCurve::c:
            return {5, 10};
        case BreakerCurve::d:
            return {10, 20};
    }
    return {};
}

char name(BreakerCurve curve) {
    return curve == BreakerCurve::b ? 'B' : curve == BreakerCurve::c ? 'C' : 'D';
}

double earliest_trip_at_7_2_s(TripClass trip_class) {
    switch (trip_class) {
        case TripClass::c10a:
            return 2;
        case TripClass::c10:
            return 4;
        case TripClass::c20:
            return 6;
        case TripClass::c30:
            return 9;
    }
    return 0;
}

double earliest_trip_s(TripClass trip_class, double ratio) {
    require(ratio > 0, "ratio", ratio, "must be above 0");
    if (ratio <= no_trip_ratio) return std::numeric_limits<double>::infinity();
    double const share = 7.2 / ratio;
    return earliest_trip_at_7_2_s(trip_class) * share * share;
}

}  // namespace holdwater::models
