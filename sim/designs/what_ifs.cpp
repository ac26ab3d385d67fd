#include "sim/designs/what_ifs.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

#include "models/numeric/trade_units.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

constexpr double not_tried = std::numeric_limits<double>::quiet_NaN();
constexpr double leak_m3_s = models::m3_s_per_gpm;

// Inputs for the days to the first shortage: the hours of the year itself, a year of cloudy days, and the
// times of sunset.
struct CloudyYear {
    HourlyInputs own, cloudy;
    std::vector<int> sunset_hours;
};

CloudyYear cloudy_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double share) {
    auto in = make_cloudy_period_inputs(scenario, year, {CloudyPeriodKind::clear_sky_share, {share}, 24});
    return {std::move(in.own), std::move(in.cloudy.front()), sunset_hours(weather::sun_over_year(year.site))};
}

// Days from sunset to the first hour short of water, from the worst of all start dates. Every day is cloudy;
// a start date is followed only for as long as the worst one so far.
double worst_days(System const& design, CloudyYear const& year, double start_soc = 1) {
    auto const levels = start_levels(design, year.own, {.soc = start_soc});
    auto const alone = without_backup(design);
    CheckedInputs const cloudy(year.cloudy);
    int shortest_h = 24 * longest_shortage_days;
    bool found = false;
    // First five start dates spread over the year: a shortage there limits how long the others are followed.
    constexpr int days = 365, stride = 73;
    for (int i = 0; i < days; ++i) {
        auto const day = static_cast<std::size_t>((i * stride % days + i / 5) % days);
        Clock clock;
        clock.first_hour = year.sunset_hours[day];
        clock.hours = shortest_h;
        if (clock.hours == 0) break;
        auto const& begins = levels[static_cast<std::size_t>(clock.first_hour)];
        watch(with_levels(alone, begins), cloudy, clock, [&](int hour, HourRecord const& h, auto) {
            if (h.water_short_m3 <= some_water_m3) return true;
            shortest_h = hour;
            found = true;
            return false;
        });
    }
    return found ? shortest_h / 24.0 : std::numeric_limits<double>::infinity();
}

void scale(Series& series, double factor) {
    for (double& v : series.edit()) v *= factor;
}

// Changes every use by the same factor.
void scale_demand(HourlyInputs& in, double factor) {
    scale(in.demand_m3, factor);
    scale(in.trough_m3, factor);
    for (auto& draw : in.draws) draw.flow_m3_s *= factor;
    for (auto& use : in.uses) scale(use.wanted_m3, factor);
}

void scale_loads(HourlyInputs& in, double factor) {
    scale(in.load_w, factor);
    for (auto& load : in.shed_first) scale(load.power_w, factor);
    scale(in.load_var, factor);
    scale(in.leg_imbalance_w, factor);
}

double spread(WhatIf const& w, double base) {
    double least = base, most = base;
    for (double const days : {w.low_days, w.high_days}) {
        if (std::isnan(days)) continue;
        double const held = std::min(days, static_cast<double>(longest_shortage_days));
        least = std::min(least, held), most = std::max(most, held);
    }
    return most - least;
}

}  // namespace

std::vector<double> days_to_shortage(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                                     std::vector<double> const& clear_sky_shares) {
    std::vector<double> days(clear_sky_shares.size());
    auto const system = make_system(scenario);
    for_each_job(days.size(), [&](std::size_t i) {
        days[i] = worst_days(system, cloudy_year(scenario, year, clear_sky_shares[i]));
    });
    return days;
}

WhatIfs what_ifs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                 std::vector<double> const& shares, std::vector<double> const& days) {
    WhatIfs result;
    auto const system = make_system(scenario);
    std::size_t at = 2;
    while (at > 0 && std::isinf(days[at])) --at;
    result.clear_sky_share = shares[at];
    result.base_days = days[at];
    auto const inputs = cloudy_year(scenario, year, shares[at]);

    auto const on_system = [&](double factor, auto const& change) {
        auto s = system;
        change(s, factor);
        return worst_days(s, inputs);
    };
    auto const on_inputs = [&](double factor, auto const& change) {
        auto changed = inputs;
        change(changed.own, factor);
        change(changed.cloudy, factor);
        return worst_days(system, changed);
    };
    using Change = WhatIfChange;
    auto& bars = result.bars;
    // What is tried is run at the end, all at the same time.
    std::vector<std::function<void()>> runs;
    auto const one = [&](double WhatIf::*end, std::function<double()> tried) {
        runs.emplace_back([&bars, end, at_bar = bars.size() - 1, tried = std::move(tried)] {
            bars[at_bar].*end = tried();
        });
    };
    auto const add = [&](Change change, double low, double high, auto const& tried) {
        bars.push_back({change, low, high, not_tried, not_tried});
        one(&WhatIf::low_days, [tried, low] { return tried(low); });
        one(&WhatIf::high_days, [tried, high] { return tried(high); });
    };
    add(Change::water_used, 0.75, 1.25, [&](double f) { return on_inputs(f, scale_demand); });
    if (std::any_of(inputs.cloudy.load_w.begin(), inputs.cloudy.load_w.end(),
                    [](double w) { return w > 0; }) ||
        !inputs.cloudy.shed_first.empty())
        add(Change::small_loads, 0.5, 1.5, [&](double f) { return on_inputs(f, scale_loads); });
    // The loss under load still follows from the efficiencies.
    auto const idle = [](System& s, double f) {
        s.inverter.extra_w += s.inverter.idle_w * (1 - f);
        s.inverter.idle_w *= f;
    };
    add(Change::inverter_idle, 0.5, 2, [&](double f) { return on_system(f, idle); });
    bars.push_back({Change::battery_left, 0.8, not_tried, not_tried, not_tried});
    one(&WhatIf::low_days, [&] { return worst_days(with_battery_factor(system, 0.8), inputs); });
    double const less_soc = std::max(0.6, system.battery.min_soc);
    bars.push_back({Change::start_soc, less_soc, not_tried, not_tried, not_tried});
    one(&WhatIf::low_days, [&] { return worst_days(system, inputs, less_soc); });
    bars.push_back({Change::sun, at > 0 ? shares[at - 1] : not_tried, shares[at + 1],
                    at > 0 ? days[at - 1] : not_tried, days[at + 1]});
    auto const array = [&](double f) { return worst_days(with_array_factor(system, f), inputs); };
    if (shares[at] > 0) add(Change::array_yield, 0.8, 1.2, array);
    // The leak begins at sunset, so the year before it is without a leak.
    auto leaking = cloudy_year(with_leak(scenario, leak_m3_s), year, shares[at]);
    leaking.own = inputs.own;
    result.leak_m3_s = leak_m3_s;
    bars.push_back({Change::leak, not_tried, leak_m3_s, not_tried, not_tried});
    one(&WhatIf::high_days, [&] { return result.days_with_leak = worst_days(system, leaking); });
    auto const lift = [&](double meters) {
        auto s = scenario;
        s.lift.static_level_m += meters;
        for (double& m : s.well.static_level_m) m += meters;
        return worst_days(make_system(s), inputs);
    };
    double const deeper_m = 0.15 * scenario.lift.static_level_m;
    add(Change::static_level, -deeper_m, deeper_m, lift);
    for_each_job(runs.size(), [&](std::size_t i) { runs[i](); });
    std::stable_sort(bars.begin(), bars.end(), [&](WhatIf const& a, WhatIf const& b) {
        return spread(a, result.base_days) > spread(b, result.base_days);
    });
    return result;
}

}  // namespace holdwater::sim
