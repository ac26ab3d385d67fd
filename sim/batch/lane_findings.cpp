#include "sim/batch/lane_findings.hpp"

#include <algorithm>
#include <limits>

#include "models/battery/lead_acid_charging.hpp"
#include "sim/year/battery_life.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {

void OwnHours::add(std::size_t at, HourRecord const& r, System const& system, WaterSide const& water) {
    Hour& hour = hours_.emplace_back(Hour{.at = at,
                                          .run_h = r.pump_run_h,
                                          .marks = water.marks(),
                                          .first_start = static_cast<std::uint32_t>(starts_s_.size())});
    hour.marks.start_heating_index = start_heating_index(r, system.motor);
    auto const& starts_s = water.pump().start_times_s();
    starts_s_.insert(starts_s_.end(), starts_s.begin(), starts_s.end());
}

std::span<double const> OwnHours::starts(std::size_t i) const {
    std::size_t const first = hours_[i].first_start,
                      end = i + 1 < hours_.size() ? hours_[i + 1].first_start : starts_s_.size();
    return std::span(starts_s_).subspan(first, end - first);
}

namespace {

// Goes through the year in order: whole days of the shared year, and days with own hours hour by hour.
template <class Day, class Own, class Hour>
void go_through(WaterYear const& water, OwnHours const& own, Day const& shared_day, Own const& own_hour,
                Hour const& shared_hour) {
    std::size_t next = 0;  // index of the next own hour
    auto const next_at = [&] {
        return next < own.hours().size() ? own.hours()[next].at : water.hours.size();
    };
    for (std::size_t day = 0; day < water.marks_of_day.size(); ++day) {
        std::size_t const first = 24 * day, end = std::min(first + 24, water.hours.size());
        if (next_at() >= end) {
            shared_day(day, first, end);
            continue;
        }
        for (std::size_t at = first; at < end; ++at)
            if (next_at() == at)
                own_hour(next++);
            else
                shared_hour(at);
    }
}

}  // namespace

PumpYear pump_year(WaterYear const& water, OwnHours const& own) {
    PumpYear year;
    double run_h = 0;  // of the day so far
    auto const add = [&](std::size_t at, PumpMarks const& marks, std::span<double const> starts_s, double h) {
        year.marks.add(marks);
        year.starts_s.insert(year.starts_s.end(), starts_s.begin(), starts_s.end());
        run_h = (at % 24 == 0 ? 0 : run_h) + h;
        year.longest_day_run_h = std::max(year.longest_day_run_h, run_h);
    };
    go_through(
        water, own,
        [&](std::size_t day, std::size_t first, std::size_t end) {
            add(first, water.marks_of_day[day], water.starts(first, end), water.run_h_of_day[day]);
        },
        [&](std::size_t i) {
            OwnHours::Hour const& hour = own.hours()[i];
            add(hour.at, hour.marks, own.starts(i), hour.run_h);
        },
        [&](std::size_t at) { add(at, water.marks[at], water.starts(at, at + 1), water.hours[at].run_h); });
    return year;
}

double shortest_run_s(WaterYear const& water, OwnHours const& own) {
    double shortest_s = std::numeric_limits<double>::infinity();
    auto const add = [&](PumpMarks const& marks) { shortest_s = std::min(shortest_s, marks.shortest_run_s); };
    bool taken = false;  // the shortest run of the shared year is in an own hour
    for (OwnHours::Hour const& hour : own.hours()) {
        add(hour.marks);
        taken |= hour.at == water.shortest_run_at;
    }
    double const shared_s = water.marks[water.shortest_run_at].shortest_run_s;
    if (!taken || shortest_s <= shared_s) return std::min(shortest_s, shared_s);
    go_through(
        water, own, [&](std::size_t day, std::size_t, std::size_t) { add(water.marks_of_day[day]); },
        [](std::size_t) {}, [&](std::size_t at) { add(water.marks[at]); });
    return shortest_s;
}

void find_battery(Findings& f, System const& system, std::vector<double> const& soc, double temperature_c,
                  double discharged_kwh) {
    models::FullChargeAccount full;
    for (std::size_t i = 0; i < soc.size(); ++i) full.go_on(soc[i], full_soc, i == 0 ? 0 : 1);
    f.full_charges = full.full_charges;
    f.longest_without_full_h = full.longest_gap_h;
    f.battery_coldest_c = std::min(f.battery_coldest_c, temperature_c);
    auto const& life = system.battery_life;
    if (asks_for_life(life))
        put_battery_life(
            f, models::battery_life(year_of_use(soc, temperature_c, discharged_kwh, life), life.combination));
}

}  // namespace holdwater::sim
