#include "sim/autonomy/cloudy_period_answer.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/autonomy/least_size.hpp"

namespace holdwater::sim {
namespace {

std::vector<std::pair<LimitReason, int>> failed_first(std::vector<CloudyPeriodStart> const& starts) {
    std::map<LimitReason, int> count;
    for (auto const& s : starts)
        if (std::isfinite(s.first_shortage_h)) ++count[s.reason];
    std::vector<std::pair<LimitReason, int>> list(count.begin(), count.end());
    std::stable_sort(list.begin(), list.end(),
                     [](auto const& x, auto const& y) { return x.second > y.second; });
    return list;
}

}  // namespace

CloudyPeriodAnswer answer_cloudy_period(scenarios::Scenario const& scenario, System const& design,
                                        bool no_backup, CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days, NamedLevels const& named,
                                        StopFlag stop, TellShare const& progress) {
    auto const done = [&](double share) { go_on(stop, progress, share); };
    CloudyPeriodAnswer a;
    auto const system = no_backup ? without_backup(design) : design;
    a.cloudy_period_text = inputs.text;
    a.backup = system.rules.backup;
    a.hours = inputs.hours;
    a.start_hour = inputs.start_hour;
    a.has_cistern = design.cistern.has_value();
    a.has_trough = design.trough.has_value();
    a.has_well_level = design.well && design.well->casing;
    a.has_battery_temperature = design.battery_behavior.thermal.has_value();
    a.named = named;
    auto const levels = start_levels(design, inputs.own, named);
    done(0.1);
    a.outcome = run_cloudy_periods(system, inputs, first_days, levels);
    done(0.3);
    auto const& starts = a.outcome.starts;
    std::vector<double> until_shortage_h;
    for (std::size_t i = 0; i < starts.size(); ++i) {
        until_shortage_h.push_back(starts[i].first_shortage_h);
        if (starts[i].full_again_h > starts[a.slowest].full_again_h) a.slowest = i;
        a.never_full += std::isinf(starts[i].full_again_h) ? 1 : 0;
        a.short_after += std::isfinite(starts[i].dry_after_h) ? 1 : 0;
    }
    a.failed_first = failed_first(starts);
    std::sort(until_shortage_h.begin(), until_shortage_h.end());
    a.median_until_shortage_h = until_shortage_h[until_shortage_h.size() / 2];
    a.battery_kwh = system.battery.capacity_kwh;
    a.array_kw = 1e-3 * models::array_rated_power_w(scenario.array);
    // A period that the backup alone carries through says nothing about battery and array.
    a.sized_without_backup = system.rules.backup != scenarios::Backup::none &&
                             std::isinf(starts[a.outcome.worst].first_shortage_h);
    CloudyPeriodQuestion const question{design, !no_backup && !a.sized_without_backup, inputs, first_days,
                                        named};
    a.battery_factor = least_battery_factor(question);
    done(0.5);
    a.array_factor = least_array_factor(question);
    done(0.7);
    if (design.cistern) {
        a.cistern_m3 = design.cistern->cistern.capacity_m3;
        if (auto const factor = least_cistern_factor(question))
            a.cistern_needed_m3 = with_cistern_factor(design, *factor).cistern->cistern.capacity_m3;
    }
    done(0.85);
    a.bridge = bridge_with_generator(design, inputs, first_days, levels);
    return a;
}

PeriodFailure failure_of(CloudyPeriodAnswer const& a, int days) {
    if (a.outcome.starts[a.outcome.worst].first_shortage_h < std::min(24 * days, a.hours))
        return PeriodFailure::shortage;
    return a.never_full > 0 ? PeriodFailure::never_full_again : PeriodFailure::none;
}

}  // namespace holdwater::sim
