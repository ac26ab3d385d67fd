#include "sim/lane_findings.hpp"

#include <algorithm>
#include <limits>

#include "models/lead_acid_charging.hpp"
#include "sim/bank_life.hpp"
#include "sim/summarise.hpp"

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

PumpYear pump_year(WaterYear const& water, OwnHours const& own) {
    PumpYear year;
    std::size_t next = 0;  // of the own hours
    auto const add_starts = [&](std::span<double const> starts_s) {
        year.starts_s.insert(year.starts_s.end(), starts_s.begin(), starts_s.end());
    };
    for (std::size_t day = 0; day < water.marks_of_day.size(); ++day) {
        std::size_t const first = 24 * day, end = std::min(first + 24, water.hours.size());
        double run_h = 0;
        if (next == own.hours().size() || own.hours()[next].at >= end) {
            year.marks.add(water.marks_of_day[day]);
            add_starts(water.starts(first, end));
            run_h = water.run_h_of_day[day];
        } else {
            for (std::size_t at = first; at < end; ++at) {
                if (next < own.hours().size() && own.hours()[next].at == at) {
                    year.marks.add(own.hours()[next].marks);
                    add_starts(own.starts(next));
                    run_h += own.hours()[next].run_h;
                    ++next;
                } else {
                    year.marks.add(water.marks[at]);
                    add_starts(water.starts(at, at + 1));
                    run_h += water.hours[at].run_h;
                }
            }
        }
        year.longest_day_run_h = std::max(year.longest_day_run_h, run_h);
    }
    return year;
}

double shortest_run_s(WaterYear const& water, OwnHours const& own) {
    // Mostly the hour with the shortest run is not one of the own ones.
    double shortest_s = std::numeric_limits<double>::infinity();
    bool shared = true;
    for (OwnHours::Hour const& hour : own.hours()) {
        shortest_s = std::min(shortest_s, hour.marks.shortest_run_s);
        shared &= hour.at != water.shortest_run_at;
    }
    if (shared) return std::min(shortest_s, water.marks[water.shortest_run_at].shortest_run_s);
    auto next = own.hours().begin();
    for (std::size_t at = 0; at < water.marks.size(); ++at) {
        if (next != own.hours().end() && next->at == at)
            ++next;
        else
            shortest_s = std::min(shortest_s, water.marks[at].shortest_run_s);
    }
    return shortest_s;
}

void find_bank(Findings& f, System const& system, std::vector<double> const& soc, double temperature_c,
               double discharged_kwh) {
    models::FullChargeAccount full;
    for (std::size_t i = 0; i < soc.size(); ++i) full = models::after(full, soc[i], full_soc, i == 0 ? 0 : 1);
    f.full_charges = full.full_charges;
    f.longest_without_full_h = full.longest_gap_h;
    f.bank_coldest_c = std::min(f.bank_coldest_c, temperature_c);
    auto const& life = system.bank_life;
    if (asks_for_life(life))
        put_bank_life(
            f, models::battery_life(year_of_use(soc, temperature_c, discharged_kwh, life), life.combination));
}

}  // namespace holdwater::sim
