#include "sim/autonomy/cloudy_period_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <stdexcept>
#include <utility>

#include "models/numeric/expects.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"
#include "weather/clear_sky.hpp"
#include "weather/cloudy_periods.hpp"

namespace holdwater::sim {
namespace {

constexpr int longest_hours = 60 * 24;
constexpr int dry_look_h = 24 * 45;  // shortages after the period are counted for this time
constexpr int block_days = 16;       // start dates that share one copy of the inputs
constexpr double clear_sky_turbidity = 3;

void require(bool holds, char const* field, double value, char const* rule) {
    if (!holds) throw std::invalid_argument(fmt::format("{} = {} ({})", field, value, rule));
}

int first_hour_of(CloudyPeriodInputs const& in, int first_day) { return 24 * first_day + in.start_hour; }

// Puts the period into hours that are otherwise those of the year; `put_back` restores them.
void put_cloudy_period(CloudyPeriodInputs const& in, CheckedInputs& hours, int first_day) {
    for (int i = 0; i < in.hours;) {
        int const at = (first_hour_of(in, first_day) + i) % hours_per_year;
        int const n = std::min({24 - i % 24, in.hours - i, hours_per_year - at});
        hours.take_hours(in.cloudy[std::min(static_cast<std::size_t>(i / 24), in.cloudy.size() - 1)], at, n);
        i += n;
    }
}
void put_back(CloudyPeriodInputs const& in, CheckedInputs& hours, int first_day) {
    int const at = first_hour_of(in, first_day) % hours_per_year;
    int const before_end = std::min(in.hours, hours_per_year - at);
    hours.take_hours(in.own, at, before_end);
    hours.take_hours(in.own, 0, in.hours - before_end);
}

// The design at the beginning of the period.
System begin_on(System system, CloudyPeriodInputs const& in, int first_hour, StoreLevels const& levels) {
    if (in.outage_h) system.outages = {{static_cast<double>(first_hour), first_hour + *in.outage_h}};
    return with_levels(std::move(system), levels);
}

double day_sum(std::vector<double> const& hourly, int day) {
    double sum = 0;
    for (std::size_t h = 24 * static_cast<std::size_t>(day), end = h + 24; h < end; ++h) sum += hourly[h];
    return sum;
}

// Clearness of a day of the year: its global energy divided by that outside the atmosphere; 0 in a polar
// night.
double day_clearness(std::vector<double> const& ghi_w_m2, weather::SunYear const& sun, int day) {
    double const outside = day_sum(sun.extraterrestrial_horizontal_w_m2, day);
    return outside > 0 ? std::clamp(day_sum(ghi_w_m2, day) / outside, 0.0, 0.8) : 0;
}

CloudyPeriodStart run_start(System const& design, CheckedInputs const& hours, CloudyPeriodInputs const& in,
                            int first_day, StoreLevels const& begins, FollowUntil until) {
    constexpr double slack_m3 = 1e-6;
    double const cistern_m3 = cistern_full_m3(design) - slack_m3,
                 trough_m3 = trough_full_m3(design) - slack_m3;
    CloudyPeriodStart s;
    s.first_day = first_day;
    s.begins = begins;
    if (until == FollowUntil::full_again) s.full_again_h = CloudyPeriodStart::never;
    Clock clock;
    clock.first_hour = first_hour_of(in, first_day);
    clock.hours = until == FollowUntil::full_again ? hours_per_year : in.hours;
    auto const see = [&](int i, HourRecord const& h, std::span<Event const> events) {
        bool const dry = h.water_short_m3 > some_water_m3;
        if (i < in.hours) {
            if (std::isinf(s.power_lost_h)) s.power_lost_h = inverter_off_h(events) - clock.first_hour;
            if (dry && std::isinf(s.first_shortage_h)) {
                s.first_shortage_h = i;
                s.reason = static_cast<LimitReason>(h.water_short_reason);
            }
            s.shortage_hours += dry ? 1 : 0;
            s.water_short_m3 += h.water_short_m3;
            s.lowest_level = std::min(s.lowest_level, h.battery_soc);
            s.generator_h += h.generator_run_h;
            s.generator_fuel_l += h.generator_fuel_l;
            s.grid_kwh += h.grid_kw;
            if (until == FollowUntil::both_lost)
                return std::isinf(s.first_shortage_h) || std::isinf(s.power_lost_h);
        } else if (dry && i < in.hours + dry_look_h) {
            s.dry_after_h = std::min<double>(s.dry_after_h, i - in.hours);
            ++s.dry_hours_after;
        }
        bool const full =
            h.battery_soc >= full_level && h.cistern_water_m3 >= cistern_m3 && h.trough_water_m3 >= trough_m3;
        if (i + 1 < in.hours || !full) return true;
        s.full_again_h = static_cast<double>(i) + 1 - in.hours;
        return false;
    };
    watch(begin_on(design, in, clock.first_hour, begins), hours, clock, see);
    return s;
}

bool worse(CloudyPeriodStart const& a, CloudyPeriodStart const& b) {
    if (a.first_shortage_h != b.first_shortage_h) return a.first_shortage_h < b.first_shortage_h;
    if (a.dry_after_h != b.dry_after_h) return a.dry_after_h < b.dry_after_h;
    if (a.power_lost_h != b.power_lost_h) return a.power_lost_h < b.power_lost_h;
    if (a.lowest_level != b.lowest_level) return a.lowest_level < b.lowest_level;
    return a.full_again_h > b.full_again_h;
}

void check(CloudyPeriodInputs const& in, std::vector<int> const& first_days) {
    require(!first_days.empty(), "start dates", 0, "must be at least one");
    for (int const day : first_days)
        require(day >= 0 && day < days_per_year, "start date", day, "must be 0 .. 364");
    require(in.hours >= 1 && in.hours <= longest_hours, "hours", in.hours, "must be 1 .. 1440");
    require(in.start_hour >= 0 && in.start_hour < 24, "start hour", in.start_hour, "must be 0 .. 23");
    require(!in.cloudy.empty(), "days of the period", 0, "must be at least one");
    if (in.outage_h)
        require(*in.outage_h > 0 && *in.outage_h <= in.hours, "outage", *in.outage_h,
                "must be above 0 h and no longer than the period");
}

// "0.5 on the first day, 0.25 after"
std::string day_by_day(std::vector<std::string> const& values) {
    if (values.size() == 1) return values[0];
    std::string text;
    for (std::size_t i = 0; i + 1 < values.size(); ++i)
        text += fmt::format("{} in the {} 24 h, ", values[i],
                            i == 0   ? std::string("first")
                            : i == 1 ? std::string("second")
                            : i == 2 ? std::string("third")
                                     : fmt::format("{}th", i + 1));
    return text + values.back() + " after";
}

std::string outage_text(CloudyPeriodWeather const& w) {
    if (!w.outage_h) return "";
    return *w.outage_h == w.hours ? std::string("; the grid is away throughout")
                                  : fmt::format("; the grid is away in its first {:.4g} h", *w.outage_h);
}

}  // namespace

std::vector<double> clearness_of_days(weather::WeatherYear const& year, weather::SunYear const& sun,
                                      int first_day, int days) {
    std::vector<double> clearness;
    clearness.reserve(static_cast<std::size_t>(days));
    for (int k = 0; k < days; ++k)
        clearness.push_back(day_clearness(year.ghi_w_m2, sun, (first_day + k) % days_per_year));
    return clearness;
}

double clear_sky_share_of(std::vector<double> const& clearness, weather::SunYear const& sun, int first_day) {
    auto const clear = weather::clear_sky_ghi_w_m2(sun, clear_sky_turbidity);
    double light = 0, most = 0;
    for (std::size_t k = 0; k < clearness.size(); ++k) {
        int const day = (first_day + static_cast<int>(k)) % days_per_year;
        light += clearness[k] * day_sum(sun.extraterrestrial_horizontal_w_m2, day);
        most += day_sum(clear, day);
    }
    return most > 0 ? light / most : 0;
}

int days_of(CloudyPeriodInputs const& inputs) { return (inputs.hours + 23) / 24; }

CloudyPeriodInputs make_cloudy_period_inputs(scenarios::Scenario const& scenario,
                                             weather::WeatherYear const& year, CloudyPeriodWeather const& w) {
    require(w.hours >= 1 && w.hours <= longest_hours, "hours", w.hours, "must be 1 .. 1440");
    if (w.kind != CloudyPeriodKind::worst_of_file)
        require(!w.values.empty(), "days of the period", 0, "must be at least one");
    CloudyPeriodInputs in;
    in.hours = w.hours;
    in.start_hour = w.start_hour;
    in.outage_h = w.outage_h;
    auto const sun = weather::sun_over_year(year.site);
    in.own = make_inputs(scenario, year, sun);
    // The days of a cloudy period keep their mean temperatures, and so the demand is that of the year.
    auto const cloudy_inputs = [&](weather::WeatherYear const& cloudy_year) {
        return make_inputs(scenario, cloudy_year, sun, in.own);
    };
    auto const all_year_at = [&](double clearness) {
        return cloudy_inputs(
            weather::with_cloudy_period(year, sun, {.first_day = 0, .days = 365, .clearness = clearness}));
    };
    std::vector<std::string> values;
    switch (w.kind) {
        case CloudyPeriodKind::clearness:
            for (double const clearness : w.values) {
                require(clearness >= 0 && clearness <= 0.8, "clearness", clearness, "must be 0 .. 0.8");
                in.cloudy.push_back(all_year_at(clearness));
                values.push_back(fmt::format("{:g}", clearness));
            }
            in.text = "clearness " + day_by_day(values);
            break;
        case CloudyPeriodKind::clear_sky_share: {
            auto const clear = weather::clear_sky_ghi_w_m2(sun, clear_sky_turbidity);
            for (double const share : w.values) {
                require(share >= 0 && share <= 1, "share of the clear sky", share, "must be 0 .. 1");
                auto cloudy_year = year;
                for (int day = 0; day < days_per_year; ++day)
                    weather::put_cloudy_period(
                        cloudy_year, sun,
                        {.first_day = day, .days = 1, .clearness = share * day_clearness(clear, sun, day)});
                in.cloudy.push_back(cloudy_inputs(cloudy_year));
                values.push_back(fmt::format("{:g} %", 100 * share));
            }
            in.text = "sun " + day_by_day(values) + ", of a clear sky";
            if (values.size() == 1) in.text = values[0] + " of a clear sky";
            break;
        }
        case CloudyPeriodKind::worst_of_file: {
            int const days = days_of(in);
            auto const runs = weather::worst_cloudy_periods(
                weather::daily_energy_kwh_m2(in.own.array_power_w), days, year.file_year, true);
            int const first = runs.back().first_day;
            in.worst_first_day = first;
            double sum = 0;
            for (double const kt : clearness_of_days(year, sun, first, days)) {
                in.cloudy.push_back(all_year_at(kt));
                sum += kt;
            }
            in.text = fmt::format(
                "the weather file's cloudiest {} days for this array, from {} (clearness {:.2f} on average)",
                days, stamp_of_hour(24.0 * first).substr(0, 5), sum / days);
            break;
        }
    }
    in.text += outage_text(w);
    check(in, {0});
    return in;
}

CheckedInputs with_cloudy_period_on(CloudyPeriodInputs const& inputs, int first_day) {
    CheckedInputs hours(inputs.own);
    put_cloudy_period(inputs, hours, first_day);
    return hours;
}

void for_each_start(CloudyPeriodInputs const& inputs, std::vector<int> const& first_days,
                    std::function<void(std::size_t, CheckedInputs const&)> const& run) {
    check(inputs, first_days);
    CheckedInputs const own(inputs.own);
    for_each_job((first_days.size() + block_days - 1) / block_days, [&](std::size_t block) {
        CheckedInputs hours = own;
        std::size_t const end = std::min(first_days.size(), (block + 1) * block_days);
        for (std::size_t i = block * block_days; i < end; ++i) {
            put_cloudy_period(inputs, hours, first_days[i]);
            run(i, hours);
            put_back(inputs, hours, first_days[i]);
        }
    });
}

CloudyPeriodOutcome run_cloudy_periods(System const& system, CloudyPeriodInputs const& inputs,
                                       std::vector<int> const& first_days,
                                       std::vector<StoreLevels> const& levels, FollowUntil until) {
    CloudyPeriodOutcome outcome;
    outcome.starts.resize(first_days.size());
    for_each_start(inputs, first_days, [&](std::size_t i, CheckedInputs const& hours) {
        auto const& begins = levels.at(static_cast<std::size_t>(first_hour_of(inputs, first_days[i])));
        outcome.starts[i] = run_start(system, hours, inputs, first_days[i], begins, until);
    });
    for (int n = 1; n <= days_of(inputs); ++n) {
        auto const wet = std::count_if(
            outcome.starts.begin(), outcome.starts.end(),
            [&](CloudyPeriodStart const& s) { return s.first_shortage_h >= std::min(24 * n, inputs.hours); });
        outcome.survival.push_back(static_cast<double>(wet) / static_cast<double>(outcome.starts.size()));
    }
    for (std::size_t i = 1; i < outcome.starts.size(); ++i)
        if (worse(outcome.starts[i], outcome.starts[outcome.worst])) outcome.worst = i;
    return outcome;
}

double first_shortage_h(System const& system, CheckedInputs const& hours, Clock const& clock) {
    double first_h = CloudyPeriodStart::never;
    watch(system, hours, clock, [&](int i, HourRecord const& r, auto) {
        if (r.water_short_m3 > some_water_m3) first_h = i;
        return std::isinf(first_h);
    });
    return first_h;
}

std::vector<double> first_shortages_h(System const& system, CloudyPeriodInputs const& inputs,
                                      std::vector<int> const& first_days,
                                      std::vector<StoreLevels> const& levels) {
    std::vector<double> first_h(first_days.size());
    for_each_start(inputs, first_days, [&](std::size_t i, CheckedInputs const& hours) {
        Clock clock;
        clock.first_hour = first_hour_of(inputs, first_days[i]);
        clock.hours = inputs.hours;
        auto const& begins = levels[static_cast<std::size_t>(clock.first_hour)];
        first_h[i] = first_shortage_h(begin_on(system, inputs, clock.first_hour, begins), hours, clock);
    });
    return first_h;
}

RunResult run_one_cloudy_period(System const& system, CloudyPeriodInputs const& inputs, int first_day,
                                std::vector<StoreLevels> const& levels, int days_after) {
    check(inputs, {first_day});
    Clock clock;
    clock.first_hour = first_hour_of(inputs, first_day);
    clock.hours = std::min(inputs.hours + 24 * days_after, hours_per_year);
    auto const& begins = levels.at(static_cast<std::size_t>(clock.first_hour));
    return simulate(begin_on(system, inputs, clock.first_hour, begins),
                    with_cloudy_period_on(inputs, first_day), clock);
}

std::vector<CloudyPeriodByClearness> cloudy_periods_by_clearness(
    System const& system, scenarios::Scenario const& scenario, weather::WeatherYear const& year,
    CloudyPeriodWeather weather, std::vector<int> const& first_days, std::vector<StoreLevels> const& levels) {
    std::vector<CloudyPeriodByClearness> rows;
    weather.kind = CloudyPeriodKind::clearness;
    for (int i = 0; i <= 10; ++i) {
        double const clearness = 0.05 * i;
        weather.values = {clearness};
        auto const inputs = make_cloudy_period_inputs(scenario, year, weather);
        auto const outcome = run_cloudy_periods(system, inputs, first_days, levels, FollowUntil::both_lost);
        double worst_h = CloudyPeriodStart::never;
        for (auto const& s : outcome.starts) worst_h = std::min(worst_h, s.first_shortage_h);
        rows.push_back({clearness, outcome.survival.back(), worst_h});
    }
    return rows;
}

double inverter_off_h(std::span<Event const> events) {
    auto const off = std::find_if(events.begin(), events.end(),
                                  [](Event const& e) { return e.kind == EventKind::inverter_off; });
    return off == events.end() ? CloudyPeriodStart::never : off->time_h;
}

std::vector<int> every_start_day() {
    std::vector<int> days(days_per_year);
    std::iota(days.begin(), days.end(), 0);
    return days;
}

System without_backup(System system) {
    system.rules = scenarios::without_backup(std::move(system.rules));
    system.generator.reset();
    return system;
}

System with_battery_factor(System system, double factor) {
    system.battery.capacity_kwh *= factor;
    system.battery.charge_limit_kw *= factor;
    system.battery.discharge_limit_kw *= factor;
    system.battery_behavior.voltage.resistance_ohm /= factor;
    return system;
}

System with_array_factor(System system, double factor) {
    system.array_factor *= factor;
    system.controller_limit_w *= factor;
    return system;
}

System with_cistern_factor(System system, double factor) {
    HOLDWATER_EXPECTS(system.cistern.has_value());
    auto& c = *system.cistern;
    double const floor_m3 = models::usable_from_m3(c.cistern), before_m3 = c.cistern.capacity_m3;
    auto const grow = [&](double& level_m3) { level_m3 = floor_m3 + factor * (level_m3 - floor_m3); };
    for (double* level : {&c.cistern.capacity_m3, &c.cistern.fill_start_m3, &c.cistern.fill_stop_m3,
                          &c.start_m3, &c.resume_m3})
        grow(*level);
    if (c.cistern.fill_enough_m3 > 0) grow(c.cistern.fill_enough_m3);
    c.fill_band_m3 *= factor;
    c.cistern.floor_area_m2 *= c.cistern.capacity_m3 / before_m3;
    return system;
}

BridgingGenerator bridge_with_generator(System const& system, CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days,
                                        std::vector<StoreLevels> const& levels) {
    BridgingGenerator b;
    System s = system;
    bool const has_levels = scenarios::uses_generator(s.rules);
    if (s.rules.second) {
        s.rules.transfer_below = s.rules.second->transfer_below;
        s.rules.return_above = s.rules.second->return_above;
        s.rules.charge_to = s.rules.second->charge_to;
        s.rules.break_s = s.rules.second->break_s;
        s.rules.second.reset();
    }
    if (!has_levels) {
        // A tenth of the usable charge is left as a margin; the last fifth charges slowly (common practice,
        // no source).
        s.rules.transfer_below = s.battery.min_soc + 0.1 * (1 - s.battery.min_soc);
        s.rules.transfer_below_v = 0;
        s.rules.break_s = 0;
    }
    if (!has_levels || s.rules.charge_to <= s.rules.transfer_below) {
        s.rules.charge_to = std::max(0.8, s.rules.transfer_below + 0.1);
        s.rules.return_above = s.rules.charge_to;
    }
    s.rules.backup = Backup::generator;
    s.rules.grid_first = false;
    s.rules.backup_limit_w = std::numeric_limits<double>::infinity();
    s.generator =
        models::GeneratorParameters{.rated_power_w = 1e6, .fuel_a_l_per_h_kw = 0, .fuel_b_l_per_kwh = 0.4};
    double const elevation_m = s.generator_operation.elevation_m;
    s.generator_operation = {};
    s.generator_operation.elevation_m = elevation_m;
    if (!(s.charger.dc_power_limit_w > 0)) {
        b.assumed_charger = true;
        s.charger = {200 * s.battery.capacity_kwh, 0.9, 1};
    }
    b.transfer_below = s.rules.transfer_below;
    b.charge_to = s.rules.charge_to;
    b.charger_w = std::min(s.charger.dc_power_limit_w, 1e3 * s.battery.charge_limit_kw);
    b.outcome = run_cloudy_periods(s, inputs, first_days, levels, FollowUntil::period_end);
    for (CloudyPeriodStart const& start : b.outcome.starts) {
        b.mean_h += start.generator_h / static_cast<double>(b.outcome.starts.size());
        if (start.generator_h <= b.most_h) continue;
        b.most_h = start.generator_h;
        b.most_first_day = start.first_day;
    }
    return b;
}

}  // namespace holdwater::sim
