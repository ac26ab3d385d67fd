#include "sim/year/shortages.hpp"

#include <algorithm>
#include <map>

#include "sim/water/water_side.hpp"

namespace holdwater::sim {
namespace {

template <class Cause>
std::vector<Cause> largest_first(std::map<LimitReason, Cause> const& by_reason, double Cause::*amount) {
    std::vector<Cause> causes;
    causes.reserve(by_reason.size());
    for (auto const& [reason, cause] : by_reason) causes.push_back(cause);
    std::stable_sort(causes.begin(), causes.end(),
                     [&](auto const& a, auto const& b) { return a.*amount > b.*amount; });
    return causes;
}

void add(std::map<LimitReason, ShortageCause>& by_reason, HourRecord const& r) {
    auto const reason = static_cast<LimitReason>(static_cast<int>(r.water_short_reason));
    ShortageCause& cause = by_reason[reason];
    cause.reason = reason;
    cause.hours += 1;
    cause.water_short_m3 += r.water_short_m3;
}

bool is_short(HourRecord const& r) { return r.water_short_m3 > some_water_m3; }

}  // namespace

std::vector<Shortage> shortages(RunResult const& result) {
    std::vector<Shortage> list;
    std::map<LimitReason, ShortageCause> by_reason;
    bool open = false;
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        HourRecord const& r = result.hours[i];
        if (!is_short(r)) {
            open = open && !(r.water_demand_m3 > 0);
            continue;
        }
        int const hour = result.clock.first_hour + static_cast<int>(i);
        if (!open) {
            list.push_back({.first_hour = hour});
            by_reason.clear();
        }
        open = true;
        add(by_reason, r);
        Shortage& s = list.back();
        s.hours = hour + 1 - s.first_hour;
        s.short_hours += 1;
        s.water_short_m3 += r.water_short_m3;
        s.reason = largest_first(by_reason, &ShortageCause::water_short_m3).front().reason;
    }
    return list;
}

std::vector<ShortageCause> shortage_causes(RunResult const& result) {
    std::map<LimitReason, ShortageCause> by_reason;
    for (HourRecord const& r : result.hours)
        if (is_short(r)) add(by_reason, r);
    return largest_first(by_reason, &ShortageCause::water_short_m3);
}

std::vector<LoadCause> load_causes(RunResult const& result) {
    constexpr double some_energy_kwh = 1e-6;
    std::map<LimitReason, LoadCause> by_reason;
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        HourRecord const& r = result.hours[i];
        if (!(r.load_unserved_kw > some_energy_kwh)) continue;
        auto const reason = static_cast<LimitReason>(static_cast<int>(r.load_unserved_reason));
        LoadCause& cause = by_reason[reason];
        if (cause.hours == 0) cause.first_hour = result.clock.first_hour + static_cast<int>(i);
        cause.reason = reason;
        cause.hours += 1;
        cause.unserved_kwh += r.load_unserved_kw;
    }
    return largest_first(by_reason, &LoadCause::unserved_kwh);
}

}  // namespace holdwater::sim
