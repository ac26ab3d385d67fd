#include "sim/cloudy_spell_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <stdexcept>

#include "sim/make_inputs.hpp"
#include "sim/simulate.hpp"
#include "sim/water_side.hpp"
#include "weather/clear_sky.hpp"
#include "weather/cloudy_spells.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::sim {
namespace {

constexpr int longest_days = 60;
constexpr int first_look_days = 45;  // after the spell; only what is not full by then is run for a whole year
constexpr double largest_factor = 64, smallest_factor = 1.0 / 64;
constexpr double clear_sky_turbidity = 3;

void require(bool holds, char const* field, double value, char const* rule) {
    if (!holds) throw std::invalid_argument(fmt::format("{} = {} ({})", field, value, rule));
}

void copy_hours(std::vector<double> const& from, std::vector<double>& to, int first, int hours) {
    if (from.empty() || to.empty()) return;
    std::copy_n(from.begin() + first, hours, to.begin() + first);
}

void copy_day(HourlyInputs const& from, HourlyInputs& to, int day) {
    int const first = 24 * day;
    copy_hours(from.array_power_w, to.array_power_w, first, 24);
    copy_hours(from.load_w, to.load_w, first, 24);
    copy_hours(from.demand_m3, to.demand_m3, first, 24);
    copy_hours(from.tap_flow_m3_s, to.tap_flow_m3_s, first, 24);
    for (std::size_t c = 0; c < to.shed_first.size(); ++c)
        copy_hours(from.shed_first[c].power_w, to.shed_first[c].power_w, first, 24);
    copy_hours(from.leg_imbalance_w, to.leg_imbalance_w, first, 24);
    copy_hours(from.load_var, to.load_var, first, 24);
    copy_hours(from.load_start_va, to.load_start_va, first, 24);
    copy_hours(from.ambient_c, to.ambient_c, first, 24);
    copy_hours(from.array_window_loss_w, to.array_window_loss_w, first, 24);
}

// Puts the spell into hours that are otherwise the year's own; `put_back` undoes it.
void put_spell(SpellInputs const& in, HourlyInputs& hours, int first_day) {
    for (int k = 0; k < in.days; ++k) {
        auto const& dull = in.dull.size() == 1 ? in.dull[0] : in.dull[static_cast<std::size_t>(k)];
        copy_day(dull, hours, (first_day + k) % days_per_year);
    }
}
void put_back(SpellInputs const& in, HourlyInputs& hours, int first_day) {
    for (int k = 0; k < in.days; ++k) copy_day(in.own, hours, (first_day + k) % days_per_year);
}

double day_sum(std::vector<double> const& hourly, int day) {
    double sum = 0;
    for (std::size_t h = 24 * static_cast<std::size_t>(day), end = h + 24; h < end; ++h) sum += hourly[h];
    return sum;
}

// Clearness of a day of the year: its global energy over that outside the atmosphere; 0 in a polar night.
double day_clearness(std::vector<double> const& ghi_w_m2, weather::SunYear const& sun, int day) {
    double const outside = day_sum(sun.extraterrestrial_horizontal_w_m2, day);
    return outside > 0 ? std::clamp(day_sum(ghi_w_m2, day) / outside, 0.0, 0.8) : 0;
}

double first_dry_h(RunResult const& result, int hours) {
    for (int i = 0; i < hours; ++i)
        if (result.hours[static_cast<std::size_t>(i)].water_unmet_m3 > some_water_m3) return i;
    return SpellStart::never;
}

double full_again_h(RunResult const& result, int spell_hours) {
    for (std::size_t i = static_cast<std::size_t>(spell_hours) - 1; i < result.hours.size(); ++i)
        if (result.hours[i].battery_soc >= full_level) return static_cast<double>(i) + 1 - spell_hours;
    return SpellStart::never;
}

SpellStart run_start(System const& system, HourlyInputs const& hours, int first_day, int days, bool to_full) {
    int const spell_hours = 24 * days;
    Clock clock;
    clock.first_hour = 24 * first_day;
    clock.hours = std::min(spell_hours + (to_full ? 24 * first_look_days : 0), hours_per_year);
    auto const result = simulate(system, hours, clock);

    SpellStart s;
    s.first_day = first_day;
    for (Event const& e : result.events) {
        double const since_h = e.time_h - clock.first_hour;
        if (e.kind != EventKind::inverter_off || since_h > spell_hours) continue;
        s.power_lost_h = since_h;
        break;
    }
    s.first_dry_h = first_dry_h(result, spell_hours);
    if (std::isfinite(s.first_dry_h))
        s.reason =
            static_cast<LimitReason>(result.hours[static_cast<std::size_t>(s.first_dry_h)].limit_reason);
    for (std::size_t i = 0; i < static_cast<std::size_t>(spell_hours); ++i) {
        HourRecord const& h = result.hours[i];
        s.dry_hours += h.water_unmet_m3 > some_water_m3 ? 1 : 0;
        s.lowest_level = std::min(s.lowest_level, h.battery_soc);
        s.generator_h += h.generator_run_h;
        s.generator_fuel_l += h.generator_fuel_l;
        s.grid_kwh += h.grid_kw;
    }
    if (!to_full) return s;
    s.full_again_h = full_again_h(result, spell_hours);
    if (std::isinf(s.full_again_h) && clock.hours < hours_per_year) {
        clock.hours = hours_per_year;
        s.full_again_h = full_again_h(simulate(system, hours, clock), spell_hours);
    }
    return s;
}

bool worse(SpellStart const& a, SpellStart const& b) {
    if (a.first_dry_h != b.first_dry_h) return a.first_dry_h < b.first_dry_h;
    if (a.power_lost_h != b.power_lost_h) return a.power_lost_h < b.power_lost_h;
    if (a.lowest_level != b.lowest_level) return a.lowest_level < b.lowest_level;
    return a.full_again_h > b.full_again_h;
}

// The start day that failed last is asked first: most factors that are too small fall at it.
class HoldsForAll {
  public:
    explicit HoldsForAll(std::vector<int> first_days) : days_(std::move(first_days)) {}

    bool operator()(System const& system, SpellInputs const& in) {
        HourlyInputs hours = in.own;
        for (std::size_t i = 0; i < days_.size(); ++i) {
            Clock clock;
            clock.first_hour = 24 * days_[i];
            clock.hours = 24 * in.days;
            put_spell(in, hours, days_[i]);
            bool const dry = std::isfinite(first_dry_h(simulate(system, hours, clock), clock.hours));
            put_back(in, hours, days_[i]);
            if (!dry) continue;
            std::rotate(days_.begin(), days_.begin() + static_cast<std::ptrdiff_t>(i),
                        days_.begin() + static_cast<std::ptrdiff_t>(i) + 1);
            return false;
        }
        return true;
    }

  private:
    std::vector<int> days_;
};

std::optional<double> least_factor(std::function<bool(double)> const& holds) {
    double low = 1, high = 1;
    if (holds(1)) {
        while (low > smallest_factor && holds(low / 2)) low /= 2;
        if (low <= smallest_factor) return low;
        high = low;
        low /= 2;
    } else {
        do {
            low = high;
            high *= 2;
            if (high > largest_factor) return std::nullopt;
        } while (!holds(high));
    }
    while (high / low > 1.005) {
        double const middle = std::sqrt(low * high);
        (holds(middle) ? high : low) = middle;
    }
    return high;
}

void scale(HourlyInputs& in, double factor) {
    for (double& w : in.array_power_w) w *= factor;
    for (double& w : in.array_window_loss_w) w *= factor;
}

void check(System const& system, SpellInputs const& in, std::vector<int> const& first_days) {
    require(!first_days.empty(), "start days", 0, "must be at least one");
    for (int const day : first_days)
        require(day >= 0 && day < days_per_year, "start day", day, "must be 0 .. 364");
    require(in.days >= 1 && in.days <= longest_days, "days", in.days, "must be 1 .. 60");
    require(system.start_soc >= 0 && system.start_soc <= 1, "level", system.start_soc, "must be 0 .. 1");
}

}  // namespace

SpellInputs make_spell_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                              SpellWeather const& w) {
    require(w.days >= 1 && w.days <= longest_days, "days", w.days, "must be 1 .. 60");
    SpellInputs in;
    in.days = w.days;
    auto const sun = weather::sun_over_year(year.site);
    in.own = make_inputs(scenario, year, sun);
    auto const all_year_at = [&](double clearness) {
        return make_inputs(
            scenario, weather::with_spell(year, sun, {.first_day = 0, .days = 365, .clearness = clearness}),
            sun);
    };
    switch (w.kind) {
        case SpellKind::clearness:
            require(w.value >= 0 && w.value <= 0.8, "clearness", w.value, "must be 0 .. 0.8");
            in.dull.push_back(all_year_at(w.value));
            in.text = fmt::format("clearness {:g}", w.value);
            break;
        case SpellKind::clear_sky_share: {
            require(w.value >= 0 && w.value <= 0.6, "share of the clear sky", w.value, "must be 0 .. 0.6");
            auto const clear = weather::clear_sky_ghi_w_m2(sun, clear_sky_turbidity);
            auto dull_year = year;
            for (int day = 0; day < days_per_year; ++day)
                dull_year = weather::with_spell(
                    dull_year, sun,
                    {.first_day = day, .days = 1, .clearness = w.value * day_clearness(clear, sun, day)});
            in.dull.push_back(make_inputs(scenario, dull_year, sun));
            in.text = fmt::format("{:g} % of a clear sky", 100 * w.value);
            break;
        }
        case SpellKind::poorest_of_year: {
            auto const runs = weather::worst_spells(weather::daily_energy_kwh_m2(in.own.array_power_w),
                                                    w.days, year.file_year, true);
            int const first = runs.back().first_day;
            in.poorest_first_day = first;
            double sum = 0;
            for (int k = 0; k < w.days; ++k) {
                double const kt = day_clearness(year.ghi_w_m2, sun, (first + k) % days_per_year);
                in.dull.push_back(all_year_at(kt));
                sum += kt;
            }
            in.text = fmt::format(
                "the year's poorest {} days for this array, from {} (clearness {:.2f} on average)", w.days,
                stamp_of_hour(24.0 * first).substr(0, 5), sum / w.days);
            break;
        }
    }
    return in;
}

HourlyInputs with_spell_on(SpellInputs const& inputs, int first_day) {
    HourlyInputs hours = inputs.own;
    put_spell(inputs, hours, first_day);
    return hours;
}

SpellOutcome run_spells(System const& system, SpellInputs const& inputs, std::vector<int> const& first_days,
                        bool to_full) {
    check(system, inputs, first_days);
    SpellOutcome outcome;
    HourlyInputs hours = inputs.own;
    for (int const day : first_days) {
        put_spell(inputs, hours, day);
        outcome.starts.push_back(run_start(system, hours, day, inputs.days, to_full));
        put_back(inputs, hours, day);
    }
    for (int n = 1; n <= inputs.days; ++n) {
        auto const wet = std::count_if(outcome.starts.begin(), outcome.starts.end(),
                                       [&](SpellStart const& s) { return s.first_dry_h >= 24.0 * n; });
        outcome.survival.push_back(static_cast<double>(wet) / static_cast<double>(outcome.starts.size()));
    }
    for (std::size_t i = 1; i < outcome.starts.size(); ++i)
        if (worse(outcome.starts[i], outcome.starts[outcome.worst])) outcome.worst = i;
    return outcome;
}

RunResult run_one_spell(System const& system, SpellInputs const& inputs, int first_day, int days_after) {
    check(system, inputs, {first_day});
    Clock clock;
    clock.first_hour = 24 * first_day;
    clock.hours = std::min(24 * (inputs.days + days_after), hours_per_year);
    return simulate(system, with_spell_on(inputs, first_day), clock);
}

std::vector<SpellByClearness> spells_by_clearness(System const& system, scenarios::Scenario const& scenario,
                                                  weather::WeatherYear const& year, int days,
                                                  std::vector<int> const& first_days) {
    std::vector<SpellByClearness> rows;
    for (int i = 0; i <= 10; ++i) {
        double const clearness = 0.05 * i;
        auto const inputs = make_spell_inputs(scenario, year, {SpellKind::clearness, clearness, days});
        auto const outcome = run_spells(system, inputs, first_days, false);
        double worst_h = SpellStart::never;
        for (auto const& s : outcome.starts) worst_h = std::min(worst_h, s.first_dry_h);
        rows.push_back({clearness, outcome.survival.back(), worst_h});
    }
    return rows;
}

std::vector<int> every_start_day() {
    std::vector<int> days(days_per_year);
    std::iota(days.begin(), days.end(), 0);
    return days;
}

System without_backup(System system) {
    system.rules.backup = Backup::none;
    system.rules.grid_first = false;
    system.generator.reset();
    return system;
}

System with_bank_factor(System system, double factor) {
    system.bank.capacity_kwh *= factor;
    system.bank.charge_limit_kw *= factor;
    system.bank.discharge_limit_kw *= factor;
    system.bank_behaviour.voltage.resistance_ohm /= factor;
    return system;
}

System with_controller_factor(System system, double factor) {
    system.controller_limit_w *= factor;
    return system;
}

SpellInputs with_array_factor(SpellInputs inputs, double factor) {
    scale(inputs.own, factor);
    for (HourlyInputs& dull : inputs.dull) scale(dull, factor);
    return inputs;
}

std::optional<double> least_bank_factor(System const& system, SpellInputs const& inputs,
                                        std::vector<int> const& first_days) {
    check(system, inputs, first_days);
    HoldsForAll holds(first_days);
    return least_factor([&](double factor) { return holds(with_bank_factor(system, factor), inputs); });
}

std::optional<double> least_array_factor(System const& system, SpellInputs const& inputs,
                                         std::vector<int> const& first_days) {
    check(system, inputs, first_days);
    HoldsForAll holds(first_days);
    return least_factor([&](double factor) {
        return holds(with_controller_factor(system, factor), with_array_factor(inputs, factor));
    });
}

BridgingGenerator bridge_with_generator(System const& system, SpellInputs const& inputs,
                                        std::vector<int> const& first_days) {
    BridgingGenerator b;
    System s = system;
    bool const has_levels = s.rules.backup == Backup::generator;
    if (!has_levels) {
        // A tenth of what is usable stays in hand; the last fifth charges slowly (common practice, no
        // source).
        s.rules.transfer_below = s.bank.floor_soc + 0.1 * (1 - s.bank.floor_soc);
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
        s.charger = {200 * s.bank.capacity_kwh, 0.9, 1};
    }
    b.transfer_below = s.rules.transfer_below;
    b.charge_to = s.rules.charge_to;
    b.charger_w = std::min(s.charger.dc_power_limit_w, 1e3 * s.bank.charge_limit_kw);
    b.outcome = run_spells(s, inputs, first_days, false);
    for (SpellStart const& start : b.outcome.starts) {
        b.mean_h += start.generator_h / static_cast<double>(b.outcome.starts.size());
        if (start.generator_h <= b.most_h) continue;
        b.most_h = start.generator_h;
        b.most_first_day = start.first_day;
    }
    return b;
}

}  // namespace holdwater::sim
