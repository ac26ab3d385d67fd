#include "weather/sun_position.hpp"

#include <date/date.h>

#include <algorithm>
#include <cmath>

#include "weather/angles.hpp"
#include "weather/atmosphere.hpp"

namespace holdwater::weather {

namespace {

/// Equatorial horizontal parallax of the Sun, 8.794".
constexpr double parallax_deg = 0.0024428;

double days_at_midnight_ut(int year, int month, int day) {
    auto const midnight = date::sys_days{date::year{year} / month / day};
    auto const j2000 = date::sys_days{date::year{2000} / 1 / 1};
    return static_cast<double>((midnight - j2000).count()) - 0.5;
}

SunPosition to_horizon(double hour_angle_deg, double sin_dec, double cos_dec, double distance_au,
                       double sin_lat, double cos_lat) {
    double const sin_h = sin_deg(hour_angle_deg), cos_h = cos_deg(hour_angle_deg);
    double const east = -cos_dec * sin_h;
    double const north = sin_dec * cos_lat - cos_dec * cos_h * sin_lat;
    double const up = sin_dec * sin_lat + cos_dec * cos_h * cos_lat;
    double const horizontal = std::sqrt(east * east + north * north);
    double const geocentric_zenith_deg = std::atan2(horizontal, up) * deg_per_rad;
    double const azimuth_deg = std::atan2(east, north) * deg_per_rad;
    return {geocentric_zenith_deg + parallax_deg * horizontal,
            azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg, distance_au};
}

}  // namespace

double days_from_j2000(UtcInstant instant) {
    auto const noon = date::sys_days{date::year{2000} / 1 / 1} + std::chrono::hours{12};
    return std::chrono::duration<double, std::ratio<86400>>(instant - noon).count();
}

SunCoordinates sun_coordinates(double n, double delta_t_s) {
    SunCoordinates s{};
    double const t = (n + delta_t_s / 86400) / 36525;
    double const t0 = t + 1;
    s.centuries = t;
    s.mean_longitude_deg = wrap_360(280.46646 + 36000.76983 * t + 0.0003032 * t * t);
    s.mean_anomaly_deg = wrap_360(357.52911 + 35999.05029 * t - 0.0001537 * t * t);
    double const m = s.mean_anomaly_deg;
    s.centre_deg = (1.914602 - 0.004817 * t - 0.000014 * t * t) * sin_deg(m) +
                   (0.019993 - 0.000101 * t) * sin_deg(2 * m) + 0.000289 * sin_deg(3 * m);
    s.perturbation_deg = 0.00134 * cos_deg(153.23 + 22518.7541 * t0) +
                         0.00154 * cos_deg(216.57 + 45037.5082 * t0) +
                         0.00200 * cos_deg(312.69 + 32964.3577 * t0) +
                         0.00179 * sin_deg(350.74 + 445267.1142 * t0 - 0.00144 * t0 * t0) +
                         0.00178 * sin_deg(231.19 + 20.20 * t0);
    double const node = 125.04452 - 1934.136261 * t;
    double const sun2 = 2 * (280.4665 + 36000.7698 * t);
    double const moon2 = 2 * (218.3165 + 481267.8813 * t);
    s.nutation_deg =
        (-17.20 * sin_deg(node) - 1.32 * sin_deg(sun2) - 0.23 * sin_deg(moon2) + 0.21 * sin_deg(2 * node)) /
        3600;
    s.obliquity_nutation_deg =
        (9.20 * cos_deg(node) + 0.57 * cos_deg(sun2) + 0.10 * cos_deg(moon2) - 0.09 * cos_deg(2 * node)) /
        3600;
    s.longitude_deg =
        wrap_360(s.mean_longitude_deg + s.centre_deg + s.perturbation_deg - 0.00569 + s.nutation_deg);
    s.obliquity_deg = 23.43929111 - 0.0130041667 * t + s.obliquity_nutation_deg;
    double const sin_lambda = sin_deg(s.longitude_deg);
    s.right_ascension_deg =
        wrap_360(std::atan2(cos_deg(s.obliquity_deg) * sin_lambda, cos_deg(s.longitude_deg)) * deg_per_rad);
    s.declination_deg = std::asin(sin_deg(s.obliquity_deg) * sin_lambda) * deg_per_rad;
    double const e = 0.016708634 - 0.000042037 * t;
    s.distance_au = 1.000001018 * (1 - e * e) / (1 + e * cos_deg(m + s.centre_deg));
    double const centuries_ut = n / 36525;
    s.sidereal_deg = wrap_360(280.46061837 + 360.98564736629 * n + 0.000387933 * centuries_ut * centuries_ut +
                              s.nutation_deg * cos_deg(s.obliquity_deg));
    return s;
}

SunPosition sun_position(double n, double latitude_deg, double longitude_deg, double delta_t_s) {
    SunCoordinates const s = sun_coordinates(n, delta_t_s);
    return to_horizon(s.sidereal_deg + longitude_deg - s.right_ascension_deg, sin_deg(s.declination_deg),
                      cos_deg(s.declination_deg), s.distance_au, sin_deg(latitude_deg),
                      cos_deg(latitude_deg));
}

SunPosition sun_position(UtcInstant instant, double latitude_deg, double longitude_deg, double delta_t_s) {
    return sun_position(days_from_j2000(instant), latitude_deg, longitude_deg, delta_t_s);
}

double refraction_deg(double airless_elevation_deg, double pressure_pa, double temperature_c) {
    double const e = airless_elevation_deg;
    if (!(e > -0.8333)) return 0;
    double const tangent = std::tan((e + 10.3 / (e + 5.11)) * rad_per_deg);
    // Overhead the formula passes through zero and a hair below it.
    return std::max(0.0, pressure_pa / 101000 * (283 / (273 + temperature_c)) * 1.02 / (60 * tangent));
}

SunTimes sun_times(Site const& site, int year, int month, int day, double horizon_zenith_deg) {
    double const midnight = days_at_midnight_ut(year, month, day);  // of universal time
    auto const zenith = [&](double ut_h) {
        return sun_position(midnight + ut_h / 24, site.latitude_deg, site.longitude_deg).zenith_deg;
    };
    // Hour angle zero: two Newton steps from the mean noon (the hour angle gains 15 deg an hour).
    auto const transit_near = [&](double ut_h) {
        for (int step = 0; step < 3; ++step) {
            SunCoordinates const s = sun_coordinates(midnight + ut_h / 24);
            ut_h -= wrap_180(s.sidereal_deg + site.longitude_deg - s.right_ascension_deg) / 15;
        }
        return ut_h;
    };
    // The transit that falls on the local date.
    double const noon =
        transit_near(12 - site.utc_offset_h + wrap_180(15 * site.utc_offset_h - site.longitude_deg) / 15);
    auto const crossing = [&](double below, double above) {
        for (int step = 0; step < 40; ++step) {
            double const middle = 0.5 * (below + above);
            (zenith(middle) > horizon_zenith_deg ? below : above) = middle;
        }
        return 0.5 * (below + above) + site.utc_offset_h;
    };
    if (zenith(noon) > horizon_zenith_deg) return {DayKind::no_sun, 0, 0};
    if (zenith(noon - 12) <= horizon_zenith_deg || zenith(noon + 12) <= horizon_zenith_deg)
        return {DayKind::sun_all_day, 0, 0};
    return {DayKind::rise_and_set, crossing(noon - 12, noon), crossing(noon + 12, noon)};
}

namespace {

/// Parabola through values at the start, middle and end of a day; x from 0 to 1.
struct Parabola {
    double a = 0, b = 0, c = 0;  // a + b x + c x^2
    Parabola() = default;
    Parabola(double at_0, double at_half, double at_1)
        : a(at_0), b(4 * at_half - 3 * at_0 - at_1), c(2 * (at_0 + at_1) - 4 * at_half) {}
    double operator()(double x) const { return a + x * (b + x * c); }
};

/// The slow quantities of one local day.
struct SunDay {
    Parabola hour_angle_deg, sin_dec, cos_dec, distance_au;
};

/// One day at one place: the elevation function of the time of day.
struct DayAtPlace {
    SunDay const& day;
    double sin_lat, cos_lat;

    double sin_elevation(double x) const {
        double const cos_h = cos_deg(day.hour_angle_deg(x));
        return day.sin_dec(x) * sin_lat + day.cos_dec(x) * cos_h * cos_lat - parallax_deg * rad_per_deg;
    }
    SunPosition position(double x) const {
        return to_horizon(day.hour_angle_deg(x), day.sin_dec(x), day.cos_dec(x), day.distance_au(x), sin_lat,
                          cos_lat);
    }
    /// Where the elevation changes sign between x0 and x1 (monotone between), by the regula falsi kept
    /// inside.
    double crossing(double x0, double f0, double x1, double f1) const {
        for (int step = 0; step < 60 && std::abs(x1 - x0) > 1e-7; ++step) {
            double x = x0 - f0 * (x1 - x0) / (f1 - f0);
            if (step % 3 == 2) x = 0.5 * (x0 + x1);
            double const f = sin_elevation(x);
            if (std::abs(f) < 1e-10) return x;
            if ((f > 0) == (f0 > 0)) {
                x0 = x, f0 = f;
            } else {
                x1 = x, f1 = f;
            }
        }
        return 0.5 * (x0 + x1);
    }
};

struct SunUpPart {
    double fraction = 0;  // of the hour
    double middle = 0;    // as fraction of the day
    double piece[2][2] = {};
    int pieces = 0;
};

/// Sun-up part of [x0, x1], elevations known at the ends; the turning points noon and midnight split it.
SunUpPart sun_up_part(DayAtPlace const& place, double x0, double f0, double x1, double f1) {
    SunUpPart part;
    double const hour_angle0 = place.day.hour_angle_deg(x0), hour_angle1 = place.day.hour_angle_deg(x1);
    double const next_turn = (std::floor(hour_angle0 / 180) + 1) * 180;
    double cut[3] = {x0, x1, x1}, f[3] = {f0, f1, f1};
    int cuts = 1;
    if (next_turn < hour_angle1) {
        cut[1] = x0 + (x1 - x0) * (next_turn - hour_angle0) / (hour_angle1 - hour_angle0);
        f[1] = place.sin_elevation(cut[1]);
        cuts = 2;
    }
    double best = 0;
    for (int i = 0; i < cuts; ++i) {
        if (f[i] <= 0 && f[i + 1] <= 0) continue;
        double a = cut[i], b = cut[i + 1];
        if (f[i] <= 0) a = place.crossing(cut[i], f[i], cut[i + 1], f[i + 1]);
        if (f[i + 1] <= 0) b = place.crossing(cut[i], f[i], cut[i + 1], f[i + 1]);
        if (part.pieces > 0 && part.piece[part.pieces - 1][1] == a)
            part.piece[part.pieces - 1][1] = b;
        else {
            part.piece[part.pieces][0] = a;
            part.piece[part.pieces++][1] = b;
        }
    }
    for (int i = 0; i < part.pieces; ++i) {
        double const length = part.piece[i][1] - part.piece[i][0];
        part.fraction += length / (x1 - x0);
        if (length > best) best = length, part.middle = 0.5 * (part.piece[i][0] + part.piece[i][1]);
    }
    return part;
}

}  // namespace

SunYear sun_over_year(Site const& site, int year, double shift_min) {
    SunYear out;
    out.year = year;
    out.site = site;
    for (auto* v :
         {&out.zenith_deg, &out.cos_zenith, &out.azimuth_deg, &out.sun_up_fraction, &out.solar_time_h,
          &out.air_mass, &out.extraterrestrial_normal_w_m2, &out.extraterrestrial_horizontal_w_m2})
        v->resize(hours_per_year);
    double const sin_lat = sin_deg(site.latitude_deg), cos_lat = cos_deg(site.latitude_deg);
    double const to_ut_days = (shift_min / 60 - site.utc_offset_h) / 24;

    struct Slow {
        double hour_angle_deg, sin_dec, cos_dec, distance_au;
    };
    auto const slow_at = [&](double n) {
        SunCoordinates const s = sun_coordinates(n);
        return Slow{wrap_180(s.sidereal_deg + site.longitude_deg - s.right_ascension_deg),
                    sin_deg(s.declination_deg), cos_deg(s.declination_deg), s.distance_au};
    };
    // After `before`, the hour angle has grown by about 180 deg in half a day.
    auto const unwrap = [](double before_deg, double now_deg) {
        return before_deg + 180 + wrap_180(now_deg - before_deg - 180);
    };
    bool const leap = date::year{year}.is_leap();
    double const first_day = days_at_midnight_ut(year, 1, 1);
    Slow at_start{};
    double known_for = -1;
    for (int day = 0; day < 365; ++day) {
        double const n0 = first_day + day + (leap && day >= 59 ? 1 : 0) + to_ut_days;
        if (known_for != n0) at_start = slow_at(n0);
        Slow const mid = slow_at(n0 + 0.5), end = slow_at(n0 + 1);
        double const h1 = unwrap(at_start.hour_angle_deg, mid.hour_angle_deg);
        double const h2 = unwrap(h1, end.hour_angle_deg);
        SunDay const sun_day{{at_start.hour_angle_deg, h1, h2},
                             {at_start.sin_dec, mid.sin_dec, end.sin_dec},
                             {at_start.cos_dec, mid.cos_dec, end.cos_dec},
                             {at_start.distance_au, mid.distance_au, end.distance_au}};
        at_start = end;
        known_for = n0 + 1;
        DayAtPlace const place{sun_day, sin_lat, cos_lat};
        double sin_elevation0 = place.sin_elevation(0);
        for (int hour = 0; hour < 24; ++hour) {
            auto const i = static_cast<std::size_t>(day * 24 + hour);
            double const x0 = hour / 24.0, x1 = (hour + 1) / 24.0;
            double const sin_elevation1 = place.sin_elevation(x1);
            SunUpPart const part = sun_up_part(place, x0, sin_elevation0, x1, sin_elevation1);
            sin_elevation0 = sin_elevation1;
            double const x = part.fraction > 0 ? part.middle : 0.5 * (x0 + x1);
            SunPosition const sun = place.position(x);
            double const normal = solar_constant_w_m2 / (sun.distance_au * sun.distance_au);
            out.zenith_deg[i] = sun.zenith_deg;
            out.cos_zenith[i] = cos_deg(sun.zenith_deg);
            out.azimuth_deg[i] = sun.azimuth_deg;
            out.sun_up_fraction[i] = part.fraction;
            out.solar_time_h[i] = wrap_360(sun_day.hour_angle_deg(x) + 180) / 15;
            out.air_mass[i] = relative_air_mass(part.fraction > 0 ? sun.zenith_deg : 90.0);
            out.extraterrestrial_normal_w_m2[i] = normal;
            double horizontal = 0;
            for (int p = 0; p < part.pieces; ++p) {
                // Mean of cos z = A + B cos w over hour angles w1..w2 (declination held).
                double const w1 = sun_day.hour_angle_deg(part.piece[p][0]) * rad_per_deg;
                double const w2 = sun_day.hour_angle_deg(part.piece[p][1]) * rad_per_deg;
                double const share = (part.piece[p][1] - part.piece[p][0]) / (x1 - x0);
                double const mean = sun_day.sin_dec(x) * sin_lat +
                                    sun_day.cos_dec(x) * cos_lat *
                                        (w2 > w1 ? (std::sin(w2) - std::sin(w1)) / (w2 - w1) : std::cos(w1));
                horizontal += share * std::max(0.0, mean);
            }
            out.extraterrestrial_horizontal_w_m2[i] = normal * horizontal;
        }
    }
    return out;
}

}  // namespace holdwater::weather
