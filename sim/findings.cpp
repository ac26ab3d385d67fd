#include "sim/findings.hpp"

#include <algorithm>
#include <cmath>

#include "models/demand.hpp"
#include "models/motor.hpp"

namespace holdwater::sim {
namespace {

constexpr double day_s = 86400;

// Hours of the run that end with more starts than the limit in the 24 h before.
double hours_above(std::vector<double> const& starts_s, double limit, Clock const& clock) {
    double hours = 0;
    std::size_t first = 0, after = 0;
    for (int i = 1; i <= clock.hours; ++i) {
        double const now_s = (clock.first_hour + i) * seconds_per_hour;
        while (after < starts_s.size() && starts_s[after] < now_s) ++after;
        while (first < after && starts_s[first] < now_s - day_s) ++first;
        if (static_cast<double>(after - first) > limit) hours += 1;
    }
    return hours;
}

double peak_draw_m3_s(HourlyInputs const& in) {
    double most = 0;
    if (!in.first_draw.empty()) {
        for (DrawSegment const& d : in.draws) most = std::max(most, d.flow_m3_s);
    } else {
        double most_m3 = 0;
        for (std::size_t h = 0; h < in.demand_m3.size(); ++h) {
            if (in.demand_m3[h] > 0) most = std::max(most, in.tap_flow_m3_s[h]);
            most_m3 = std::max(most_m3, in.demand_m3[h]);
        }
        most = std::max(most, most_m3 / seconds_per_hour);
    }
    return most;
}

// What each use got: what came in an hour goes to the uses by rank.
void share_among_uses(RunResult& result, HourlyInputs const& in) {
    std::size_t const n = in.uses.size();
    std::vector<models::WaterUse> ranks(n);
    std::vector<models::HourDemand> wanted(n);
    std::vector<double> given(n);
    for (std::size_t u = 0; u < n; ++u) {
        ranks[u].priority = in.uses[u].priority;
        result.uses.push_back({in.uses[u].name, 0, 0});
    }
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        auto const h = (static_cast<std::size_t>(result.clock.first_hour) + i) % hours_per_year;
        HourRecord const& r = result.hours[i];
        for (std::size_t u = 0; u < n; ++u) wanted[u].volume_m3 = given[u] = in.uses[u].wanted_m3[h];
        if (r.water_unmet_m3 > some_water_m3)
            models::share_by_priority(ranks, wanted, r.water_delivered_m3, given);
        for (std::size_t u = 0; u < n; ++u) {
            result.uses[u].wanted_m3 += wanted[u].volume_m3;
            result.uses[u].delivered_m3 += given[u];
        }
    }
}

}  // namespace

void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water) {
    Findings& f = result.findings;
    MotorRun const& pump = water.pump();
    MotorDuty const& motor = pump.duty();
    auto const& starts_s = pump.start_times_s();
    f.longest_run_s = pump.longest_run_s();
    f.shortest_rest_s = pump.shortest_rest_s();
    f.runs_below_least = pump.short_runs();
    f.most_starts_in_24h = models::most_starts_within(starts_s, day_s);
    f.most_starts_in_1h = models::most_starts_within(starts_s, seconds_per_hour);
    if (std::isfinite(motor.starts_limit_per_day)) {
        f.starts_limit_per_day = motor.starts_limit_per_day;
        if (f.most_starts_in_24h > motor.starts_limit_per_day)
            f.hours_above_start_limit = hours_above(starts_s, motor.starts_limit_per_day, result.clock);
    }
    f.start_energy_kwh = water.start_energy_j() / 3.6e6;
    if (water.pressure()) f.lowest_pressure_kpa = water.pressure()->lowest_kpa();
    if (water.well() && system.well->casing) {
        f.dry_run_trips = water.well()->trips();
        f.deepest_water_m = water.well()->deepest_m();
        f.well_latched = water.well()->latched() ? 1 : 0;
    }
    if (water.cistern()) f.cistern_least_m3 = water.cistern()->least_m3();
    f.peak_draw_m3_s = peak_draw_m3_s(inputs);
    if (!inputs.uses.empty()) share_among_uses(result, inputs);
}

}  // namespace holdwater::sim
