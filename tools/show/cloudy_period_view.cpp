#include "tools/show/cloudy_period_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/show/date_text.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::tools {
namespace {

constexpr int days_of_year = 365;
constexpr int view_bar_width = 40;

std::string compass(double azimuth_deg) {
    constexpr std::array names{"north", "north-east", "east", "south-east",
                               "south", "south-west", "west", "north-west"};
    return names[static_cast<std::size_t>(std::lround(azimuth_deg / 45)) % names.size()];
}

// The five worst days with some days before and after, so that the reader sees when the battery recovers.
std::string day_by_day(CloudyPeriodReport const& report, bool plain) {
    weather::CloudyRun const& five = report.cloudiest[4];
    double const best = *std::max_element(report.daily_kwh_m2.begin(), report.daily_kwh_m2.end());
    std::string out = fmt::format(
        "Day by day around the cloudiest 5 days, kWh/m² (full bar: the sunniest day, {}; >: the 5 "
        "days)\n\n",
        sim::figure_text(best, 1));
    constexpr int margin = 5;
    for (int k = -margin; k < five.days + margin; ++k) {
        int const day = (five.first_day + k + days_of_year) % days_of_year;
        double const kwh_m2 = report.daily_kwh_m2[static_cast<std::size_t>(day)];
        out += fmt::format("  {:>6} {}{:>7}  {}\n", date_text(day), k >= 0 && k < five.days ? '>' : ' ',
                           sim::figure_text(kwh_m2, 2),
                           bar(best > 0 ? kwh_m2 / best : 0, view_bar_width, plain));
    }
    return out;
}

}  // namespace

weather::Plane latitude_plane(weather::Site const& site) {
    return {std::abs(site.latitude_deg), site.latitude_deg < 0 ? 0.0 : 180.0};
}

CloudyPeriodReport find_cloudy_periods(weather::WeatherYear const& year, weather::Plane const& plane,
                                       bool round_the_year) {
    CloudyPeriodReport report{plane, round_the_year, {}, {}};
    report.daily_kwh_m2 = weather::daily_energy_kwh_m2(weather::plane_of_array(
        year, weather::sun_over_year(year.site), plane, weather::TranspositionModel::perez));
    report.cloudiest = weather::worst_cloudy_periods(report.daily_kwh_m2, longest_cloudy_period_days,
                                                     year.file_year, round_the_year);
    return report;
}

std::string bar(double share, int width, bool plain) {
    double const held = std::clamp(share, 0.0, 1.0) * width;
    std::string out;
    if (plain) return out.append(static_cast<std::size_t>(std::lround(held)), '#');
    constexpr std::array eighths{"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
    auto const parts = static_cast<std::size_t>(std::lround(held * 8));
    for (std::size_t full = 0; full < parts / 8; ++full) out += "█";
    return out + eighths[parts % 8];
}

std::string cloudy_period_table(CloudyPeriodReport const& report, bool plain) {
    std::string out =
        fmt::format("Cloudiest periods on a plane tilted {:.4g}°, facing {} ({:.4g}°)\n\n",
                    report.plane.tilt_deg, compass(report.plane.azimuth_deg), report.plane.azimuth_deg);
    out += fmt::format("  {:>4}  {:<6}    {:<6}  {:>8}  {:>7}  {:>9}\n", "days", "from", "to", "kWh/m²",
                       "a day", "of normal");
    bool seam = false, year_end = false;
    for (weather::CloudyRun const& s : report.cloudiest) {
        out += fmt::format("  {:>4}  {:>6} to {:>6}{:<2}{:>8}  {:>7}  {:>7} %  {}\n", s.days,
                           date_text(s.first_day), date_text(s.first_day + s.days - 1),
                           std::string(s.over_seam ? "*" : "") + (s.over_year_end ? "+" : ""),
                           sim::figure_text(s.energy, 2), sim::figure_text(s.energy / s.days, 2),
                           sim::figure_text(s.percent_of_normal),
                           bar(s.percent_of_normal / 100, view_bar_width, plain));
        seam = seam || s.over_seam;
        year_end = year_end || s.over_year_end;
    }
    out += "\nNormal: the mean of the days within 30 days of the period; a full bar is 100 %.\n";
    if (seam)
        out +=
            "* joins months taken from different years: these days never followed each other, judge them "
            "with "
            "care.\n";
    if (year_end) out += "+ joins the end of the year to its beginning.\n";
    out +=
        "A typical year is made of ordinary months. In recorded years the cloudiest five days commonly have "
        "20 to 50 %\nless sun than those of the typical year (common practice, no source): leave room for "
        "that "
        "in the battery.\n\n";
    return out + day_by_day(report, plain);
}

}  // namespace holdwater::tools
