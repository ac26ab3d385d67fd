#include "sim/autonomy/outage_replay.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "sim/autonomy/store_levels.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {
namespace {

constexpr double longest_outage_h = 60 * 24;

OutageLength& row_of(std::vector<OutageLength>& rows, double hours) {
    for (OutageLength& row : rows)
        if (std::abs(row.hours - hours) < 1e-6) return row;
    rows.push_back({});
    rows.back().hours = hours;
    return rows.back();
}

// One outage.
struct Replay {
    ShortageHours dry;
    double water_short_m3 = 0, start_h = 0, first_short_h = 0;
};

Replay replay(System const& begin, CheckedInputs const& inputs, Clock const& clock, double start_h) {
    Replay run;
    run.start_h = start_h;
    watch(begin, inputs, clock, [&](int i, HourRecord const& r, auto) {
        bool const dry = r.water_short_m3 > some_water_m3;
        if (dry && run.dry.hours == 0) run.first_short_h = clock.first_hour + i;
        run.dry.add(dry, r.water_demand_m3 > 0);
        run.water_short_m3 += r.water_short_m3;
        return true;
    });
    return run;
}

void note(OutageLength& row, Replay const& run) {
    ++row.tried;
    row.kept += run.dry.hours == 0 ? 1 : 0;
    // Of equal outages the first is the worst; sums of equal hours differ by rounding.
    bool const longer = run.dry.longest_h > row.worst_gap_h;
    if (!longer &&
        (run.dry.longest_h < row.worst_gap_h || run.water_short_m3 <= row.worst_short_m3 + some_water_m3))
        return;
    row.worst_gap_h = run.dry.longest_h;
    row.worst_short_m3 = run.water_short_m3;
    row.worst_start_h = run.start_h;
    row.worst_first_short_h = run.first_short_h;
}

}  // namespace

std::vector<OutageToTry> outages_to_try(models::OutageList const& outages) {
    std::vector<OutageToTry> tried;
    for (auto const& o : outages)
        if (o.end_h > o.start_h)
            tried.push_back({std::min(o.end_h - o.start_h, longest_outage_h), std::fmod(o.start_h, 24.0)});
    if (!tried.empty()) return tried;
    for (double const hours : {2., 8., 24., 84., 168.})
        for (double const begins_h : {0., 6., 12., 18.}) tried.push_back({hours, begins_h});
    return tried;
}

std::vector<OutageLength> replay_outages(System const& system, HourlyInputs const& hourly,
                                         std::vector<OutageToTry> const& outages,
                                         std::vector<int> const& first_days) {
    std::vector<OutageLength> rows;
    if (system.rules.backup != Backup::grid) return rows;
    CheckedInputs const inputs(hourly);
    System s = system;
    s.outages.clear();
    auto const year = simulate(s, inputs, Clock{});
    auto const levels = levels_of_year(s, year);
    for (auto const& o : outages) {
        OutageLength& row = row_of(rows, o.hours);
        ++row.listed;
        std::vector<Replay> runs(first_days.size());
        for_each_job(first_days.size(), [&](std::size_t i) {
            double const start_h = 24.0 * first_days[i] + o.begins_h;
            Clock clock;
            bool const warned = o.hours >= s.rules.forewarned_over_h;
            clock.first_hour = static_cast<int>(std::max(start_h - (warned ? s.rules.forewarned_h : 0), 0.0));
            clock.hours = std::max(1, static_cast<int>(std::ceil(start_h + o.hours)) - clock.first_hour);
            System begin = s;
            if (clock.first_hour > 0) {
                auto const first = static_cast<std::size_t>(clock.first_hour);
                begin = with_levels(std::move(begin), levels[first]);
                if (!begin.carried_water) begin.carried_water = CarriedWater{};
                begin.carried_water->tank_m3 = year.hours[first - 1].tank_water_m3;
            }
            begin.outages = {{start_h, start_h + o.hours}};
            runs[i] = replay(begin, inputs, clock, start_h);
        });
        for (Replay const& run : runs) note(row, run);
    }
    std::stable_sort(rows.begin(), rows.end(), [](OutageLength const& a, OutageLength const& b) {
        return std::tuple(a.kept / a.tried, -a.worst_gap_h, -a.hours) <
               std::tuple(b.kept / b.tried, -b.worst_gap_h, -b.hours);
    });
    return rows;
}

}  // namespace holdwater::sim
