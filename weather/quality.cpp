#include "weather/quality.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "weather/angles.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::weather {

IrradianceLimits physically_possible(double cos_zenith, double sa) {
    double const mu = std::pow(std::max(cos_zenith, 0.0), 1.2);
    return {1.5 * sa * mu + 100, sa, 0.95 * sa * mu + 50};
}

IrradianceLimits extremely_rare(double cos_zenith, double sa) {
    double const cosine = std::max(cos_zenith, 0.0), mu = std::pow(cosine, 1.2);
    return {1.2 * sa * mu + 50, 0.95 * sa * std::pow(cosine, 0.2) + 10, 0.75 * sa * mu + 30};
}

double closure_residual(std::vector<double> const& ghi, std::vector<double> const& dni,
                        std::vector<double> const& dhi, SunYear const& sun) {
    double off = 0, total = 0;
    int hours = 0;
    for (std::size_t i = 0; i < ghi.size(); ++i) {
        double const beam = sun.sun_up_fraction[i] > 0 ? dni[i] * sun.cos_zenith[i] : 0;
        double const difference = std::abs(ghi[i] - dhi[i] - beam);
        if (!(difference >= 0) || std::max({ghi[i], dni[i], dhi[i]}) <= 0) continue;
        off += difference;
        total += ghi[i];
        ++hours;
    }
    return hours >= 500 && total > 0 ? off / total : std::numeric_limits<double>::quiet_NaN();
}

ShiftTest closure_shift_test(HourTable const& hours, SunYear const& sun, std::vector<int> const& shifts_min) {
    ShiftTest test;
    test.residual = closure_residual(hours.ghi_w_m2, hours.dni_w_m2, hours.dhi_w_m2, sun);
    test.best_residual = test.residual;
    if (std::isnan(test.residual)) return test;
    double const sin_lat = sin_deg(sun.site.latitude_deg), cos_lat = cos_deg(sun.site.latitude_deg);
    // The declination changes by at most 0.017 deg an hour, so only the hour angle must be shifted.
    std::vector<double> sin_turn, cos_turn, off(shifts_min.size());
    for (int shift : shifts_min) {
        sin_turn.push_back(sin_deg(0.25 * shift));
        cos_turn.push_back(cos_deg(0.25 * shift));
    }
    double total = 0;
    for (std::size_t i = 0; i < hours.ghi_w_m2.size(); ++i) {
        double const ghi = hours.ghi_w_m2[i], dni = hours.dni_w_m2[i], dhi = hours.dhi_w_m2[i];
        if (std::isnan(ghi + dni + dhi) || std::max({ghi, dni, dhi}) <= 0) continue;
        total += ghi;
        double const sin_dec = sun.sin_declination[i], cos_dec = std::sqrt(1 - sin_dec * sin_dec);
        double const hour_angle_deg = 15 * (sun.solar_time_h[i] - 12);
        double const sin_hour = sin_deg(hour_angle_deg), cos_hour = cos_deg(hour_angle_deg);
        for (std::size_t k = 0; k < off.size(); ++k) {
            double const turned = cos_hour * cos_turn[k] - sin_hour * sin_turn[k];
            double const cos_zenith = std::max(0.0, sin_dec * sin_lat + cos_dec * cos_lat * turned);
            off[k] += std::abs(ghi - dhi - dni * cos_zenith);
        }
    }
    for (std::size_t k = 0; k < off.size(); ++k)
        if (off[k] / total < test.best_residual) {
            test.best_residual = off[k] / total;
            test.best_shift_min = shifts_min[k];
        }
    return test;
}

namespace {

/// Hours that lie in runs of at least `least` equal values.
template <typename Counts>
int stuck_hours(std::vector<double> const& values, std::size_t least, Counts counts) {
    int stuck = 0;
    for (std::size_t start = 0; start < values.size();) {
        std::size_t end = start + 1;
        while (end < values.size() && values[end] == values[start]) ++end;
        if (end - start >= least && counts(values[start])) stuck += static_cast<int>(end - start);
        start = end;
    }
    return stuck;
}

}  // namespace

QualityReport check_quality(WeatherYear const& year, SunYear const& sun) {
    QualityReport r;
    double outside = 0;
    r.temperature_min_c = r.temperature_max_c = year.temperature_c[0];
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double const ghi = year.ghi_w_m2[i], dni = year.dni_w_m2[i], dhi = year.dhi_w_m2[i];
        r.ghi_kwh_m2 += ghi / 1000;
        r.dni_kwh_m2 += dni / 1000;
        r.dhi_kwh_m2 += dhi / 1000;
        outside += sun.extraterrestrial_horizontal_w_m2[i] / 1000;
        r.temperature_mean_c += year.temperature_c[i] / hours_per_year;
        r.temperature_min_c = std::min(r.temperature_min_c, year.temperature_c[i]);
        r.temperature_max_c = std::max(r.temperature_max_c, year.temperature_c[i]);
        if (ghi <= 0 && dni <= 0 && dhi <= 0) continue;
        if (sun.sun_up_fraction[i] <= 0) {
            ++r.light_without_sun_h;
            continue;
        }
        double const mu = sun.cos_zenith[i], normal = sun.extraterrestrial_normal_w_m2[i];
        auto const above = [&](IrradianceLimits const& limit) {
            return ghi > limit.ghi_w_m2 || dni > limit.dni_w_m2 || dhi > limit.dhi_w_m2;
        };
        if (above(physically_possible(mu, normal)))
            ++r.beyond_possible_h;
        else if (above(extremely_rare(mu, normal)))
            ++r.beyond_rare_h;
        bool const low_sun = sun.zenith_deg[i] >= 75;
        double const sum = dhi + dni * mu, tolerance = low_sun ? 0.15 : 0.08;
        bool const open = sum > 50 && std::abs(ghi / sum - 1) > tolerance;
        bool const too_diffuse = ghi > 50 && dhi / ghi > (low_sun ? 1.10 : 1.05);
        if (open || too_diffuse) ++r.ratio_h;
    }
    r.clearness = outside > 0 ? r.ghi_kwh_m2 / outside : 0;
    r.closure_residual = closure_residual(year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2, sun);
    r.stuck_light_h = stuck_hours(year.ghi_w_m2, 4, [](double v) { return v > 10; });
    r.stuck_temperature_h = stuck_hours(year.temperature_c, 24, [](double) { return true; });
    for (auto const& repair : year.repairs) r.repaired_h += repair.hours;
    return r;
}

void add_warnings(WeatherYear& year, QualityReport const& r, ShiftTest const& clock,
                  std::string const& clock_cure) {
    auto const warn = [&](std::string text) { year.warnings.push_back(std::move(text)); };
    Site const& site = year.site;
    double const solar_offset_h = site.longitude_deg / 15;
    if (std::abs(site.utc_offset_h - solar_offset_h) > 2.5)
        warn(
            fmt::format("UTC offset {:+g} h is {:.1f} h away from the longitude {:g} deg; check the signs "
                        "(west is negative)",
                        site.utc_offset_h, std::abs(site.utc_offset_h - solar_offset_h), site.longitude_deg));
    if (std::isnan(clock.residual))
        warn(
            "the file does not hold GHI, DNI and DHI of its own, so its clock could not be tested against "
            "the sun");
    else if (clock.tells())
        warn(fmt::format(
            "the file's clock disagrees with the sun: GHI = DHI + DNI cos z is {:.1f} % off, with "
            "the sun {} min {} {:.1f} %. Check the UTC offset and which end of the hour the stamps "
            "mean; to cure it write {}",
            100 * clock.residual, std::abs(clock.best_shift_min),
            clock.best_shift_min > 0 ? "later" : "earlier", 100 * clock.best_residual, clock_cure));
    if (r.closure_residual > 0.03)
        warn(fmt::format(
            "GHI and DHI + DNI cos z differ by {:.1f} % over the year; 3 % and more usually means a wrong "
            "time "
            "stamp or UTC offset{}",
            100 * r.closure_residual,
            clock.tells() ? "" : ", but no shift of the clock by up to 12 h makes it better here"));
    if (r.beyond_possible_h > 0)
        warn(fmt::format("{} brighter than is physically possible for the sun's height",
                         r.beyond_possible_h == 1 ? std::string("1 hour is")
                                                  : fmt::format("{} hours are", r.beyond_possible_h)));
    if (r.beyond_rare_h > 20)
        warn(fmt::format("{} hours are brighter than is seen but extremely rarely", r.beyond_rare_h));
    if (r.stuck_light_h > 0)
        warn(fmt::format("{} hours lie in runs of 4 or more equal GHI values; a stuck sensor?",
                         r.stuck_light_h));
    if (r.stuck_temperature_h > 0)
        warn(fmt::format("{} hours lie in runs of 24 or more equal temperatures; a stuck sensor?",
                         r.stuck_temperature_h));
    if (r.clearness < 0.2 || r.clearness > 0.8)
        warn(fmt::format("the year's clearness is {:.2f}; 0.3 to 0.7 is usual. Check units and site",
                         r.clearness));
}

}  // namespace holdwater::weather
