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

SunPosition to_horizon(double sin_h, double cos_h, double sin_dec, double cos_dec, double distance_au,
                       double sin_lat, double cos_lat) {
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
    s.center_deg = (1.914602 - 0.004817 * t - 0.000014 * t * t) * sin_deg(m) +
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
        wrap_360(s.mean_longitude_deg + s.center_deg + s.perturbation_deg - 0.00569 + s.nutation_deg);
    s.obliquity_deg = 23.43929111 - 0.0130041667 * t + s.obliquity_nutation_deg;
    double const sin_lambda = sin_deg(s.longitude_deg);
    s.right_ascension_deg =
        wrap_360(std::atan2(cos_deg(s.obliquity_deg) * sin_lambda, cos_deg(s.longitude_deg)) * deg_per_rad);
    s.declination_deg = std::asin(sin_deg(s.obliquity_deg) * sin_lambda) * deg_per_rad;
    double const e = 0.016708634 - 0.000042037 * t;
    s.distance_au = 1.000001018 * (1 - e * e) / (1 + e * cos_deg(m + s.center_deg));
    double const centuries_ut = n / 36525;
    s.sidereal_deg = wrap_360(280.46061837 + 360.98564736629 * n + 0.000387933 * centuries_ut * centuries_ut +
                              s.nutation_deg * cos_deg(s.obliquity_deg));
    return s;
}

SunPosition sun_position(double n, double latitude_deg, double longitude_deg, double delta_t_s) {
    SunCoordinates const s = sun_coordinates(n, delta_t_s);
    double const hour_angle_deg = s.sidereal_deg + longitude_deg - s.right_ascension_deg;
    return to_horizon(sin_deg(hour_angle_deg), cos_deg(hour_angle_deg), sin_deg(s.declination_deg),
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
    // With the sun overhead the formula gives zero or slightly less.
    return std::max(0.0, pressure_pa / 101000 * (283 / (273 + temperature_c)) * 1.02 / (60 * tangent));
}

SunTimes sun_times(Site const& site, int year, int month, int day, double horizon_zenith_deg) {
    double const midnight = days_at_midnight_ut(year, month, day);  // of universal time
    auto const zenith = [&](double ut_h) {
        return sun_position(midnight + ut_h / 24, site.latitude_deg, site.longitude_deg).zenith_deg;
    };
    // Hour angle zero: two Newton steps from mean noon (the hour angle grows by 15 deg an hour).
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

/// Parabola through values at the start, middle and end; x from 0 to 1.
struct Parabola {
    double a = 0, b = 0, c = 0;  // a + b x + c x^2
    Parabola() = default;
    Parabola(double at_0, double at_half, double at_1)
        : a(at_0), b(4 * at_half - 3 * at_0 - at_1), c(2 * (at_0 + at_1) - 4 * at_half) {}
    double operator()(double x) const { return a + x * (b + x * c); }
    /// Its first (0) or second (1) half, stretched to x from 0 to 1.
    Parabola half(std::size_t second) const {
        Parabola p;
        p.a = second ? (*this)(0.5) : a;
        p.b = second ? 0.5 * (b + c) : 0.5 * b;
        p.c = 0.25 * c;
        return p;
    }
};

/// The slow quantities of one local day.
struct SunDay {
    Parabola hour_angle_deg, sin_dec, cos_dec, distance_au;
};

/// Sine and cosine of the hour angle at a time of day, and sine of the elevation without air.
struct Moment {
    double x = 0;  // fraction of the day
    double hour_angle_deg = 0, sin_hour = 0, cos_hour = 0, sin_elevation = 0;
};

/// One day at one place.
struct DayAtPlace {
    SunDay const& day;
    double sin_lat = 0, cos_lat = 0;

    Moment at(double x) const {
        double const hour_angle_deg = day.hour_angle_deg(x);
        double const w = hour_angle_deg * rad_per_deg;
        double const sin_w = std::sin(w), cos_w = std::cos(w);
        double const up = day.sin_dec(x) * sin_lat + day.cos_dec(x) * cos_w * cos_lat;
        return {x, hour_angle_deg, sin_w, cos_w, up - parallax_deg * rad_per_deg * (1 - up * up)};
    }
    /// The moment at which the elevation changes sign between two moments (it is monotone between them):
    /// false position, with a bisection in every third step.
    Moment crossing(Moment from, Moment to) const {
        Moment middle = from;
        for (int step = 0; step < 60 && std::abs(to.x - from.x) > 1e-7; ++step) {
            double x =
                from.x - from.sin_elevation * (to.x - from.x) / (to.sin_elevation - from.sin_elevation);
            if (step % 3 == 2) x = 0.5 * (from.x + to.x);
            middle = at(x);
            if (std::abs(middle.sin_elevation) < 1e-10) break;
            ((middle.sin_elevation > 0) == (from.sin_elevation > 0) ? from : to) = middle;
        }
        return middle;
    }
};

/// Sun-up part of an hour: at most two pieces.
struct SunUpPart {
    struct Piece {
        Moment from, to;
        double length() const { return to.x - from.x; }
    };
    Piece piece[2];
    int pieces = 0;
    double length() const {
        return pieces == 0 ? 0 : pieces == 1 ? piece[0].length() : piece[0].length() + piece[1].length();
    }
    Piece const& longest() const {
        return pieces == 2 && piece[1].length() > piece[0].length() ? piece[1] : piece[0];
    }
};

/// If the elevation is not monotone in the hour, the hour is split at noon or midnight.
SunUpPart sun_up_part(DayAtPlace const& place, Moment const& begin, Moment const& end) {
    Moment cut[3] = {begin, end, end};
    int cuts = 1;
    double const turn_deg = (std::floor(begin.hour_angle_deg / 180) + 1) * 180;
    if (turn_deg < end.hour_angle_deg) {
        double const share = (turn_deg - begin.hour_angle_deg) / (end.hour_angle_deg - begin.hour_angle_deg);
        cut[1] = place.at(begin.x + (end.x - begin.x) * share);
        cuts = 2;
    }
    SunUpPart part;
    for (int i = 0; i < cuts; ++i) {
        Moment const &a = cut[i], &b = cut[i + 1];
        bool const a_up = a.sin_elevation > 0, b_up = b.sin_elevation > 0;
        if (!a_up && !b_up) continue;
        Moment const from = a_up ? a : place.crossing(a, b), to = b_up ? b : place.crossing(a, b);
        if (part.pieces > 0 && a_up)
            part.piece[part.pieces - 1].to = to;
        else
            part.piece[part.pieces++] = {from, to};
    }
    return part;
}

}  // namespace

SunYear sun_over_year(Site const& site, int year, double shift_min) {
    SunYear out;
    out.year = year;
    out.site = site;
    for (auto* v : {&out.zenith_deg, &out.cos_zenith, &out.azimuth_deg, &out.sun_up_fraction,
                    &out.solar_time_h, &out.sin_declination, &out.air_mass, &out.sin_declination,
                    &out.extraterrestrial_normal_w_m2, &out.extraterrestrial_horizontal_w_m2})
        v->resize(hours_per_year);
    double const sin_lat = sin_deg(site.latitude_deg), cos_lat = cos_deg(site.latitude_deg);
    double const to_ut_days = (shift_min / 60 - site.utc_offset_h) / 24;

    double const air_mass_at_horizon = relative_air_mass(90);
    // The slow quantities at midnight of every calendar day; a parabola goes through three of them.
    bool const leap = date::year{year}.is_leap();
    std::size_t const knots = (leap ? 366 : 365) + 3;
    std::vector<double> hour_angle_deg(knots), sin_declination(knots), cos_declination(knots),
        distance_au(knots);
    double const first_midnight = days_at_midnight_ut(year, 1, 1) + to_ut_days;
    for (std::size_t k = 0; k < knots; ++k) {
        SunCoordinates const s = sun_coordinates(first_midnight + static_cast<double>(k));
        double const angle = s.sidereal_deg + site.longitude_deg - s.right_ascension_deg;
        // It is nearly the same at every midnight, so it continues from the one before, without a jump at
        // 180.
        hour_angle_deg[k] =
            k == 0 ? wrap_180(angle) : hour_angle_deg[k - 1] + wrap_180(angle - hour_angle_deg[k - 1]);
        sin_declination[k] = sin_deg(s.declination_deg);
        cos_declination[k] = cos_deg(s.declination_deg);
        distance_au[k] = s.distance_au;
    }
    for (int day = 0; day < 365; ++day) {
        auto const calendar_day = static_cast<std::size_t>(day) + (leap && day >= 59 ? 1U : 0U);
        std::size_t const k = calendar_day - calendar_day % 2;
        auto const parabola = [&](std::vector<double> const& v) {
            return Parabola(v[k], v[k + 1], v[k + 2]).half(calendar_day % 2);
        };
        SunDay sun_day{parabola(hour_angle_deg), parabola(sin_declination), parabola(cos_declination),
                       parabola(distance_au)};
        sun_day.hour_angle_deg.b += 360;
        DayAtPlace const place{sun_day, sin_lat, cos_lat};
        Moment begin = place.at(0);
        for (int hour = 0; hour < 24; ++hour) {
            auto const i = 24 * static_cast<std::size_t>(day) + static_cast<std::size_t>(hour);
            Moment const end_of_hour = place.at((hour + 1) / 24.0);
            bool const both_up = begin.sin_elevation > 0 && end_of_hour.sin_elevation > 0;
            // The elevation has one minimum a day, at midnight. If the sun is up at both ends of an hour
            // without midnight, it is up all hour.
            bool const all_up = both_up && begin.sin_hour * end_of_hour.sin_hour > 0;
            SunUpPart part;
            if (all_up) {
                part.piece[0] = {begin, end_of_hour};
                part.pieces = 1;
            } else {
                part = sun_up_part(place, begin, end_of_hour);
            }
            double const length = part.length();
            double const x = length > 0 ? 0.5 * (part.longest().from.x + part.longest().to.x)
                                        : 0.5 * (begin.x + end_of_hour.x);
            Moment const middle = place.at(x);
            double const sun_au = sun_day.distance_au(x);
            double const sin_dec = sun_day.sin_dec(x), cos_dec = sun_day.cos_dec(x);
            double const normal = solar_constant_w_m2 / (sun_au * sun_au);
            double const solar_time_h = middle.hour_angle_deg / 15 + 12;
            out.solar_time_h[i] = solar_time_h - 24 * std::floor(solar_time_h / 24);
            out.extraterrestrial_normal_w_m2[i] = normal;
            out.cos_zenith[i] = middle.sin_elevation;
            begin = end_of_hour;
            out.sin_declination[i] = sin_dec;
            out.zenith_deg[i] = std::acos(std::clamp(middle.sin_elevation, -1.0, 1.0)) * deg_per_rad;
            if (length <= 0) {
                out.air_mass[i] = air_mass_at_horizon;
                continue;
            }
            double const azimuth_deg =
                deg_per_rad * std::atan2(-cos_dec * middle.sin_hour,
                                         sin_dec * cos_lat - cos_dec * middle.cos_hour * sin_lat);
            out.azimuth_deg[i] = azimuth_deg < 0 ? azimuth_deg + 360 : azimuth_deg;
            out.sun_up_fraction[i] = std::min(1.0, length * 24);
            out.air_mass[i] = relative_air_mass(out.zenith_deg[i]);
            double horizontal = 0;
            for (int p = 0; p < part.pieces; ++p) {
                // Mean of sin dec sin lat + cos dec cos lat cos w over the hour angles of the part.
                auto const& [from, to] = part.piece[p];
                double const width = (to.hour_angle_deg - from.hour_angle_deg) * rad_per_deg;
                if (width <= 0) continue;
                double const mean =
                    sin_dec * sin_lat + cos_dec * cos_lat * (to.sin_hour - from.sin_hour) / width;
                horizontal += (to.x - from.x) * 24 * std::max(0.0, mean);
            }
            out.extraterrestrial_horizontal_w_m2[i] = normal * horizontal;
        }
    }
    return out;
}

}  // namespace holdwater::weather
