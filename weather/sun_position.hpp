#pragma once

#include <chrono>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// An instant in universal time. Local standard time is this plus the site's UTC offset.
using UtcInstant = std::chrono::sys_time<std::chrono::milliseconds>;

/// TT - UT [s]; one value is good enough (30 s of it move the sun by 0.0003 deg).
inline constexpr double default_delta_t_s = 69;

/// Geocentric Sun with its intermediate values, angles in degrees (see sun_coordinates).
struct SunCoordinates {
    double centuries = 0;  ///< T, Julian centuries of terrestrial time from J2000
    double mean_longitude_deg = 0, mean_anomaly_deg = 0;  ///< L0, M
    double center_deg = 0, perturbation_deg = 0;          ///< C, P
    double nutation_deg = 0, obliquity_nutation_deg = 0;  ///< in longitude, in obliquity
    double longitude_deg = 0, obliquity_deg = 0;          ///< apparent
    double right_ascension_deg = 0, declination_deg = 0;
    double sidereal_deg = 0;  ///< Greenwich apparent sidereal time
    double distance_au = 0;
};

/// Sun from the days (UT) since 2000-01-01 12:00 UT.
/// Meeus, Astronomical Algorithms (2nd ed. 1998): ch. 25 low-accuracy Sun, ch. 22 short nutation series,
/// ch. 12 sidereal time (pages from memory), with the five perturbation terms of Meeus, Astronomical Formulae
/// for Calculators, ch. 18. The Sun's ecliptic latitude (below 1.2") is left out.
/// Holds for 1950-2100; worst error of the topocentric direction 0.005 deg against IAU 2006/2000A.
SunCoordinates sun_coordinates(double days_from_j2000, double delta_t_s = default_delta_t_s);

double days_from_j2000(UtcInstant instant);

/// Where the Sun stands. Zenith without refraction, parallax included; azimuth clockwise from north.
struct SunPosition {
    double zenith_deg = 0;   ///< 0 .. 180
    double azimuth_deg = 0;  ///< 0 .. 360
    double distance_au = 0;
};

/// UTC is taken for UT1 (difference below 0.9 s, 0.004 deg).
SunPosition sun_position(UtcInstant instant, double latitude_deg, double longitude_deg,
                         double delta_t_s = default_delta_t_s);
SunPosition sun_position(double days_from_j2000, double latitude_deg, double longitude_deg,
                         double delta_t_s = default_delta_t_s);

/// Rise of the seen Sun above the airless one [deg]; for display only, energy uses the airless position.
/// Reda & Andreas, NREL/TP-560-34302 (2004): dE = (p/1010 hPa)(283/(273+t)) 1.02/(60 tan(e + 10.3/(e
/// + 5.11))) for e > -0.8333 deg, else 0.
double refraction_deg(double airless_elevation_deg, double pressure_pa, double temperature_c);

/// Zenith of the Sun's center at civil sunrise: 34' of refraction and 16' of semidiameter.
inline constexpr double civil_horizon_zenith_deg = 90.8333;
/// Zenith at which direct energy begins: the airless horizon.
inline constexpr double energy_horizon_zenith_deg = 90;

enum class DayKind { rise_and_set, sun_all_day, no_sun };

/// Rise and set in hours of local standard time from 00:00 of the date (may lie outside 0..24 where the
/// clock is far from the sun). Meaningless unless kind is rise_and_set.
struct SunTimes {
    DayKind kind{};
    double rise_h = 0, set_h = 0;
};
SunTimes sun_times(Site const& site, int year, int month, int day,
                   double horizon_zenith_deg = civil_horizon_zenith_deg);

/// The Sun over each hour of a year, evaluated once and shared by every plane of a site.
///
/// An hour's angles are those at the middle of its sun-up part (airless zenith below 90 deg), not at the half
/// hour: in a sunrise hour the half hour may be before sunrise. An hour without sun has fraction 0, the
/// zenith at its half hour, and azimuth 0. When the sun dips below the horizon inside an hour (polar summer
/// midnight) the middle of the longer part counts.
struct SunYear {
    int year = 0;
    Site site;
    std::vector<double> zenith_deg, cos_zenith, azimuth_deg;
    std::vector<double> sun_up_fraction;                   ///< 0 .. 1 of the hour
    std::vector<double> solar_time_h;                      ///< apparent solar time at that middle, 0 .. 24
    std::vector<double> sin_declination;                   ///< at that middle
    std::vector<double> air_mass;                          ///< relative, at that middle; at 90 deg when below
    std::vector<double> extraterrestrial_normal_w_m2;      ///< at that middle, also when the sun is down
    std::vector<double> extraterrestrial_horizontal_w_m2;  ///< exact mean over the whole hour
};

/// `shift_min` moves the clock: the Sun is taken that many minutes later (for testing time stamps).
/// A leap `year` is taken without its 29 February.
/// The slow part (declination, equation of time, distance) is computed once a day and interpolated
/// by parabola over two days, which costs less than 2e-5 deg.
SunYear sun_over_year(Site const& site, int year = 2023, double shift_min = 0);

}  // namespace holdwater::weather
