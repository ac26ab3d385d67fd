#include "tools/report/report_what_ifs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::tools {
namespace {

constexpr double not_tried = std::numeric_limits<double>::quiet_NaN();
constexpr double leak_m3_s = 6.30901964e-5;  // 1 US gallon a minute

// What the days to the first shortage are looked for in: the year's own hours, a year of cloudy days, and
// when the sun sets.
struct DullYear {
    sim::HourlyInputs own, dull;
    std::vector<int> sunset_hours;
};

DullYear dull_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double share) {
    auto in =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clear_sky_share, {share}, 24});
    return {std::move(in.own), std::move(in.dull.front()),
            sim::sunset_hours(weather::sun_over_year(year.site))};
}

// From sunset to the first hour with water missing, from the worst of all start dates, in days. Every day is
// dull; a start date is followed only as long as the worst so far.
double days_to_shortage(sim::System const& design, DullYear const& year, double start_soc = 1) {
    auto const levels = sim::start_levels(design, year.own, {.soc = start_soc});
    auto const alone = sim::without_backup(design);
    sim::CheckedInputs const dull(year.dull);
    int shortest_h = 24 * longest_shortage_days;
    bool found = false;
    constexpr int days = 365, stride = 73;  // five seasons first: what is short there bounds the rest
    for (int i = 0; i < days; ++i) {
        auto const day = static_cast<std::size_t>((i * stride % days + i / 5) % days);
        sim::Clock clock;
        clock.first_hour = year.sunset_hours[day];
        clock.hours = shortest_h;
        if (clock.hours == 0) break;
        auto const begins = levels[static_cast<std::size_t>(clock.first_hour)];
        sim::watch(sim::with_levels(alone, begins), dull, clock, [&](int hour, sim::HourRecord const& h) {
            if (h.water_short_m3 <= sim::some_water_m3) return true;
            shortest_h = hour;
            found = true;
            return false;
        });
    }
    return found ? shortest_h / 24.0 : std::numeric_limits<double>::infinity();
}

void scale(std::vector<double>& values, double factor) {
    for (double& v : values) v *= factor;
}

// Every use alike.
void scale_demand(sim::HourlyInputs& in, double factor) {
    scale(in.demand_m3, factor);
    scale(in.trough_m3, factor);
    for (auto& draw : in.draws) draw.flow_m3_s *= factor;
    for (auto& use : in.uses) scale(use.wanted_m3, factor);
}

void scale_loads(sim::HourlyInputs& in, double factor) {
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

ShortageLine shortage_line(scenarios::Design const& design, weather::WeatherYear const& year,
                           std::vector<double> const& shares) {
    ShortageLine line{design.name, {}};
    auto const system = sim::make_system(design.scenario);
    for (double const share : shares)
        line.days.push_back(days_to_shortage(system, dull_year(design.scenario, year, share)));
    return line;
}

WhatIfs what_ifs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                 std::vector<double> const& shares, std::vector<double> const& days, ReportShow const& show) {
    WhatIfs result;
    auto const system = sim::make_system(scenario);
    std::size_t at = 2;
    while (at > 0 && std::isinf(days[at])) --at;
    result.clear_sky_share = shares[at];
    result.base_days = days[at];
    auto const inputs = dull_year(scenario, year, shares[at]);

    auto const on_system = [&](double factor, auto const& change) {
        auto s = system;
        change(s, factor);
        return days_to_shortage(s, inputs);
    };
    auto const on_inputs = [&](double factor, auto const& change) {
        auto changed = inputs;
        change(changed.own, factor);
        change(changed.dull, factor);
        return days_to_shortage(system, changed);
    };
    auto& bars = result.bars;
    bars.push_back(
        {"water used", "−25 %", "+25 %", on_inputs(0.75, scale_demand), on_inputs(1.25, scale_demand)});
    if (std::any_of(inputs.dull.load_w.begin(), inputs.dull.load_w.end(), [](double w) { return w > 0; }) ||
        !inputs.dull.shed_first.empty())
        bars.push_back(
            {"small loads", "−50 %", "+50 %", on_inputs(0.5, scale_loads), on_inputs(1.5, scale_loads)});
    // The loss under load is what the efficiencies say.
    auto const idle = [](sim::System& s, double f) {
        s.inverter.extra_w += s.inverter.idle_w * (1 - f);
        s.inverter.idle_w *= f;
    };
    bars.push_back({"inverter's idle draw", "half", "double", on_system(0.5, idle), on_system(2, idle)});
    auto const battery = [](sim::System& s, double f) { s = sim::with_battery_factor(std::move(s), f); };
    bars.push_back({"battery, 80 % left of new", "80 %", "", on_system(0.8, battery), not_tried});
    bars.push_back({"SOC at the start", "60 %", "",
                    days_to_shortage(system, inputs, std::max(0.6, system.battery.min_soc)), not_tried});
    bars.push_back({"light in the cloudy period",
                    fmt::format("{} % of clear", sim::figure_text(100 * shares[at > 0 ? at - 1 : 0])),
                    fmt::format("{} % of clear", sim::figure_text(100 * shares[at + 1])),
                    at > 0 ? days[at - 1] : not_tried, days[at + 1]});
    auto const array = [&](double f) {
        auto larger = inputs;
        for (auto* hours : {&larger.own, &larger.dull}) {
            scale(hours->array_power_w, f);
            scale(hours->array_window_loss_w, f);
        }
        return days_to_shortage(sim::with_controller_factor(system, f), larger);
    };
    if (shares[at] > 0) bars.push_back({"array's yield", "−20 %", "+20 %", array(0.8), array(1.2)});
    // The leak begins at sunset: the year before it had none.
    auto leaking = dull_year(sim::with_leak(scenario, leak_m3_s), year, shares[at]);
    leaking.own = inputs.own;
    result.days_with_leak = days_to_shortage(system, leaking);
    bars.push_back(
        {"a leak of " + show.flow(leak_m3_s), "", show.flow(leak_m3_s), not_tried, result.days_with_leak});
    auto const lift = [&](double metres) {
        auto s = scenario;
        s.lift.static_level_m += metres;
        for (double& m : s.well.static_level_m) m += metres;
        return days_to_shortage(sim::make_system(s), inputs);
    };
    double const deeper_m = 0.15 * scenario.lift.static_level_m;
    bars.push_back({"static water level", show.length(deeper_m) + " higher",
                    show.length(deeper_m) + " deeper", lift(-deeper_m), lift(deeper_m)});
    std::stable_sort(bars.begin(), bars.end(), [&](WhatIf const& a, WhatIf const& b) {
        return spread(a, result.base_days) > spread(b, result.base_days);
    });
    return result;
}

}  // namespace holdwater::tools
