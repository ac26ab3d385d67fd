#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "weather/decomposition.hpp"
#include "weather/hour_table.hpp"
#include "weather/quality.hpp"
#include "weather/raw_table.hpp"
#include "weather/second_record.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

constexpr std::size_t longest_short_gap_h = 2;
/// Hours of the year that may be filled without the user's consent (5 %), and from which on a warning says so
/// (1 %).
constexpr int most_filled_h = 438, notable_filled_h = 88;
/// With more impossible hours than this, the position or the clock of the file must be wrong.
constexpr int most_impossible_h = 200;

std::string time_of(std::size_t hour) {
    auto const at = calendar_hour(static_cast<int>(hour));
    return fmt::format("{:02}-{:02} {:02}:00", at.month, at.day, at.hour);
}

/// Line of the hour in the file, or of the last hour before it that has a line.
std::size_t line_near(HourTable const& hours, std::size_t hour) {
    for (std::size_t i = hour + 1; i-- > 0;)
        if (hours.line[i] != 0) return hours.line[i];
    return 0;
}

[[noreturn]] void refuse_gap(HourTable const& hours, RawTable const& table, char const* what,
                             std::size_t first, std::size_t length) {
    throw GapError(
        table.path, line_near(hours, first),
        fmt::format(
            "no usable {} for {} hours from {}; gaps above {} h are filled only with long_gaps = \"fill\" in "
            "[weather]",
            what, length, time_of(first), longest_short_gap_h));
}

void remove_impossible(HourTable& hours, SunYear const& sun, RawTable& table) {
    RepairCount impossible{
        "impossible value",
        "irradiance below -4 W/m2 or above the physically possible limit was taken as missing"};
    RepairCount negative{"negative value", "irradiance from -4 to 0 W/m2 was set to 0"};
    auto const mu = [&](std::size_t i) { return sun.sun_up_fraction[i] > 0 ? sun.cos_zenith[i] : 0; };
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double& ghi = hours.ghi_w_m2[i];
        double& dni = hours.dni_w_m2[i];
        double& dhi = hours.dhi_w_m2[i];
        if ((ghi == 0 || std::isnan(ghi)) && (dni == 0 || std::isnan(dni)) && (dhi == 0 || std::isnan(dhi)))
            continue;
        double const highest_mu =
            std::max({mu(i), mu(i > 0 ? i - 1 : i), mu(i + 1 < hours_per_year ? i + 1 : i)});
        IrradianceLimits const limit = physically_possible(highest_mu, sun.extraterrestrial_normal_w_m2[i]);
        bool removed = false, raised = false;
        auto const check = [&](double& value, double high, double& sum_kwh_m2) {
            if (value < -4 || value > high) {
                sum_kwh_m2 += value / 1000;
                value = missing;
                removed = true;
            } else if (value < 0) {
                value = 0;
                raised = true;
            }
        };
        check(ghi, limit.ghi_w_m2, impossible.ghi_kwh_m2);
        check(dni, limit.dni_w_m2, impossible.dni_kwh_m2);
        check(dhi, limit.dhi_w_m2, impossible.dhi_kwh_m2);
        if (removed) impossible.add(i);
        if (raised) negative.add(i);
    }
    if (impossible.hours > most_impossible_h)
        throw WeatherError(
            table.path, line_near(hours, static_cast<std::size_t>(impossible.first_hour)),
            fmt::format(
                "{} hours, first at {}, hold more light than the sun of this place and clock can give, or "
                "negative light; check UTC offset, sign of the longitude, time stamps and units{}",
                impossible.hours, time_of(static_cast<std::size_t>(impossible.first_hour)),
                table.clock_cure.empty()
                    ? ""
                    : fmt::format(". GHI, DHI and DNI would agree with the sun with {}", table.clock_cure)));
    impossible.report(table.repairs);
    negative.report(table.repairs);
}

void set_nights(HourTable& hours, SunYear const& sun, RawTable& table) {
    RepairCount light{"night value",
                      "light in hours that do not border on an hour with sun, and beam with the sun down all "
                      "hour, were set to 0"};
    RepairCount hole{"night gap", "missing irradiance with the sun down all hour was set to 0"};
    auto const sun_at = [&](std::size_t i) { return i < hours_per_year && sun.sun_up_fraction[i] > 0; };
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        if (sun_at(i)) continue;
        double& ghi = hours.ghi_w_m2[i];
        if (std::isnan(ghi)) {
            ghi = 0;
            hole.add(i);
        }
        bool const dark = !sun_at(i - 1) && !sun_at(i + 1);  // i - 1 of hour 0 wraps to no hour
        if ((dark && ghi > 0) || hours.dni_w_m2[i] > 0) light.add(i);
        if (dark) light.ghi_kwh_m2 += ghi / 1000;
        if (hours.dni_w_m2[i] > 0) light.dni_kwh_m2 += hours.dni_w_m2[i] / 1000;
        if (dark) ghi = 0;
        hours.dni_w_m2[i] = 0;
        hours.dhi_w_m2[i] = ghi;
    }
    light.report(table.repairs);
    hole.report(table.repairs);
    double dni_kwh_m2 = light.dni_kwh_m2;
    for (double const dni : hours.dni_w_m2)
        if (dni > 0) dni_kwh_m2 += dni / 1000;
    if (light.dni_kwh_m2 > 0.01 * dni_kwh_m2)
        table.warnings.push_back(fmt::format(
            "{:.1f} kWh/m2 of beam, {:.0f} % of the file's, fell in hours without sun and were set "
            "to 0; check the UTC offset, the sign of the longitude and the time stamps",
            light.dni_kwh_m2, 100 * light.dni_kwh_m2 / dni_kwh_m2));
}

/// Limits the beam: in an hour of sunrise it is at most the light outside the atmosphere times the sun-up
/// part of the hour.
void bound_beam(HourTable& hours, SunYear const& sun, RawTable& table) {
    RepairCount cut{"beam at low sun",
                    "more beam than reaches the atmosphere in the minutes the sun is up was cut to "
                    "that; its part on the horizontal counts as diffuse"};
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double const most_w_m2 = sun.sun_up_fraction[i] * sun.extraterrestrial_normal_w_m2[i];
        double const over_w_m2 = hours.dni_w_m2[i] - most_w_m2;
        if (sun.sun_up_fraction[i] <= 0 || !(over_w_m2 > 1e-9 * most_w_m2)) continue;
        hours.dni_w_m2[i] = most_w_m2;
        if (!std::isnan(hours.dhi_w_m2[i])) hours.dhi_w_m2[i] += over_w_m2 * sun.cos_zenith[i];
        cut.dni_kwh_m2 += over_w_m2 / 1000;
        cut.add(i);
    }
    cut.report(table.repairs);
}

/// Refuses the year, or adds a warning, by the number of hours without a usable value.
void judge_holes(std::vector<char> const& hole, HourTable const& hours, char const* what, RawTable& table,
                 ReadOptions const& options) {
    auto const holes = static_cast<int>(std::count(hole.begin(), hole.end(), 1));
    auto const first = static_cast<std::size_t>(std::find(hole.begin(), hole.end(), 1) - hole.begin());
    if (holes > most_filled_h && (!options.allow_long_gaps || options.whole_years_only))
        throw GapError(
            table.path, line_near(hours, first),
            fmt::format("no usable {} in {} of the year's 8760 hours, first at {}; at most {} (5 %) are "
                        "filled{}",
                        what, holes, time_of(first), most_filled_h,
                        options.whole_years_only
                            ? " in a recorded year"
                            : fmt::format(". Is every second row missing, or the interval not {} min? To "
                                          "have them all filled from the hours and days beside them write "
                                          "long_gaps = \"fill\" in [weather]",
                                          table.interval_min)));
    if (holes > notable_filled_h)
        table.warnings.push_back(
            fmt::format("{} of {} hours ({:.1f} % of the year) was filled from the hours and "
                        "days beside them",
                        what, holes, 100.0 * holes / hours_per_year));
}

/// Computes one missing component from the other two. Marks in `split_wanted` the hours that have only GHI.
void close_components(HourTable& hours, SunYear const& sun, RawTable& table,
                      std::vector<char>& split_wanted) {
    double ghi_sum = 0, other_sum = 0;
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        if (hours.ghi_w_m2[i] > 0) ghi_sum += hours.ghi_w_m2[i];
        if (hours.dni_w_m2[i] > 0 && hours.dhi_w_m2[i] >= 0) other_sum += hours.dhi_w_m2[i];
    }
    bool const ghi_is_filler = ghi_sum <= 0 && other_sum > 0;
    RepairCount closed{"component from closure",
                       "the missing one of GHI, DNI, DHI was set from GHI = DHI + DNI cos z"};
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        if (sun.sun_up_fraction[i] <= 0) continue;
        double& ghi = hours.ghi_w_m2[i];
        double& dni = hours.dni_w_m2[i];
        double& dhi = hours.dhi_w_m2[i];
        double const cosine = sun.cos_zenith[i];
        bool const beam = !std::isnan(dni), diffuse = !std::isnan(dhi);
        if (ghi_is_filler) ghi = missing;
        if (std::isnan(ghi)) {
            if (beam && diffuse) {
                ghi = dhi + dni * cosine;
                closed.add(i);
            }
        } else if (diffuse && !beam) {
            double const share = ghi > 0 ? std::clamp(dhi / ghi, 0.0, 1.0) : 1.0;
            auto const parts =
                split(ghi, share, cosine, sun.sun_up_fraction[i], sun.extraterrestrial_normal_w_m2[i]);
            dni = parts.dni_w_m2;
            closed.add(i);
        } else if (beam && !diffuse) {
            dhi = std::max(0.0, ghi - dni * cosine);
            closed.add(i);
        } else if (!beam && !diffuse) {
            split_wanted[i] = 1;
        }
    }
    closed.report(table.repairs);
}

void fill_light(HourTable& hours, SunYear const& sun, RawTable& table, ReadOptions const& options,
                std::vector<char>& split_wanted) {
    auto& ghi = hours.ghi_w_m2;
    auto const& outside = sun.extraterrestrial_horizontal_w_m2;
    std::vector<char> hole(hours_per_year);
    for (std::size_t i = 0; i < hours_per_year; ++i) hole[i] = std::isnan(ghi[i]);
    auto const clearness = [&](std::size_t i) { return std::clamp(ghi[i] / outside[i], 0.0, 1.0); };
    auto const usable = [&](std::size_t i) { return !hole[i] && outside[i] > 0; };
    // Clearness of the same hour on the nearest day before (step -1) or after (+1) that has a value.
    auto const neighbor_day = [&](std::size_t i, int step) {
        for (int days = 1; days < 365; ++days) {
            auto const j = static_cast<std::size_t>(
                (static_cast<int>(i) + step * days * 24 + 366 * hours_per_year) % hours_per_year);
            if (usable(j)) return clearness(j);
        }
        return missing;
    };
    for (std::size_t first = 0; first < hours_per_year;) {
        if (!hole[first]) {
            ++first;
            continue;
        }
        std::size_t end = first;
        while (end < hours_per_year && hole[end]) ++end;
        std::size_t const length = end - first;
        // Only hours of the same day: the clearness of one day says nothing of the next.
        bool const before = first % 24 > 0 && usable(first - 1) && (first - 1) / 24 == first / 24;
        bool const after = end < hours_per_year && end % 24 > 0 && usable(end);
        bool const short_gap = length <= longest_short_gap_h && (before || after);
        if (!short_gap && length > longest_short_gap_h && !options.allow_long_gaps)
            refuse_gap(hours, table, "irradiance", first, length);
        for (std::size_t i = first; i < end; ++i) {
            double kt;
            if (short_gap) {
                double const x = static_cast<double>(i - first + 1) / static_cast<double>(length + 1);
                double const k0 = before ? clearness(first - 1) : clearness(end),
                             k1 = after ? clearness(end) : k0;
                kt = k0 + x * (k1 - k0);
            } else {
                double const k0 = neighbor_day(i, -1), k1 = neighbor_day(i, 1);
                kt = std::isnan(k0) ? k1 : std::isnan(k1) ? k0 : 0.5 * (k0 + k1);
                if (std::isnan(kt)) refuse_gap(hours, table, "irradiance", first, length);
            }
            ghi[i] = kt * outside[i];
            split_wanted[i] = 1;
        }
        table.repairs.push_back({short_gap ? "gap" : "long gap", static_cast<int>(first),
                                 static_cast<int>(length),
                                 short_gap ? "clearness interpolated between the hours beside it"
                                           : "clearness of the same hour on the nearest days"});
        first = end;
    }
    judge_holes(hole, hours, "irradiance", table, options);
}

/// Temperature or wind.
void fill_readings(std::vector<double>& values, HourTable const& hours, RawTable& table,
                   ReadOptions const& options, char const* what) {
    std::vector<char> hole(hours_per_year);
    for (std::size_t i = 0; i < hours_per_year; ++i) hole[i] = std::isnan(values[i]);
    auto const same_source = [&](std::size_t a, std::size_t b) {
        return hours.file_year[a] == 0 || hours.file_year[b] == 0 || hours.file_year[a] == hours.file_year[b];
    };
    auto const neighbor_day = [&](std::size_t i, int step) {
        for (int days = 1; days < 365; ++days) {
            auto const j = static_cast<std::size_t>(
                (static_cast<int>(i) + step * days * 24 + 366 * hours_per_year) % hours_per_year);
            if (!hole[j]) return values[j];
        }
        return missing;
    };
    for (std::size_t first = 0; first < hours_per_year;) {
        if (!hole[first]) {
            ++first;
            continue;
        }
        std::size_t end = first;
        while (end < hours_per_year && hole[end]) ++end;
        std::size_t const length = end - first;
        bool const short_gap = length <= longest_short_gap_h;
        if (!short_gap && !options.allow_long_gaps) refuse_gap(hours, table, what, first, length);
        for (std::size_t i = first; i < end; ++i) {
            if (short_gap) {
                bool const before = first > 0 && same_source(first - 1, i);
                bool const after = end < hours_per_year && same_source(end, i);
                double const v0 = before || !after ? values[first > 0 ? first - 1 : end] : values[end];
                double const v1 = after ? values[end] : v0;
                values[i] =
                    v0 + (v1 - v0) * static_cast<double>(i - first + 1) / static_cast<double>(length + 1);
            } else {
                double const v0 = neighbor_day(i, -1), v1 = neighbor_day(i, 1);
                values[i] = std::isnan(v0) ? v1 : std::isnan(v1) ? v0 : 0.5 * (v0 + v1);
                if (std::isnan(values[i])) refuse_gap(hours, table, what, first, length);
            }
        }
        table.repairs.push_back({short_gap ? "gap" : "long gap", static_cast<int>(first),
                                 static_cast<int>(length),
                                 fmt::format("{} {}", what,
                                             short_gap ? "interpolated between the hours beside it"
                                                       : "of the same hour on the nearest days")});
        first = end;
    }
    judge_holes(hole, hours, what, table, options);
}

void drop_outside(std::vector<double>& values, double low, double high, char const* what, RawTable& table) {
    RepairCount outside{"impossible value",
                        fmt::format("{} outside {} .. {} was taken as missing", what, low, high)};
    for (std::size_t i = 0; i < hours_per_year; ++i)
        if (values[i] < low || values[i] > high) {
            values[i] = missing;
            outside.add(i);
        }
    outside.report(table.repairs);
}

bool all_missing(std::vector<double> const& values) {
    return std::all_of(values.begin(), values.end(), [](double v) { return std::isnan(v); });
}

/// Missing temperature or wind from the second file, by date and hour; counted.
void take_from_second(HourTable& hours, SecondRecord const& second, RawTable& table) {
    auto const take = [&](std::vector<double>& values, std::vector<double> SecondRecord::Readings::*field,
                          char const* what) {
        RepairCount taken{
            "second file",
            fmt::format("{} was missing and was taken from {}, {}", what, second.path,
                        second.one_year_for_all ? "same month, day and hour of the one year that it holds"
                                                : "same date and hour")};
        for (std::size_t i = 0; i < hours_per_year; ++i) {
            if (!std::isnan(values[i])) continue;
            auto const* readings = second.of_year(hours.file_year[i]);
            if (readings == nullptr || std::isnan((readings->*field)[i])) continue;
            values[i] = (readings->*field)[i];
            taken.add(i);
        }
        taken.report(table.repairs);
    };
    take(hours.temperature_c, &SecondRecord::Readings::temperature_c, "temperature");
    take(hours.wind_m_s, &SecondRecord::Readings::wind_m_s, "wind");
}

}  // namespace

void readings_to_means(HourTable& hours, RawTable const& table) {
    if (!table.readings_at_stamp || table.stamp == Stamp::middle) return;
    for (auto* values : {&hours.temperature_c, &hours.wind_m_s}) {
        auto const mean = [&](std::size_t i, std::size_t other) {
            if (hours.file_year[i] == hours.file_year[other])
                (*values)[i] = 0.5 * ((*values)[i] + (*values)[other]);
        };
        if (table.stamp == Stamp::end)
            for (std::size_t i = hours_per_year - 1; i > 0; --i) mean(i, i - 1);
        else
            for (std::size_t i = 0; i + 1 < hours_per_year; ++i) mean(i, i + 1);
    }
}

void RepairCount::report(std::vector<Repair>& repairs) const {
    if (hours == 0) return;
    std::string removed;
    auto const name = [&](double kwh_m2, char const* what) {
        if (kwh_m2 == 0) return;
        bool const little = std::abs(kwh_m2) < 0.1;
        removed += fmt::format("{}{:.2f} {}/m2 of {}", removed.empty() ? "" : ", ",
                               little ? 1000 * kwh_m2 : kwh_m2, little ? "Wh" : "kWh", what);
    };
    name(ghi_kwh_m2, "GHI");
    name(dni_kwh_m2, "DNI");
    name(dhi_kwh_m2, "DHI");
    repairs.push_back({kind, first_hour, hours, removed.empty() ? rule : rule + "; in all " + removed});
}

void fill_hours(HourTable& hours, SunYear const& sun, RawTable& table, ReadOptions const& options) {
    for (std::size_t i = 1; i < hours_per_year; ++i)
        if (hours.file_year[i] == 0) hours.file_year[i] = hours.file_year[i - 1];
    for (std::size_t i = hours_per_year - 1; i-- > 0;)
        if (hours.file_year[i] == 0) hours.file_year[i] = hours.file_year[i + 1];

    std::vector<char> split_wanted(hours_per_year);
    remove_impossible(hours, sun, table);
    set_nights(hours, sun, table);
    close_components(hours, sun, table, split_wanted);
    RepairCount decomposed{"decomposed", fmt::format("beam and diffuse were split from GHI ({})",
                                                     source_of(options.decomposition))};
    for (std::size_t i = 0; i < hours_per_year; ++i)
        if (split_wanted[i]) decomposed.add(i);
    decomposed.report(table.repairs);
    bound_beam(hours, sun, table);
    fill_light(hours, sun, table, options, split_wanted);
    if (std::find(split_wanted.begin(), split_wanted.end(), 1) != split_wanted.end()) {
        WeatherYear light;
        light.ghi_w_m2 = hours.ghi_w_m2;
        light.dni_w_m2 = std::move(hours.dni_w_m2);
        light.dhi_w_m2 = std::move(hours.dhi_w_m2);
        decompose(light, sun, options.decomposition, split_wanted);
        hours.dni_w_m2 = std::move(light.dni_w_m2);
        hours.dhi_w_m2 = std::move(light.dhi_w_m2);
    }

    drop_outside(hours.temperature_c, -90, 70, "temperature [degC]", table);
    drop_outside(hours.wind_m_s, 0, 120, "wind [m/s]", table);
    if (options.second) {
        // The second file's values are means of hours.
        readings_to_means(hours, table);
        take_from_second(hours, *options.second, table);
    }
    if (all_missing(hours.temperature_c))
        throw GapError(table.path, 0,
                       options.second ? fmt::format("no usable temperature, neither in this file nor in {} "
                                                    "for the same dates",
                                                    options.second->path)
                                      : "no usable temperature in the whole file; another file can give it: "
                                        "temperature_file in [weather], or --temperature-file");
    fill_readings(hours.temperature_c, hours, table, options, "temperature");
    if (all_missing(hours.wind_m_s)) {
        hours.wind_m_s.assign(hours_per_year, options.default_wind_m_s);
        table.repairs.push_back(
            {"no wind", 0, hours_per_year,
             fmt::format("the file has no wind; {} m/s was set", options.default_wind_m_s)});
    } else {
        fill_readings(hours.wind_m_s, hours, table, options, "wind");
    }
    if (!options.second) readings_to_means(hours, table);

    // A reflectance of 0, or above 1, is only a filler value.
    RepairCount absent{"albedo",
                       fmt::format("missing ground reflectance was set to {}", options.default_albedo)};
    RepairCount filler{"albedo",
                       fmt::format("ground reflectance of 0 or above 1 is a filler; it was set to {}",
                                   options.default_albedo)};
    bool known = false;
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double& value = hours.albedo[i];
        if (value > 0 && value <= 1) {
            known = true;
            continue;
        }
        (std::isnan(value) ? absent : filler).add(i);
        value = options.default_albedo;
    }
    if (!known) hours.albedo.clear();
    if (!known && !table.albedo_column) return;
    absent.report(table.repairs);
    filler.report(table.repairs);
}

}  // namespace holdwater::weather
