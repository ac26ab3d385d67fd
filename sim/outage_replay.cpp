#include "sim/outage_replay.hpp"

#include <algorithm>
#include <cmath>

#include "sim/simulate.hpp"

namespace holdwater::sim {
namespace {
constexpr double longest_h = 60 * 24;
}

std::vector<OutageToTry> outages_to_try(models::OutageList const& outages) {
    std::vector<OutageToTry> tried;
    for (auto const& o : outages)
        if (o.end_h > o.start_h)
            tried.push_back({std::min(o.end_h - o.start_h, longest_h), std::fmod(o.start_h, 24.0)});
    if (!tried.empty()) return tried;
    for (double const hours : {2., 8., 24., 84., 168.})
        for (double const begins_h : {0., 6., 12., 18.}) tried.push_back({hours, begins_h});
    return tried;
}

OutageReplay replay_outages(System const& system, HourlyInputs const& inputs,
                            std::vector<OutageToTry> const& outages, std::vector<int> const& first_days) {
    OutageReplay replay;
    if (system.rules.backup != Backup::grid) return replay;
    System s = system;
    s.outages.clear();
    auto const year = simulate(s, inputs, Clock{});
    for (auto const& o : outages) {
        for (int const day : first_days) {
            double const start_h = 24.0 * day + o.begins_h;
            Clock clock;
            clock.first_hour = static_cast<int>(start_h);
            clock.hours = std::max(1, static_cast<int>(std::ceil(start_h + o.hours)) - clock.first_hour);
            s.outages = {{start_h, start_h + o.hours}};
            s.start_soc = clock.first_hour == 0
                              ? system.start_soc
                              : year.hours[static_cast<std::size_t>(clock.first_hour) - 1].battery_soc;
            auto const run = simulate(s, inputs, clock).summary;
            ++replay.outages;
            replay.kept += run.dry_hours == 0 ? 1 : 0;
            replay.dry_hours += run.dry_hours;
            bool const longer = run.longest_dry_h == replay.worst_gap_h && run.longest_dry_h > 0 &&
                                o.hours > replay.worst.hours;
            if (run.longest_dry_h <= replay.worst_gap_h && !longer) continue;
            replay.worst_gap_h = run.longest_dry_h;
            replay.worst = o;
            replay.worst_first_day = day;
        }
    }
    return replay;
}

}  // namespace holdwater::sim
