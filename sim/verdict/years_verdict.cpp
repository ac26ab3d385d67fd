#include "sim/verdict/years_verdict.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/statistics.hpp"

namespace holdwater::sim {
namespace {

// A product of share and years that is whole except for rounding.
constexpr double whole_but_for_rounding = 1e-9;

bool worse(DrawnYear const& a, DrawnYear const& b) {
    if (a.summary.shortage_hours != b.summary.shortage_hours)
        return a.summary.shortage_hours > b.summary.shortage_hours;
    if (a.recovers != b.recovers) return !a.recovers;
    return a.summary.soc_min < b.summary.soc_min;
}

int years_to_settle(double share_held, double required) {
    for (int n = 10; n <= 100000; n += std::max(1, n / 20)) {
        auto const interval =
            models::clopper_pearson_interval(static_cast<int>(std::lround(share_held * n)), n);
        if (required < interval.low || required > interval.high) return n;
    }
    return 0;
}

}  // namespace

YearsVerdict verdict_of(std::vector<DrawnYear> const& years, scenarios::YearsRequired const& required) {
    YearsVerdict v;
    bool first = true;
    std::vector<double> unrecovered;
    for (std::size_t i = 0; i < years.size(); ++i) {
        DrawnYear const& year = years[i];
        if (!year.problem.empty()) continue;
        ++v.years;
        v.unrecovered += year.recovers ? 0 : 1;
        v.held += year.recovers && year.summary.shortage_hours <= required.hours_short_allowed ? 1 : 0;
        v.limit_met = v.limit_met && year.summary.longest_shortage_h <= required.longest_shortage_limit_h;
        (year.recovers ? v.hours_short : unrecovered).push_back(year.summary.shortage_hours);
        if (first || worse(year, years[v.worst])) v.worst = i;
        first = false;
    }
    if (v.years == 0) return v;
    std::sort(v.hours_short.begin(), v.hours_short.end());
    std::sort(unrecovered.begin(), unrecovered.end());
    v.hours_short.insert(v.hours_short.end(), unrecovered.begin(), unrecovered.end());
    v.worst_number = years[v.worst].number;
    v.worst_shortage_hours = years[v.worst].summary.shortage_hours;
    v.shortage_hours_one_in_ten = models::quantile(v.hours_short, 0.9);
    double const share = required.years_without_shortage;
    v.needed = static_cast<int>(std::ceil(share * v.years - whole_but_for_rounding));
    v.met = v.held >= v.needed && v.limit_met;
    auto const interval = models::clopper_pearson_interval(v.held, v.years);
    v.held_low = static_cast<int>(std::lround(interval.low * v.years));
    v.held_high = static_cast<int>(std::lround(interval.high * v.years));
    v.close = v.limit_met && interval.low <= share && share <= interval.high;
    if (v.close) v.years_to_settle = years_to_settle(interval.center, share);
    return v;
}

bool milder_than_all(Summary const& typical, std::vector<DrawnYear> const& years) {
    return std::all_of(years.begin(), years.end(), [&](DrawnYear const& year) {
        if (!year.problem.empty()) return true;
        if (typical.shortage_hours != year.summary.shortage_hours)
            return typical.shortage_hours < year.summary.shortage_hours;
        return typical.soc_min > year.summary.soc_min;
    });
}

scenarios::Scenario at_end_of_life(scenarios::Scenario scenario) {
    scenario.battery.capacity_kwh *= scenario.years.battery_end_of_life;
    return scenario;
}

scenarios::Scenario as_judged(scenarios::Scenario scenario) {
    return scenario.years.required.judge_new ? scenario : at_end_of_life(std::move(scenario));
}

scenarios::Scenario as_not_judged(scenarios::Scenario scenario) {
    return scenario.years.required.judge_new ? at_end_of_life(std::move(scenario)) : scenario;
}

WorstYear worst_year(std::vector<DrawnDesign> const& designs, DrawOptions const& options,
                     DesignVerdicts const& verdicts, std::size_t design, std::size_t set) {
    auto const& years = verdicts.designs.at(design).judged().sets.at(set);
    auto const& year = years.years.at(years.verdict.worst);
    std::size_t const made_sets = options.years > 0 ? 1 : 0;
    WorstYear worst;
    worst.number = year.number;
    worst.recorded = set >= made_sets;
    auto judged = designs.at(design);
    judged.scenario = as_judged(std::move(judged.scenario));
    worst.run = run_drawn_year(judged, options, verdicts.start_month, year,
                               worst.recorded ? std::optional(set - made_sets) : std::nullopt);
    auto const all = shortages(worst.run);
    auto const longest = std::max_element(all.begin(), all.end(),
                                          [](auto const& a, auto const& b) { return a.hours < b.hours; });
    if (longest != all.end()) worst.longest = *longest;
    return worst;
}

DesignVerdicts verdicts_over_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options) {
    auto both = designs;
    for (auto const& design : designs) both.push_back({at_end_of_life(design.scenario), design.own_year});
    auto draws = draw_years(both, options);
    DesignVerdicts out;
    out.start_month = draws.start_month;
    out.seed = options.seed;
    out.winters = draws.winters;
    out.weather = std::move(draws.weather);
    out.drawn = std::move(draws.drawn);
    out.notes = notes_on(draws);
    for (auto const& set : draws.recorded) out.weather += (out.weather.empty() ? "" : "; ") + set.weather;
    auto const age_of = [&](std::size_t i, scenarios::YearsRequired const& required) {
        DesignVerdict::Age age;
        auto const add = [&](std::string source, std::vector<DrawnYear>& years) {
            if (!years.empty())
                age.sets.push_back({std::move(source), verdict_of(years, required), std::move(years)});
        };
        add("made", draws.years[i]);
        for (auto& set : draws.recorded) add(set.source, set.years[i]);
        return age;
    };
    for (std::size_t i = 0; i < designs.size(); ++i) {
        auto const& required = designs[i].scenario.years.required;
        out.designs.push_back(
            {age_of(i, required), age_of(designs.size() + i, required), required.judge_new});
    }
    return out;
}

}  // namespace holdwater::sim
