#include "sim/designs/design_requirements.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/inputs/make_system.hpp"

namespace holdwater::sim {
namespace {

constexpr double nearly = 1e-12;  // a share of 1, less rounding, counts as 1

int cloudy_days_held(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                     scenarios::Requirements const& require) {
    auto const design = make_system(scenario);
    auto const system = without_backup(design);
    auto inputs = make_cloudy_period_inputs(
        scenario, year, {CloudyPeriodKind::clearness, {require.cloudy_clearness}, 24 * *require.cloudy_days});
    auto const levels = start_levels(design, inputs.own, {.soc = 1});
    auto const held = [&](std::vector<int> const& starts) {
        auto const survival =
            run_cloudy_periods(system, inputs, starts, levels, FollowUntil::both_lost).survival;
        int days = 0;
        while (days < days_of(inputs) &&
               survival[static_cast<std::size_t>(days)] >= require.cloudy_share - nearly)
            ++days;
        return days;
    };
    if (require.cloudy_share < 1 - nearly) return held(every_start_day());
    // All start dates must hold. The cloudiest ones are run first; once one of them fails a length, the
    // others are not run for that length.
    auto const& cloudy = inputs.cloudy[0].array_power_w;
    std::vector<std::pair<double, int>> order;
    for (int const day : every_start_day()) {
        double light = 0;
        for (int h = 24 * day; h < 24 * day + inputs.hours; ++h)
            light += cloudy[static_cast<std::size_t>(h % hours_per_year)];
        order.emplace_back(light, day);
    }
    std::sort(order.begin(), order.end());
    for (std::size_t first = 0; first < order.size() && inputs.hours > 0; first += 32) {
        std::vector<int> starts;
        for (std::size_t i = first; i < std::min(first + 32, order.size()); ++i)
            starts.push_back(order[i].second);
        inputs.hours = 24 * held(starts);
    }
    return days_of(inputs);
}

// What is missed besides the cloudy days.
int other_misses(RequirementFigures const& figures, scenarios::Requirements require) {
    require.cloudy_days.reset();
    int missed = 0;
    for (auto const& v : verdicts(figures, require)) missed += v.holds ? 0 : 1;
    return missed;
}

std::string start_fault_of(scenarios::Scenario const& scenario, bool may_be_unknown) {
    for (auto const& check : design_check(scenario).checks) {
        if (!check.name.starts_with("start-") && check.name != "generator-start") continue;
        bool const unknown = check.verdict == models::Verdict::unknown && check.name != "start-measured";
        if (stands_in_the_way(check) || (unknown && !check.waived && !may_be_unknown))
            return fmt::format("{} {}", check.title, name(check.verdict));
    }
    return "";
}

}  // namespace

RequirementFigures requirement_figures(scenarios::Design const& design, weather::WeatherYear const& year,
                                       scenarios::Requirements const& require, BatchYear const& run,
                                       bool over_years, std::vector<DrawnYear> const& years) {
    auto const& scenario = design.scenario;
    RequirementFigures f;
    f.year = run.summary;
    f.findings = run.findings;
    f.over_years = over_years;
    if (!years.empty()) f.years = verdict_of(years, scenario.years.required);
    f.hours_short_allowed = scenario.years.required.hours_short_allowed;
    f.longest_shortage_limit_h = scenario.years.required.longest_shortage_limit_h;
    if (design.prices) {
        f.purchase = design.prices->purchase;
        auto const cost = cost_over_years(design.prices, years, f.year, f.findings);
        f.cost = cost->mean.life_cycle_cost;
        f.cost_spread = cost->spread;
    }
    if (require.motor_start) f.start_fault = start_fault_of(scenario, require.motor_start_may_be_unknown);
    if (require.cloudy_days && other_misses(f, require) < 2)
        f.cloudy_days = cloudy_days_held(scenario, year, require);
    return f;
}

int quick_misses(scenarios::Design const& design, weather::WeatherYear const& year,
                 scenarios::Requirements require, BatchYear const& run) {
    require.cloudy_days.reset();
    int missed = 0;
    for (auto const& v : verdicts(requirement_figures(design, year, require, run), require))
        missed += v.holds ? 0 : 1;
    return missed;
}

std::vector<RequirementVerdict> verdicts(RequirementFigures const& f, scenarios::Requirements const& r) {
    std::vector<RequirementVerdict> out;
    auto const most = [&](char const* key, char const* label, char const* unit, double value,
                          std::optional<double> limit, int digits) {
        if (!limit) return;
        out.push_back({key, label, fmt::format("at most {:g}{}", *limit, unit),
                       fmt::format("{:.{}f}{}", value, digits, unit), value, *limit, value <= *limit});
    };
    if (f.over_years && !f.years)
        out.push_back({"years_held", "years without a shortage", "", "not run", 0, 0, false, false});
    if (f.years)
        out.push_back(
            {"years_held",
             f.hours_short_allowed > 0 ? fmt::format("years at most {:g} h short", f.hours_short_allowed)
                                       : std::string("years without a shortage"),
             f.longest_shortage_limit_h < hours_per_year
                 ? fmt::format("{} of {}, none above {:g} h", f.years->needed, f.years->years,
                               f.longest_shortage_limit_h)
                 : fmt::format("{} of {}", f.years->needed, f.years->years),
             fmt::format("{} of {} ({} to {})", f.years->held, f.years->years, f.years->held_low,
                         f.years->held_high),
             static_cast<double>(f.years->held), static_cast<double>(f.years->needed), f.years->met});
    if (r.demand_met)
        out.push_back({"demand_met", "demand met", fmt::format("at least {:g} %", 100 * *r.demand_met),
                       fmt::format("{} %", figure_text(100 * f.year.demand_met_fraction, 2)),
                       f.year.demand_met_fraction, *r.demand_met,
                       f.year.demand_met_fraction >= *r.demand_met});
    most("shortage_hours", "hours short of water", " h", f.year.shortage_hours, r.shortage_hours, 0);
    most("longest_shortage", "longest shortage", " h", f.year.longest_shortage_h, r.longest_shortage, 0);
    most("generator_run_h", "generator", " h", f.year.generator_run_h, r.generator_run_h, 1);
    most("fuel", "fuel", " L", f.year.generator_fuel_l, r.fuel_l, 1);
    most("grid_energy", "grid", " kWh", f.year.grid_kwh, r.grid_kwh, 0);
    if (r.cloudy_days) {
        int const days = f.cloudy_days.value_or(0);
        out.push_back({"cloudy_days", "cloudy days, battery full",
                       fmt::format("at least {} d", *r.cloudy_days),
                       !f.cloudy_days           ? std::string("not run")
                       : days >= *r.cloudy_days ? fmt::format("{} d or more", days)
                                                : fmt::format("{} d", days),
                       static_cast<double>(days), static_cast<double>(*r.cloudy_days), days >= *r.cloudy_days,
                       f.cloudy_days.has_value()});
    }
    if (r.motor_start)
        out.push_back({"motor_start", "motor start", r.motor_start_may_be_unknown ? "no FAIL" : "passes",
                       f.start_fault.empty() ? "passes" : f.start_fault, f.start_fault.empty() ? 1.0 : 0.0, 1,
                       f.start_fault.empty()});
    if (r.starts_within_limit) {
        auto const& x = f.findings;
        bool const known = x.starts_limit_per_day > 0;
        out.push_back(
            {"starts_within_limit", "starts in any 24 h",
             known ? fmt::format("at most {}", figure_text(x.starts_limit_per_day)) : "limit not known",
             figure_text(x.most_starts_in_24h), x.most_starts_in_24h, x.starts_limit_per_day,
             known && x.most_starts_in_24h <= x.starts_limit_per_day});
    }
    if (r.battery_life_y) {
        bool const known = f.findings.battery_life_y > 0;
        out.push_back(
            {"battery_years", "battery lasts", fmt::format("at least {:g} years", *r.battery_life_y),
             known ? fmt::format("{} years", figure_text(f.findings.battery_life_y, 1)) : "not computed",
             f.findings.battery_life_y, *r.battery_life_y,
             known && f.findings.battery_life_y >= *r.battery_life_y});
    }
    if (r.purchase) most("purchase", "purchase", "", f.purchase.value_or(0), r.purchase, 0);
    return out;
}

std::vector<RequirementName> names_of(scenarios::Requirements const& require, bool over_years) {
    std::vector<RequirementName> names;
    RequirementFigures none;
    none.over_years = over_years;
    for (auto const& v : verdicts(none, require)) {
        bool const kept = v.key != "starts_within_limit" && v.key != "purchase" && v.key != "battery_years";
        names.push_back({v.key, v.label, kept});
    }
    return names;
}

}  // namespace holdwater::sim
