// Light on the plane over the whole grid (tests/weather-grid/run). Every hour of the files given and of made
// years at 41 latitudes, on 8 azimuths x 4 tilts:
//   - never above what beam, sky and ground can give (weather::most_plane_light_w_m2), never below 0;
//   - hours lit from end to end bit for bit as by the published formulas without any bound;
//   - a month's sum within 0.5 % of those formulas, or listed with its hours.
// Then sunrises and sunsets under any light the reader lets through, with UTC offsets of a quarter hour.

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "weather/angles.hpp"
#include "weather/quality.hpp"
#include "weather/random.hpp"
#include "weather/read_weather.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater::weather;

namespace {

constexpr double albedo = 0.2, azimuths_deg[] = {0, 45, 90, 135, 180, 225, 270, 315},
                 tilts_deg[] = {15, 35, 60, 90};

// Perez et al. 1990 as printed; the irradiance of an hour is its mean over the part with the sun up, and
// nothing is limited: this is what the program used before it had limits.
struct Row {
    double upper, f11, f12, f13, f21, f22, f23;
};
constexpr Row table[8] = {{1.065, -0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
                          {1.230, 0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
                          {1.500, 0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
                          {1.950, 0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
                          {2.800, 0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
                          {4.500, 1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
                          {6.200, 1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
                          {1e300, 0.678, -0.327, -0.250, 0.156, -1.377, 0.251}};

double unbounded_w_m2(WeatherYear const& year, SunYear const& sun, std::size_t i, Plane const& plane) {
    double const ground_albedo = year.albedo.empty() ? albedo : year.albedo[i];
    double const sin_tilt = sin_deg(plane.tilt_deg), cos_tilt = cos_deg(plane.tilt_deg);
    double const f = sun.sun_up_fraction[i];
    if (f <= 0)
        return year.ghi_w_m2[i] * 0.5 * (1 + cos_tilt) +
               year.ghi_w_m2[i] * ground_albedo * 0.5 * (1 - cos_tilt);
    double const cos_zenith = sun.cos_zenith[i];
    double const sin_zenith = std::sqrt(std::max(0.0, 1 - cos_zenith * cos_zenith));
    double const cos_q =
        cos_zenith * cos_tilt +
        sin_zenith * sin_tilt * std::cos(sun.azimuth_deg[i] * rad_per_deg - plane.azimuth_deg * rad_per_deg);
    double const ghi = year.ghi_w_m2[i] / f, dni = year.dni_w_m2[i] / f, dhi = year.dhi_w_m2[i] / f;
    double const facing = std::max(0.0, cos_q), view = 0.5 * (1 + cos_tilt);
    double const beam = dni * facing, ground = ghi * ground_albedo * 0.5 * (1 - cos_tilt);
    double circumsolar = 0, sky = dhi * view;
    if (dhi > 0) {
        double const z = sun.zenith_deg[i] * rad_per_deg, z3 = 1.041 * z * z * z;
        double const clearness = ((dhi + dni) / dhi + z3) / (1 + z3);
        double const brightness = dhi * sun.air_mass[i] / sun.extraterrestrial_normal_w_m2[i];
        Row const* row = table;
        while (clearness >= row->upper) ++row;
        double const f1 = std::max(0.0, row->f11 + row->f12 * brightness + row->f13 * z);
        double const f2 = row->f21 + row->f22 * brightness + row->f23 * z;
        circumsolar = dhi * f1 * (facing / std::max(cos_zenith, 0.0871557));
        sky = dhi * ((1 - f1) * view + f2 * sin_tilt);
        if (sky < 0) {
            circumsolar = std::max(0.0, circumsolar + sky);
            sky = 0;
        }
    }
    return beam * f + circumsolar * f + sky * f + ground * f;
}

struct Tally {
    long hours = 0, above = 0, whole_hours = 0, whole_changed = 0, months = 0, months_listed = 0;
    int beam_h = 0, sky_h = 0;
    double nearest = 0, brightest_w_m2 = 0, largest_month = 0;
};

std::string name_of(Plane const& plane) {
    return fmt::format("tilt {:2.0f} azimuth {:3.0f}", plane.tilt_deg, plane.azimuth_deg);
}

void check_hour(PlaneYear const& on, WeatherYear const& year, SunYear const& sun, std::size_t i,
                Plane const& plane, std::string const& name, Tally& tally) {
    double const light = on.total_w_m2(i);
    double const ground_albedo = year.albedo.empty() ? albedo : year.albedo[i];
    double const most = most_plane_light_w_m2(year, sun, i, plane, ground_albedo);
    ++tally.hours;
    if (most > 0) tally.nearest = std::max(tally.nearest, light / most);
    tally.brightest_w_m2 = std::max(tally.brightest_w_m2, light);
    if (light >= 0 && light <= most * (1 + 1e-9) + 1e-9) return;
    if (++tally.above <= 20)
        fmt::print("ABOVE {} {} hour {}: {:.2f} W/m2, at most {:.2f}\n", name, name_of(plane), i, light,
                   most);
}

void check_year(WeatherYear const& year, std::string const& name, Tally& tally) {
    auto const sun = sun_over_year(year.site);
    for (double tilt : tilts_deg)
        for (double azimuth : azimuths_deg) {
            Plane const plane{tilt, azimuth};
            auto const on = plane_of_array(year, sun, plane, TranspositionModel::perez, albedo);
            tally.beam_h += on.beyond.beam_h;
            tally.sky_h += on.beyond.sky_h;
            for (int month = 0; month < 12; ++month) {
                double before = 0, after = 0;
                std::vector<std::size_t> changed;
                for (auto i = static_cast<std::size_t>(month_start_hour[month]);
                     i < static_cast<std::size_t>(month_start_hour[month + 1]); ++i) {
                    check_hour(on, year, sun, i, plane, name, tally);
                    double const former = unbounded_w_m2(year, sun, i, plane), now = on.total_w_m2(i);
                    before += former, after += now;
                    bool const same =
                        std::bit_cast<std::uint64_t>(former) == std::bit_cast<std::uint64_t>(now);
                    if (sun.sun_up_fraction[i] > 1 - 1e-9) {
                        ++tally.whole_hours;
                        if (!same && ++tally.whole_changed <= 20)
                            fmt::print("CHANGED {} {} hour {}, lit from end to end: {} to {} W/m2\n", name,
                                       name_of(plane), i, former, now);
                    }
                    if (std::abs(former - now) > 0.01) changed.push_back(i);
                }
                ++tally.months;
                double const moved = before > 0 ? std::abs(after / before - 1) : 0;
                tally.largest_month = std::max(tally.largest_month, moved);
                if (moved <= 0.005) continue;
                if (++tally.months_listed > 40) continue;
                fmt::print("MONTH {} {} month {:2}: {:.3f} to {:.3f} kWh/m2 ({:+.2f} %):", name,
                           name_of(plane), month + 1, before / 1000, after / 1000,
                           100 * (after / before - 1));
                for (std::size_t i : changed)
                    fmt::print(" hour {} ({:.0f} s of sun, DHI {:.1f}) {:.1f} to {:.1f}", i,
                               3600 * sun.sun_up_fraction[i], year.dhi_w_m2[i],
                               unbounded_w_m2(year, sun, i, plane), on.total_w_m2(i));
                fmt::print("\n");
            }
        }
}

void report(char const* what, Tally const& t) {
    fmt::print(
        "{}: {} hours, {} above the bound, nearest {:.4f} of it, brightest {:.0f} W/m2; {} hours lit from "
        "end to "
        "end, {} changed; {} months, {} moved by more than 0.5 %, largest {:.3f} %; {} h with beam cut, {} h "
        "with "
        "too bright a sky\n",
        what, t.hours, t.above, t.nearest, t.brightest_w_m2, t.whole_hours, t.whole_changed, t.months,
        t.months_listed, 100 * t.largest_month, t.beam_h, t.sky_h);
}

/// Any light the reader lets through in the hours lit in part and beside them.
void check_sunrises(double latitude_deg, int place, Tally& tally) {
    Random random(1600 + static_cast<std::uint64_t>(place));
    double const longitude_deg = -180 + 360 * random.uniform();
    double const offset_h =
        std::clamp(std::round(4 * (longitude_deg / 15 + 2 * random.uniform() - 1)) / 4, -12.0, 14.0);
    auto const sun = sun_over_year({latitude_deg, longitude_deg, 0, offset_h});
    WeatherYear year;
    year.site = sun.site;
    for (auto* v : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2}) v->assign(hours_per_year, 0);
    auto const up = [&](std::size_t i) {
        return sun.sun_up_fraction[i] > 0 ? std::max(0.0, sun.cos_zenith[i]) : 0;
    };
    for (std::size_t i = 1; i + 1 < hours_per_year; ++i) {
        double const highest = std::max({up(i - 1), up(i), up(i + 1)});
        if (highest <= 0) continue;
        auto const most = physically_possible(highest, sun.extraterrestrial_normal_w_m2[i]);
        year.dhi_w_m2[i] = most.dhi_w_m2 * random.uniform();
        year.dni_w_m2[i] = most.dni_w_m2 * random.uniform() * (i % 3 > 0);
        year.ghi_w_m2[i] = most.ghi_w_m2 * random.uniform();
    }
    for (double tilt : tilts_deg)
        for (double azimuth : azimuths_deg)
            for (auto model :
                 {TranspositionModel::isotropic, TranspositionModel::hay_davies, TranspositionModel::perez}) {
                Plane const plane{tilt, azimuth};
                auto const on = plane_of_array(year, sun, plane, model, albedo);
                for (std::size_t i = 0; i < hours_per_year; ++i)
                    check_hour(on, year, sun, i, plane,
                               fmt::format("any light, latitude {}, UTC{:+}", latitude_deg, offset_h), tally);
            }
}

}  // namespace

int main(int count, char** arguments) {
    Tally files, made, sunrises;
    for (int k = 1; k < count; ++k) check_year(read_weather(arguments[k]), arguments[k], files);
    for (int place = 0; place < 41; ++place) {
        double const latitude_deg = -66 + 3.3 * place;
        MakeOptions options;
        options.place = "grid";
        // A longitude of its own and an UTC offset up to an hour beside it, in quarter hours.
        double const longitude_deg = std::fmod(137.0 * place, 340) - 170;
        options.site = {latitude_deg, longitude_deg, 500,
                        std::clamp(std::round(longitude_deg / 15 * 4 + place % 9 - 4) / 4, -12.0, 14.0)};
        options.seed = 100 + static_cast<std::uint64_t>(place);
        options.clearness.fill(0.35 + 0.01 * (place % 30));
        options.temperature_c.fill(10);
        check_year(make_weather(options), fmt::format("made year, latitude {:+}", latitude_deg), made);
        check_sunrises(latitude_deg, place, sunrises);
    }
    if (files.hours > 0) report("files", files);
    report("made years", made);
    report("any light the reader lets through", sunrises);
    bool const failed =
        files.above + made.above + sunrises.above + files.whole_changed + made.whole_changed > 0;
    fmt::print("{}\n", failed ? "FAILED" : "all within the bound");
    return failed ? 1 : 0;
}
