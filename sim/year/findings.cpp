#include "sim/year/findings.hpp"

#include <algorithm>
#include <cmath>

#include "models/electric/motor.hpp"
#include "models/numeric/expects.hpp"
#include "models/water/demand.hpp"
#include "sim/year/coupled_hour.hpp"

namespace holdwater::sim {
namespace {

constexpr double day_s = 86400;

// Hours of the run at the end of which there were more starts than the limit in the last 24 h.
double hours_above(std::span<double const> starts_s, double limit, Clock const& clock) {
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

// What each use got: the water delivered in an hour goes to the uses in order of priority.
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
        if (r.water_short_m3 > some_water_m3)
            models::share_by_priority(ranks, wanted, r.water_delivered_m3, given);
        for (std::size_t u = 0; u < n; ++u) {
            result.uses[u].wanted_m3 += wanted[u].volume_m3;
            result.uses[u].delivered_m3 += given[u];
        }
    }
}

}  // namespace

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

bool load_start_over(System const& s, HourlyInputs const& inputs, std::size_t h, HourRecord const& r) {
    HOLDWATER_EXPECTS(h < inputs.load_start_va.size());
    if (inputs.load_start_va[h] == 0 || s.inverter.surge.empty() || r.backup_h > 1 - 1e-9)
        return false;  // the whole hour is on the backup, except for rounding
    double const limit_va = models::surge_va(s.inverter, 1) - value_or(inputs.leg_imbalance_w, h, 0);
    double const pump_w = r.pump_run_h > 0 ? 1e3 * r.pump_kw / r.pump_run_h : 0;
    double const with_va = std::hypot(1e3 * r.load_served_kw + pump_w, value_or(inputs.load_var, h, 0));
    return with_va + inputs.load_start_va[h] > limit_va;
}

void find_pump(Findings& f, WaterSystem const& s, MotorDuty const& motor, PumpMarks const& m,
               std::span<double const> starts_s, Clock const& clock) {
    f.longest_run_s = m.longest_run_s;
    f.shortest_rest_s = std::isfinite(m.shortest_rest_s) ? m.shortest_rest_s : 0;
    f.runs_below_least = m.short_runs;
    f.most_starts_in_24h = models::most_starts_within(starts_s, day_s);
    f.most_starts_in_1h = models::most_starts_within(starts_s, seconds_per_hour);
    if (std::isfinite(motor.starts_limit_per_day)) {
        f.starts_limit_per_day = motor.starts_limit_per_day;
        if (f.most_starts_in_24h > motor.starts_limit_per_day)
            f.hours_above_start_limit = hours_above(starts_s, motor.starts_limit_per_day, clock);
    }
    f.start_energy_kwh = m.start_energy_j / 3.6e6;
    if (!s.cistern || !s.cistern->gravity)
        f.lowest_pressure_kpa = models::tank_pressure_kpa(s.tank, m.lowest_m3);
}

void find_supply(Findings& f, SupplySide const& supply) {
    f.starts_refused = supply.starts_refused();
    f.inverter_trips = supply.inverter_trips();
    f.generator_failures = supply.generator().failed_starts();
    f.fuel_outs = supply.generator().fuel_outs();
    f.generator_low_load_h = supply.generator().low_load_h();
}

void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water) {
    Findings& f = result.findings;
    find_pump(f, system, water.pump().duty(), water.marks(), water.pump().start_times_s(), result.clock);
    if (water.well() && system.well->casing) {
        f.dry_run_trips = water.well()->trips();
        MotorState const& pump = water.well_pump().state();
        f.dry_run_short_runs = pump.short_protected;
        if (std::isfinite(pump.shortest_protected_s)) f.dry_run_shortest_run_s = pump.shortest_protected_s;
        f.deepest_water_m = water.well()->deepest_m();
        f.well_latched = water.well()->latched() ? 1 : 0;
    }
    if (water.cistern()) f.cistern_least_m3 = water.cistern()->least_m3();
    f.peak_draw_m3_s = peak_draw_m3_s(inputs);
    if (!inputs.uses.empty()) share_among_uses(result, inputs);
}

}  // namespace holdwater::sim
