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

// Share of the energy that the heater got in an hour. Loads are shed class by class; a class that is also
// shed by SOC may have been the first.
double heated_share(HourRecord const& r, HourlyInputs const& in, HeatedPlace const& place, std::size_t h) {
    double unserved_w = 1e3 * r.load_unserved_kw;
    if (!(unserved_w > 1e-6)) return 1;
    bool const by_level = place.shed_class && in.shed_first[*place.shed_class].shed_below > 0;
    std::size_t const before = by_level ? 0 : place.shed_class.value_or(in.shed_first.size());
    for (std::size_t c = 0; c < before; ++c) unserved_w -= in.shed_first[c].power_w[h];
    double const wanted_w = place.shed_class ? in.shed_first[*place.shed_class].power_w[h] : in.load_w[h];
    return wanted_w > 0 ? 1 - std::clamp(unserved_w / wanted_w, 0.0, 1.0) : 1;
}

// The temperature of a heated place through the run, with what its heater got.
void find_frost(RunResult& result, HourlyInputs const& in, HeatedPlace const& place) {
    auto const& heater = place.heater;
    FrozenPlace frozen{place.name};
    double place_c = heater.thermostat_c;
    bool lost = false;  // energy since the place was at the thermostat's temperature
    frozen.coldest_c = place_c;
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        auto const h = (static_cast<std::size_t>(result.clock.first_hour) + i) % hours_per_year;
        double const share = heated_share(result.hours[i], in, place, h);
        place_c = models::place_after_c(heater, place_c, value_or(in.ambient_c, h, 25),
                                        share * place.wanted_w[h], 1);
        lost = place_c < heater.thermostat_c - 1e-6 && (lost || (share < 1 && place.wanted_w[h] > 0));
        frozen.coldest_c = std::min(frozen.coldest_c, place_c);
        if (place_c >= heater.freezes_below_c) continue;
        if (frozen.hours == 0) {
            frozen.first_h = result.clock.first_hour + static_cast<double>(i);
            frozen.unpowered = lost;
        }
        frozen.hours += 1;
    }
    if (frozen.hours == 0) return;
    result.findings.freezing_h = std::max(result.findings.freezing_h, frozen.hours);
    result.frozen.push_back(frozen);
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
    f.overload_transfers = supply.overload_transfers();
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
    if (water.pressure()) f.low_pressure_cutoffs = water.pressure()->state().cutoffs;
    if (water.cistern()) f.cistern_least_m3 = water.cistern()->least_m3();
    f.peak_draw_m3_s = peak_draw_m3_s(inputs);
    if (!inputs.uses.empty()) share_among_uses(result, inputs);
    for (HeatedPlace const& place : inputs.heated) find_frost(result, inputs, place);
}

}  // namespace holdwater::sim
