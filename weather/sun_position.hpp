#pragma once

#include <chrono>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// An instant in universal time. Local standard time is this plus the UTC offset of the site.
using UtcInstant = std::chrono::sys_time<std::chrono::milliseconds>;

/// TT - UT [s]. One value is accurate enough: a change of 30 s moves the sun by 0.0003 deg.
inline constexpr double default_delta_t_s = 69;

/// Geocentric coordinates of the sun with intermediate values, angles in degrees (see sun_coordinates).
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

/// Coordinates of the sun at a number of days (UT) since 2000-01-01 12:00 UT.
/// Meeus, Astronomical Algorithms (2nd ed. 1998): ch. 25 low-accuracy sun, ch. 22 short nutation series,
/// ch. 12 sidereal time (chapters from memory), with the five perturbation terms of Meeus, Astronomical
/// Formulae for Calculators, ch. 18. Leaves out the ecliptic latitude of the sun (below 1.2").
/// Holds for 1950-2100; largest error of the topocentric direction 0.005 deg, compared with IAU 2006/2000A.
SunCoordinates sun_coordinates(double days_from_j2000, double delta_t_s = default_delta_t_s);

double days_from_j2000(UtcInstant instant);

/// Position of the sun. The zenith angle is without refraction and with parallax; azimuth clockwise from
/// north.
struct SunPosition {
    double zenith_deg = 0;   ///< 0 .. 180
    double azimuth_deg = 0;  ///< 0 .. 360
    double distance_au = 0;
};

/// UTC is used as UT1 (the difference is below 0.9 s, 0.004 deg).
SunPosition sun_position(UtcInstant instant, double latitude_deg, double longitude_deg,
                         double delta_t_s = default_delta_t_s);
SunPosition sun_position(double days_from_j2000, double latitude_deg, double longitude_deg,
                         double delta_t_s = default_delta_t_s);

/// Elevation of the visible sun above its position without air [deg]. For display only: energy uses the
/// position without air. Reda & Andreas, NREL/TP-560-34302 (2004): dE = (p/1010 hPa)(283/(273+t)) 1.02/(60
/// tan(e + 10.3/(e
/// + 5.11))) for e > -0.8333 deg, else 0.
double refraction_deg(double airless_elevation_deg, double pressure_pa, double temperature_c);

/// Zenith angle of the center of the sun at civil sunrise: 34' of refraction and 16' of semidiameter.
inline constexpr double civil_horizon_zenith_deg = 90.8333;
/// Zenith angle at which beam energy begins: the horizon without air.
inline constexpr double energy_horizon_zenith_deg = 90;

enum class DayKind { rise_and_set, sun_all_day, no_sun };

/// Sunrise and sunset in hours of local standard time from 00:00 of the date (outside 0..24 if the clock is
/// far from solar time). Meaningless unless kind is rise_and_set.
struct SunTimes {
    DayKind kind{};
    double rise_h = 0, set_h = 0;
};
SunTimes sun_times(Site const& site, int year, int month, int day,
                   double horizon_zenith_deg = civil_horizon_zenith_deg);

/// The sun in each hour of a year, computed once and used for every plane of a site.
///
/// The angles of an hour are those in the middle of its sun-up part (zenith below 90 deg without air), not at
/// the half hour, which can be before sunrise. An hour without sun has fraction 0, the zenith at its half
/// hour, and azimuth 0. If the sun goes below the horizon inside an hour and rises again (midnight in polar
/// summer), the middle of the longer part is used.
struct SunYear {
    int year = 0;
    Site site;
    std::vector<double> zenith_deg, cos_zenith, azimuth_deg;
    std::vector<double> sun_up_fraction;                   ///< 0 .. 1 of the hour
    std::vector<double> solar_time_h;                      ///< apparent solar time in that middle, 0 .. 24
    std::vector<double> sin_declination;                   ///< in that middle
    std::vector<double> air_mass;                          ///< relative, in that middle; at 90 deg if below
    std::vector<double> extraterrestrial_normal_w_m2;      ///< in that middle, with the sun down too
    std::vector<double> extraterrestrial_horizontal_w_m2;  ///< exact mean over the whole hour
};

/// `shift_min` shifts the clock: the sun is that many minutes later (for testing time stamps).
/// A leap year is used without its 29 February.
/// The slow quantities (declination, equation of time, distance) are computed once a day and interpolated
/// with a parabola over two days; the error is below 2e-5 deg.
SunYear sun_over_year(Site const& site, int year = 2023, double shift_min = 0);

}  // namespace holdwater::weather
