#include "sim/replay/fit_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "models/array/pv_array.hpp"
#include "models/electric/inverter.hpp"
#include "models/numeric/in_double.hpp"
#include "models/water/pump_cycle.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

using Q = LogQuantity;
constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

double t_quantile(double degrees) {
    return boost::math::quantile(boost::math::students_t_distribution<double, models::InDouble>(degrees),
                                 0.5 + log_confidence / 2);
}

models::Interval interval(double center, double deviation, double degrees) {
    double const half = t_quantile(degrees) * deviation;
    return {center, center - half, center + half};
}

// A day of the log, 24 h from its first row on.
struct LogDay {
    std::size_t first = 0, last = 0;  // rows; the day is the steps between them
};

// The days that are covered without a gap, and in which all these quantities have every value.
std::vector<LogDay> whole_days(SiteLog const& log, std::vector<Q> const& needed) {
    std::vector<LogDay> days;
    std::size_t at = 0;
    double begin_h = log.time_h.front();
    while (begin_h + 24 <= log.time_h.back() + 1e-9) {
        while (log.time_h[at] < begin_h - 0.5 * log.usual_step_h) ++at;
        std::size_t end = at;
        while (end + 1 < log.rows() && log.time_h[end] < begin_h + 24 - 0.5 * log.usual_step_h) ++end;
        bool whole = std::abs(log.time_h[at] - begin_h) < log.usual_step_h &&
                     std::abs(log.time_h[end] - begin_h - 24) < log.usual_step_h;
        for (std::size_t i = at + 1; i <= end && whole; ++i) {
            whole = !log.gap_before(i);
            for (Q const q : needed) whole = whole && !std::isnan(log.of(q)[i]);
        }
        for (Q const q : needed) whole = whole && !std::isnan(log.of(q)[at]);
        if (whole) days.push_back({at, end});
        begin_h += 24;
    }
    return days;
}

double energy_kwh(SiteLog const& log, Q q, LogDay const& day) {
    double kwh = 0;
    for (std::size_t i = day.first + 1; i <= day.last; ++i)
        kwh += 1e-3 * log.of(q)[i] * (log.time_h[i] - log.time_h[i - 1]);
    return kwh;
}

// Sum over sum, from the scatter of the days about the ratio.
models::Interval ratio_interval(std::vector<double> const& over, std::vector<double> const& under) {
    double top = 0, bottom = 0, square = 0;
    for (std::size_t i = 0; i < over.size(); ++i) top += over[i], bottom += under[i];
    double const ratio = top / bottom, n = static_cast<double>(over.size());
    for (std::size_t i = 0; i < over.size(); ++i) {
        double const rest = over[i] - ratio * under[i];
        square += rest * rest;
    }
    return interval(ratio, std::sqrt(square * n / (n - 1)) / bottom, n - 1);
}

// The same days, but from pump stop to pump stop: then the tank holds nearly the same at both ends. A day
// begins at its first stop and ends at that of the day that follows, or else at its own last one. Days
// without a stop, as in rows in which the pump runs every time, stay as they are.
std::vector<LogDay> between_pump_stops(SiteLog const& log, std::vector<LogDay> const& days) {
    auto const& pump_w = log.of(Q::pump_power);
    double most_w = 0;
    for (double const w : pump_w)
        if (!std::isnan(w)) most_w = std::max(most_w, w);
    auto const runs = [&](std::size_t row) { return pump_w[row] > 0.05 * most_w; };
    std::vector<LogDay> out = days;
    for (std::size_t i = 0; i < days.size(); ++i) {
        auto const& day = days[i];
        LogDay stops{day.first, day.last};
        for (std::size_t row = day.last - 1; row > day.first; --row)
            if (runs(row) && !runs(row + 1)) {
                if (stops.last == day.last) stops.last = row;
                stops.first = row;
            }
        bool const follows = i > 0 && days[i - 1].last == day.first;
        out[i] = stops;
        if (follows) out[i - 1].last = stops.first;
    }
    std::erase_if(out, [](LogDay const& day) { return day.first >= day.last; });
    return out;
}

constexpr std::size_t least_days = 5;
// Days in a row depend on each other by what the tank holds between them, so some of them are taken together.
// 10 to 30 batches are usual (Schmeiser, Operations Research 30, 1982, from memory).
constexpr std::size_t most_batches = 10;

void fit_water(SiteLog const& log, LogFit& fit) {
    LogFigure& use = fit.water_use;
    if (!log.has(Q::water_meter)) {
        use.why_not = "needs the column water_meter";
        return;
    }
    std::vector<double> daily;
    for (LogDay const& day : whole_days(log, {Q::water_meter}))
        daily.push_back((log.of(Q::water_meter)[day.last] - log.of(Q::water_meter)[day.first]) * 24 /
                        (log.time_h[day.last] - log.time_h[day.first]));
    if (daily.size() < least_days)
        use.why_not =
            fmt::format("needs {} whole days with the water meter; the log has {}", least_days, daily.size());
    else
        use.fitted = models::mean_interval(daily, log_confidence);
}

void fit_pump(SiteLog const& log, LogFit& fit) {
    LogFigure& pump = fit.pump_energy;
    if (!log.has(Q::water_meter) || !log.has(Q::pump_power)) {
        pump.why_not =
            fmt::format("needs the column{} {}", log.has(Q::water_meter) || log.has(Q::pump_power) ? "" : "s",
                        log.has(Q::water_meter)  ? "pump_power"
                        : log.has(Q::pump_power) ? "water_meter"
                                                 : "pump_power and water_meter");
        return;
    }
    auto const days = between_pump_stops(log, whole_days(log, {Q::water_meter, Q::pump_power}));
    std::size_t const batches = std::min(days.size(), most_batches);
    std::vector<double> kwh(batches), m3(batches);
    for (std::size_t i = 0; i < days.size(); ++i) {
        std::size_t const batch = i * batches / days.size();
        kwh[batch] += energy_kwh(log, Q::pump_power, days[i]);
        m3[batch] += log.of(Q::water_meter)[days[i].last] - log.of(Q::water_meter)[days[i].first];
    }
    auto const none = [](std::vector<double> const& sums) {
        return std::all_of(sums.begin(), sums.end(), [](double sum) { return sum <= 0; });
    };
    if (days.size() < least_days)
        pump.why_not = fmt::format("needs {} whole days with pump power and water meter; the log has {}",
                                   least_days, days.size());
    else if (none(m3))
        pump.why_not = "no water was used on its whole days";
    else if (none(kwh))
        pump.why_not = "the pump did not run on its whole days";
    else
        pump.fitted = ratio_interval(kwh, m3);
}

// A row of a night: state of charge, DC energy so far [kWh], hours so far.
struct NightRow {
    double soc = 0, energy_kwh = 0, hours = 0;
};

// The nights: runs of rows without array power, generator and gaps, at least three hours, above the minimum
// SOC.
std::vector<std::vector<NightRow>> nights_of(SiteLog const& log, scenarios::Scenario const& s,
                                             double running_w) {
    double brightest_w = 0;
    for (double const w : log.of(Q::array_power))
        if (!std::isnan(w)) brightest_w = std::max(brightest_w, w);
    bool const loads = log.has(Q::load_power);
    auto const loss_less_idle_w = [&](double ac_w) {
        return models::dc_input_w(s.inverter, ac_w) - s.inverter.idle_w;
    };
    std::vector<std::vector<NightRow>> nights;
    std::vector<NightRow> night;
    auto const close = [&] {
        if (night.size() >= 4 && night.back().hours >= 3) nights.push_back(night);
        night.clear();
    };
    for (std::size_t i = 1; i < log.rows(); ++i) {
        double const soc = log.of(Q::soc)[i], sun_w = log.of(Q::array_power)[i],
                     pump_w = log.of(Q::pump_power)[i], load_w = loads ? log.of(Q::load_power)[i] : 0,
                     backup_w = log.has(Q::generator_power) ? log.of(Q::generator_power)[i] : 0;
        bool const dark = !std::isnan(soc + sun_w + pump_w + load_w + backup_w) &&
                          sun_w <= 0.002 * brightest_w && backup_w <= 1 && soc > s.battery.min_soc + 0.02;
        if (!dark || log.gap_before(i)) {
            close();
            if (dark) night.push_back({soc, 0, 0});
            continue;
        }
        if (night.empty()) {
            night.push_back({soc, 0, 0});
            continue;
        }
        // In a step of some minutes or an hour the pump runs for a part of the time at its running power.
        double const part = running_w > 0 ? std::min(pump_w / std::max(running_w, pump_w), 1.0) : 0;
        double const on_w = part > 0 ? pump_w / part : 0;
        double const dc_w = part * loss_less_idle_w(load_w + on_w) + (1 - part) * loss_less_idle_w(load_w);
        double const step_h = log.time_h[i] - log.time_h[i - 1];
        night.push_back({soc, night.back().energy_kwh + 1e-3 * dc_w * step_h, night.back().hours + step_h});
    }
    close();
    return nights;
}

// Least squares of soc = level of the night - (E + I t) / K.
void fit_nights(std::vector<std::vector<NightRow>> const& nights, LogFit& fit, double usable_share) {
    std::string const few = fmt::format("needs {} nights; the log has {}", least_days, nights.size());
    if (nights.size() < least_days) {
        fit.standing_draw.why_not = fit.usable_battery.why_not = few;
        return;
    }
    // Everything relative to the mean of its night.
    std::vector<std::vector<NightRow>> rest = nights;
    double ee = 0, et = 0, tt = 0, es = 0, ts = 0;
    for (auto& night : rest) {
        NightRow mean;
        double const n = static_cast<double>(night.size());
        for (auto const& r : night)
            mean.soc += r.soc / n, mean.energy_kwh += r.energy_kwh / n, mean.hours += r.hours / n;
        for (auto& r : night) {
            r.soc -= mean.soc, r.energy_kwh -= mean.energy_kwh, r.hours -= mean.hours;
            ee += r.energy_kwh * r.energy_kwh, et += r.energy_kwh * r.hours, tt += r.hours * r.hours;
            es += r.energy_kwh * r.soc, ts += r.hours * r.soc;
        }
    }
    double const det = ee * tt - et * et;
    std::string const alike =
        "the draw of the pump and the hours of the nights go together; more nights with more pump runs would "
        "tell them apart";
    if (!(det > 1e-9 * ee * tt)) {
        fit.standing_draw.why_not = fit.usable_battery.why_not = alike;
        return;
    }
    double const a = (tt * es - et * ts) / det, b = (ee * ts - et * es) / det;  // -1/K and -I/K
    // Scatter between nights (sandwich).
    double saa = 0, sab = 0, sbb = 0;
    for (auto const& night : rest) {
        double ge = 0, gt = 0;
        for (auto const& r : night) {
            double const off = r.soc - a * r.energy_kwh - b * r.hours;
            ge += off * r.energy_kwh, gt += off * r.hours;
        }
        double const ua = (tt * ge - et * gt) / det, ub = (ee * gt - et * ge) / det;
        saa += ua * ua, sab += ua * ub, sbb += ub * ub;
    }
    double const groups = static_cast<double>(nights.size()), more = groups / (groups - 1);
    double const k_kwh = -1 / a, standing_kw = b / a;
    // Delta rule: K = -1/a, I = b/a.
    double const dk = std::sqrt(more * saa) / (a * a);
    double const di =
        std::sqrt(std::max(more * (sbb - 2 * standing_kw * sab + standing_kw * standing_kw * saa), 0.0)) /
        std::abs(a);
    auto const battery = interval(k_kwh, dk, groups - 2),
               standing = interval(1e3 * standing_kw, 1e3 * di, groups - 2);
    bool const unclear = !(a < 0) || battery.high - battery.low > 0.8 * k_kwh;
    if (unclear) {
        fit.usable_battery.why_not = alike;
    } else {
        fit.usable_battery.fitted = {battery.center * usable_share, battery.low * usable_share,
                                     battery.high * usable_share};
    }
    if (unclear || standing.high - standing.low > std::max(1.2 * standing.center, 40.0))
        fit.standing_draw.why_not = alike;
    else
        fit.standing_draw.fitted = standing;
}

// Power of the running pump by the scenario, the mean over its run.
double running_power_w(System const& system) {
    auto const& nodes =
        system.pump_at_level.empty() ? system.fill.nodes : system.pump_at_level[0].full_speed.nodes;
    double sum = 0, count = 0;
    for (auto const& n : nodes)
        if (n.water_m3 > 0) sum += n.power_w, count += 1;
    return count > 0 ? sum / count : 0;
}

void fit_battery(SiteLog const& log, scenarios::Scenario const& s, System const& system, LogFit& fit) {
    std::vector<std::string> missing;
    for (auto const& facts : log_quantity_facts()) {
        bool const needed = facts.quantity == Q::soc || facts.quantity == Q::array_power ||
                            facts.quantity == Q::pump_power ||
                            (facts.quantity == Q::generator_power && s.rules.backup != Backup::none);
        if (needed && !log.has(facts.quantity)) missing.emplace_back(facts.name);
    }
    if (!missing.empty()) {
        std::string const why = fmt::format(
            "needs the column{} {}{}", missing.size() > 1 ? "s" : "", fmt::join(missing, ", "),
            log.has(Q::battery_volts) && !log.has(Q::soc) ? " (volts alone do not show the state of charge)"
                                                          : "");
        fit.standing_draw.why_not = fit.usable_battery.why_not = why;
        return;
    }
    fit_nights(nights_of(log, s, running_power_w(system)), fit, 1 - s.battery.min_soc);
}

// Mean power of the clean array over a step of the log [W].
double clean_w(std::vector<double> const& hourly_w, double from_h, double until_h) {
    double sum = 0;
    for (double at = from_h; at < until_h - 1e-9;) {
        double const next = std::min(std::floor(at + 1e-9) + 1, until_h);
        auto const hour = static_cast<long>(std::floor(at + 1e-9)) % hours_per_year;
        sum += hourly_w[static_cast<std::size_t>(hour < 0 ? hour + hours_per_year : hour)] * (next - at);
        at = next;
    }
    return sum / (until_h - from_h);
}

void fit_array(SiteLog const& log, scenarios::Scenario const& s, System const& system,
               weather::WeatherYear const* weather, LogFit& fit) {
    LogFigure& loss = fit.array_loss;
    if (!log.has(Q::array_power) || !log.has(Q::soc)) {
        loss.why_not =
            fmt::format("needs the column{} {}", log.has(Q::array_power) || log.has(Q::soc) ? "" : "s",
                        log.has(Q::array_power) ? "soc"
                        : log.has(Q::soc)       ? "array_power"
                                                : "soc and array_power");
        return;
    }
    if (weather == nullptr) {
        loss.why_not = "needs the weather of these dates (--weather)";
        return;
    }
    auto const array_w = [&](double soiling) {
        auto with = s;
        with.array.soiling_by_month.fill(soiling);
        return HourlyInputs(make_inputs(with, *weather)).array_power_w;
    };
    auto const hourly_w = array_w(0);
    double const limit_w = 0.98 * system.controller_limit_w / system.controller_efficiency,
                 first_h = 24.0 * first_day_of(log);
    struct Step {
        double from_h = 0, until_h = 0, measured_w = 0;
        std::size_t day = 0;
    };
    std::vector<Step> steps;
    for (std::size_t i = 1; i < log.rows(); ++i) {
        double const w = log.of(Q::array_power)[i], before = log.of(Q::soc)[i - 1], after = log.of(Q::soc)[i];
        if (log.gap_before(i) || std::isnan(w + before + after) || std::max(before, after) > uncurtailed_soc)
            continue;
        steps.push_back({first_h + log.time_h[i - 1], first_h + log.time_h[i], w,
                         static_cast<std::size_t>((log.time_h[i] - log.time_h[0]) / 24)});
    }
    // The shift of the clock at which the two agree best, with the best factor at each shift.
    auto const misfit = [&](double ahead_h) {
        double mm = 0, mc = 0, cc = 0;
        for (Step const& step : steps) {
            double const c = clean_w(hourly_w, step.from_h - ahead_h, step.until_h - ahead_h);
            mm += step.measured_w * step.measured_w, mc += step.measured_w * c, cc += c * c;
        }
        return cc > 0 ? mm - mc * mc / cc : mm;
    };
    double best_h = 0, best = misfit(0);
    auto const look = [&](double minute) {
        double const here = misfit(minute / 60);
        if (here < best * (1 - 1e-9)) best = here, best_h = minute / 60;
    };
    for (int minute = -180; minute <= 180; minute += 5) look(minute);
    for (double const around = 60 * best_h;
         double const minute : {-4.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0, 4.0})
        look(around + minute);
    fit.clock_ahead_min = std::round(60 * best_h);
    std::vector<double> measured, expected;
    for (Step const& step : steps) {
        double const c = clean_w(hourly_w, step.from_h - best_h, step.until_h - best_h);
        if (c >= limit_w || c <= 0) continue;
        if (measured.size() <= step.day) measured.resize(step.day + 1, 0), expected.resize(step.day + 1, 0);
        double const hours = step.until_h - step.from_h;
        measured[step.day] += step.measured_w * hours, expected[step.day] += c * hours;
    }
    std::vector<double> over, under;
    for (std::size_t i = 0; i < expected.size(); ++i)
        if (expected[i] > 0) over.push_back(measured[i]), under.push_back(expected[i]);
    if (over.size() < least_days) {
        loss.why_not = fmt::format("needs {} days with sun and a battery below {:.0f} %; the log has {}",
                                   least_days, 100 * uncurtailed_soc, over.size());
        return;
    }
    auto const share = ratio_interval(over, under);
    if (share.high - share.low > 0.4) {
        loss.why_not = "the days differ too much";
        return;
    }
    // A dirty array is cooler, so it loses a little less power than light: the loss of light whose power in
    // the same steps has this share of the clean array's.
    double lost = 1 - share.center;
    for (int i = 0; i < 2; ++i) {
        auto const dirty_w = array_w(std::clamp(lost, 0.0, 0.99));
        double clean = 0, dirty = 0;
        for (Step const& step : steps) {
            double const c = clean_w(hourly_w, step.from_h - best_h, step.until_h - best_h);
            if (c >= limit_w || c <= 0) continue;
            clean += c * (step.until_h - step.from_h);
            dirty +=
                clean_w(dirty_w, step.from_h - best_h, step.until_h - best_h) * (step.until_h - step.from_h);
        }
        if (lost > 0) lost += dirty / clean - share.center;
    }
    loss.fitted = {lost, lost - (share.high - share.center), lost + (share.center - share.low)};
}

// Soiling by the scenario, mean over the days of the log.
double mean_soiling(scenarios::Scenario const& s, SiteLog const& log) {
    int const days = std::max(1, static_cast<int>((log.time_h.back() - log.time_h.front()) / 24));
    double sum = 0;
    for (int d = 0; d < days; ++d) {
        int const month = weather::calendar_hour(24 * ((first_day_of(log) + d) % 365)).month;
        sum += s.array.soiling_by_month[static_cast<std::size_t>(month - 1)];
    }
    return sum / days;
}

}  // namespace

int first_day_of(SiteLog const& log) {
    int const day = log.month == 2 && log.day == 29 ? 28 : log.day;
    return weather::hour_index(log.month, day, 0) / 24;
}

LogFit fit_log(SiteLog const& log, scenarios::Scenario const& scenario, weather::WeatherYear const* weather) {
    auto const system = make_system(scenario);
    LogFit fit;
    fit.standing_has_loads = !log.has(Q::load_power);
    fit.water_use = {"water use", "m3/day", {}, "", no_value, "demand"};
    fit.pump_energy = {"pump energy", "kWh/m3", {}, "", no_value, "pump.shaft_power, motor.rated_input"};
    fit.standing_draw = {fit.standing_has_loads ? "standing draw with small loads" : "standing draw",
                         "W",
                         {},
                         "",
                         no_value,
                         "inverter.idle"};
    fit.usable_battery = {"usable battery",
                          "kWh",
                          {},
                          "",
                          scenario.battery.capacity_kwh * scenario.battery.discharge_efficiency *
                              (1 - scenario.battery.min_soc),
                          "battery.capacity"};
    fit.array_loss = {
        "soiling and other loss of the array", "1", {}, "", mean_soiling(scenario, log), "array.soiling"};
    if (!fit.standing_has_loads) fit.standing_draw.scenario = scenario.inverter.idle_w + system.dc_standby_w;
    fit_water(log, fit);
    fit_pump(log, fit);
    fit_battery(log, scenario, system, fit);
    fit_array(log, scenario, system, weather, fit);
    return fit;
}

}  // namespace holdwater::sim
