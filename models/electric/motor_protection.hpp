#pragma once

namespace holdwater::models {

/// Curve of a miniature circuit breaker: the multiple of its rated current at which it trips at once.
enum class BreakerCurve { b, c, d };

/// Below `holds` x rated current it does not trip at once; above `trips` x it certainly does. B 3 to 5, C 5
/// to 10, D 10 to 20: IEC 60898-1, from memory.
struct InstantTrip {
    double holds = 0, trips = 0;
};
InstantTrip instant_trip(BreakerCurve curve);
char name(BreakerCurve curve);

/// Trip class of a motor protection (overload relay).
enum class TripClass { c10a, c10, c20, c30 };

/// Earliest time [s] in which it trips from cold at 7.2 x its setting: 10A 2 s, 10 4 s, 20 6 s, 30 9 s (IEC
/// 60947-4-1, from memory).
double earliest_trip_at_7_2_s(TripClass trip_class);

/// Earliest time [s] in which it trips from cold at a current of `ratio` x its setting [-], > 1: equal heat,
/// t ~ 1 / ratio^2 (own choice, no source). Infinite up to 1.05 x, at which it does not trip (IEC 60947-4-1,
/// from memory).
double earliest_trip_s(TripClass trip_class, double ratio);

/// A relay does not trip up to this multiple of its setting, and trips within two hours at 1.2 x: IEC
/// 60947-4-1, from memory.
inline constexpr double no_trip_ratio = 1.05;

}  // namespace holdwater::models
