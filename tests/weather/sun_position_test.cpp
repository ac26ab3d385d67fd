#include "weather/sun_position.hpp"

#include <date/date.h>
#include <doctest/doctest.h>
#include <erfa.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "weather/angles.hpp"
#include "weather/random.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

UtcInstant utc(std::string const& text) {
    std::istringstream in(text);
    UtcInstant instant;
    in >> date::parse("%Y-%m-%d %H:%M:%S", instant);
    REQUIRE_FALSE(in.fail());
    return instant;
}

double separation_deg(double zenith1_deg, double azimuth1_deg, double zenith2_deg, double azimuth2_deg) {
    auto const vector = [](double z, double a, double v[3]) {
        v[0] = sin_deg(z) * sin_deg(a), v[1] = sin_deg(z) * cos_deg(a), v[2] = cos_deg(z);
    };
    double a[3], b[3];
    vector(zenith1_deg, azimuth1_deg, a);
    vector(zenith2_deg, azimuth2_deg, b);
    return eraSepp(a, b) * deg_per_rad;
}

/// Topocentric airless Sun by the IAU 2006/2000A chain of the ERFA library: barycentric Earth and Sun, light
/// time, aberration, precession, nutation, Earth rotation; then the parallax of 8.794" at 1 AU.
SunPosition sun_by_erfa(double days, double latitude_deg, double longitude_deg) {
    double const jd1 = 2451545.0, jd2 = days;
    int leap_year, leap_month, leap_day;
    double fraction, tai_utc = 0;
    eraJd2cal(jd1, jd2, &leap_year, &leap_month, &leap_day, &fraction);
    eraDat(leap_year, leap_month, leap_day, fraction, &tai_utc);
    double const tt2 = jd2 + (tai_utc + 32.184) / 86400;
    double earth_from_sun[2][3], earth[2][3];
    eraEpv00(jd1, tt2, earth_from_sun, earth);
    double const light_days = 499.004784 / 86400 * eraPm(earth_from_sun[0]);
    double earlier_from_sun[2][3], earlier[2][3];
    eraEpv00(jd1, tt2 - light_days, earlier_from_sun, earlier);
    double direction[3];
    for (int k = 0; k < 3; ++k) direction[k] = (earlier[0][k] - earlier_from_sun[0][k]) - earth[0][k];
    double ra, dec, azimuth, zenith, hour_angle, dec_observed, ra_observed, origins;
    eraC2s(direction, &ra, &dec);
    int const status = eraAtco13(eraAnp(ra), dec, 0, 0, 0, 0, jd1, jd2, 0, longitude_deg * rad_per_deg,
                                 latitude_deg * rad_per_deg, 0, 0, 0, 0, 0, 0, 0.5, &azimuth, &zenith,
                                 &hour_angle, &dec_observed, &ra_observed, &origins);
    REQUIRE(status >= 0);  // +1 says only that leap seconds of that year are not certain
    double const distance_au = eraPm(earth_from_sun[0]);
    double const zenith_deg = zenith * deg_per_rad;
    return {zenith_deg + 8.794 / 3600 / distance_au * std::sin(zenith), azimuth * deg_per_rad, distance_au};
}

}  // namespace

TEST_SUITE_BEGIN("weather/sun_position");

// Recomputed in double precision from the equations in sun_position.hpp (Meeus), for 2003-10-17 19:30:30 UT,
// delta T 67 s; printed to 1e-6.
TEST_CASE("the intermediate values of one instant") {
    auto const s = sun_coordinates(1385.3128472222, 67);
    CHECK(s.centuries == Near{0.037927819923, 1e-11, 0});
    CHECK(s.mean_longitude_deg == Near{205.897176, 1e-5, 0});
    CHECK(s.mean_anomaly_deg == Near{282.894607, 1e-5, 0});
    CHECK(s.center_deg == Near{-1.874613, 1e-5, 0});
    CHECK(s.perturbation_deg == Near{-0.004052, 1e-5, 0});
    CHECK(s.nutation_deg == Near{-0.003936, 1e-5, 0});
    CHECK(s.obliquity_nutation_deg == Near{0.001668, 1e-5, 0});
    CHECK(s.longitude_deg == Near{204.008885, 1e-5, 0});
    CHECK(s.obliquity_deg == Near{23.440466, 1e-5, 0});
    CHECK(s.right_ascension_deg == Near{202.227683, 1e-5, 0});
    CHECK(s.declination_deg == Near{-9.314557, 1e-5, 0});
    CHECK(s.sidereal_deg == Near{318.511967, 1e-5, 0});
    CHECK(s.distance_au == Near{0.996539, 1e-6, 0});
    CHECK(days_from_j2000(utc("2003-10-17 19:30:30")) == Near{1385.3128472222, 1e-9, 0});
    auto const p = sun_position(utc("2003-10-17 19:30:30"), 39.742476, -105.1786, 67);
    CHECK(p.zenith_deg == Near{50.128126, 1e-5, 0});
    CHECK(p.azimuth_deg == Near{194.339908, 1e-5, 0});
}

// Reda & Andreas, NREL/TP-560-34302, appendix example: zenith 50.11162 and azimuth 194.34024 as quoted in the
// report. The tolerance is that of the method here (0.006 deg), not that of the report (0.0003 deg).
TEST_CASE("the published example of the solar position algorithm report") {
    auto const p = sun_position(utc("2003-10-17 19:30:30"), 39.742476, -105.1786, 67);
    CHECK(p.zenith_deg - refraction_deg(90 - p.zenith_deg, 82000, 11) == Near{50.11162, 0.006, 0});
    CHECK(p.azimuth_deg == Near{194.34024, 0.006, 0});
}

// The same example: incidence 25.18700, airless elevation 39.872046 and refraction 0.016332 from memory.
TEST_CASE("further values of the solar position report's example") {
    auto const p = sun_position(utc("2003-10-17 19:30:30"), 39.742476, -105.1786, 67);
    double const elevation_deg = 90 - p.zenith_deg;
    double const refraction = refraction_deg(elevation_deg, 82000, 11);
    CHECK(refraction == Near{0.016332, 5e-6, 0});
    CHECK(elevation_deg == Near{39.872046, 0.006, 0});
    double const tilt_deg = 30, facing_deg = 170, z = p.zenith_deg - refraction;
    double const cos_incidence =
        cos_deg(z) * cos_deg(tilt_deg) + sin_deg(z) * sin_deg(tilt_deg) * cos_deg(p.azimuth_deg - facing_deg);
    CHECK(std::acos(cos_incidence) * deg_per_rad == Near{25.18700, 0.006, 0});
}

// Zenith, azimuth and distance computed with an independent astronomy library (IAU 2006/2000A, topocentric,
// airless); "own" is the method as recomputed apart from this code, 1e-4 deg. Azimuth is judged through the
// great circle because it means little near the zenith.
TEST_CASE("sun positions through the years and around the Earth") {
    struct Row {
        std::string place, when;
        double lat, lon, zenith, azimuth, distance, own_zenith, own_azimuth, refraction;
    };
    for (auto const& r : std::vector<Row>{
             {"Colorado", "2003-10-17 19:30:30", 39.742476, -105.1786, 50.1279, 194.3402, 0.996515, 50.1281,
              194.3399, 0.0203},
             {"Reykjavik, winter, low", "2024-12-21 13:30:00", 64.15, -21.95, 87.5940, 180.8903, 0.983719,
              87.5940, 180.8888, 0.2584},
             {"Sydney, summer", "2024-01-15 02:00:00", -33.87, 151.21, 12.6664, 4.5094, 0.983588, 12.6667,
              4.5131, 0.0038},
             {"Cape Town, winter, low", "1995-06-21 06:30:00", -33.93, 18.42, 83.9189, 56.3741, 1.016263,
              83.9187, 56.3738, 0.1389},
             {"Quito, equinox", "2010-03-20 17:15:00", -0.18, -78.47, 1.5883, 83.6639, 0.995901, 1.5888,
              83.6583, 0.0004},
             {"Phoenix, solstice", "2035-06-21 19:30:00", 33.45, -112.07, 10.0186, 179.7766, 1.016167,
              10.0187, 179.7813, 0.0030},
             {"Fairbanks, sun below horizon", "1980-06-21 10:00:00", 64.84, -147.72, 91.7111, 1.6985,
              1.016326, 91.7113, 1.6969, 0},
             {"Punta Arenas, winter", "2049-07-01 16:30:00", -53.16, -70.91, 76.2927, 4.1945, 1.016641,
              76.2928, 4.1966, 0.0671},
             {"Nairobi, sun in north", "2018-06-30 09:00:00", -1.29, 36.82, 26.0033, 19.3500, 1.016571,
              26.0032, 19.3489, 0.0083},
             {"Denver, near sunset", "2023-11-05 23:45:00", 39.74, -104.99, 89.2833, 248.5818, 0.991463,
              89.2834, 248.5815, 0.3931},
             {"London, early", "1962-02-10 08:00:00", 51.5, -0.12, 85.8949, 119.5078, 0.986863, 85.8947,
              119.5077, 0.1866},
             {"Darwin area, near zenith", "2005-11-03 03:15:00", -12.46, 130.84, 4.4369, 233.5892, 0.991963,
              4.4367, 233.5875, 0.0013},
         }) {
        CAPTURE(r.place);
        auto const p = sun_position(utc(r.when), r.lat, r.lon);
        CHECK(separation_deg(p.zenith_deg, p.azimuth_deg, r.zenith, r.azimuth) < 0.006);
        CHECK(p.distance_au == Near{r.distance, 1.5e-4, 0});
        CHECK(separation_deg(p.zenith_deg, p.azimuth_deg, r.own_zenith, r.own_azimuth) < 1e-4);
        CHECK(refraction_deg(90 - p.zenith_deg, 101325, 10) == Near{r.refraction, 1e-4, 0});
    }
}

// ERFA (IAU standards of fundamental astronomy), the installed library, at run time.
TEST_CASE("10 000 random instants agree with the IAU chain") {
    Random random(20260101);
    double worst_deg = 0, sum_square = 0, worst_au = 0;
    int const n = 10000;
    for (int k = 0; k < n; ++k) {
        double const days = -18262 + 36525 * random.uniform();  // 1950 to 2050
        double const latitude_deg = -66 + 132 * random.uniform(),
                     longitude_deg = -180 + 360 * random.uniform();
        auto const own = sun_position(days, latitude_deg, longitude_deg);
        auto const iau = sun_by_erfa(days, latitude_deg, longitude_deg);
        double const off_deg =
            separation_deg(own.zenith_deg, own.azimuth_deg, iau.zenith_deg, iau.azimuth_deg);
        worst_deg = std::max(worst_deg, off_deg);
        worst_au = std::max(worst_au, std::abs(own.distance_au - iau.distance_au));
        sum_square += off_deg * off_deg;
    }
    MESSAGE("worst " << worst_deg << " deg, rms " << std::sqrt(sum_square / n) << " deg, distance "
                     << worst_au << " AU");
    CHECK(worst_deg < 0.006);
    CHECK(std::sqrt(sum_square / n) < 0.002);
    CHECK(worst_au < 1.5e-4);
}

// Computed with an independent astronomy library (IAU 2006/2000A); local standard time. 5 s, at 64 deg 15 s.
TEST_CASE("sunrise and sunset") {
    auto const hours = [](std::string const& clock) {
        return std::stod(clock.substr(0, 2)) + std::stod(clock.substr(3, 2)) / 60 +
               std::stod(clock.substr(6, 2)) / 3600;
    };
    struct Row {
        std::string place;
        double lat, lon, tz;
        int year, month, day;
        std::string rise, set, level_rise, level_set;
    };
    for (auto const& r : std::vector<Row>{
             {"Denver", 39.74, -104.99, -7, 2023, 6, 21, "04:32:09", "19:31:27", "04:37:14", "19:26:21"},
             {"Denver", 39.74, -104.99, -7, 2023, 12, 21, "07:17:25", "16:38:39", "07:22:28", "16:33:37"},
             {"Sydney", -33.87, 151.21, 10, 2024, 1, 15, "04:59:01", "19:09:07", "05:03:30", "19:04:39"},
             {"Sydney", -33.87, 151.21, 10, 2024, 7, 15, "06:58:01", "17:04:33", "07:02:29", "17:00:06"},
             {"Quito", -0.18, -78.47, -5, 2010, 3, 20, "06:18:04", "18:24:34", "06:21:24", "18:21:14"},
             {"Reykjavik", 64.15, -21.95, 0, 2024, 12, 21, "11:22:42", "15:29:33", "11:40:05", "15:12:10"},
             {"Greenwich", 51.4779, 0, 0, 2000, 1, 1, "08:05:37", "16:01:08", "08:12:26", "15:54:19"},
         }) {
        CAPTURE(r.place);
        double const tolerance_h = (r.lat > 60 ? 15.0 : 5.0) / 3600;
        Site const site{r.lat, r.lon, 0, r.tz};
        auto const seen = sun_times(site, r.year, r.month, r.day);
        REQUIRE(seen.kind == DayKind::rise_and_set);
        CHECK(seen.rise_h == Near{hours(r.rise), tolerance_h, 0});
        CHECK(seen.set_h == Near{hours(r.set), tolerance_h, 0});
        auto const level = sun_times(site, r.year, r.month, r.day, energy_horizon_zenith_deg);
        CHECK(level.rise_h == Near{hours(r.level_rise), tolerance_h, 0});
        CHECK(level.set_h == Near{hours(r.level_set), tolerance_h, 0});
    }
}

TEST_CASE("polar day, polar night and odd clocks") {
    CHECK(sun_times({70, 20, 0, 1}, 2023, 6, 21).kind == DayKind::sun_all_day);
    CHECK(sun_times({70, 20, 0, 1}, 2023, 12, 21).kind == DayKind::no_sun);
    // The same sun read on two clocks.
    auto const near = sun_times({20, 150, 0, 10}, 2023, 4, 1), far = sun_times({20, 150, 0, 14}, 2023, 4, 1);
    CHECK(far.rise_h == Near{near.rise_h + 4, 1e-3, 0});
    auto const half = sun_times({20, 150, 0, 9.5}, 2023, 4, 1);
    CHECK(half.set_h == Near{near.set_h - 0.5, 1e-3, 0});
}

TEST_CASE("refraction lifts the low sun by half a degree and nothing overhead") {
    CHECK(refraction_deg(0, 101325, 10) == Near{0.48, 0.02, 0});  // common practice, no source: about 29'
    CHECK(refraction_deg(90, 101325, 10) == Near{0, 1e-4, 0});
    CHECK(refraction_deg(-1, 101325, 10) == 0);
    CHECK(refraction_deg(10, 80000, 10) < refraction_deg(10, 101325, 10));
}

TEST_SUITE_END();
