#include "sim/year/water_remarks.hpp"

#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {
namespace {

constexpr double long_day_h = 6;
constexpr double self_reset_after_h = 5.0 / 60;  // common practice, no source

void add_cycling(Findings const& f, Summary const& s, MotorDuty const& motor, WaterRemarkKind short_runs,
                 std::vector<WaterRemark>& out) {
    using Kind = WaterRemarkKind;
    if (f.runs_below_least > 0)
        out.push_back({short_runs, f.runs_below_least, s.shortest_run_s, motor.least_run_s});
    if (f.hours_above_start_limit > 0)
        out.push_back(
            {Kind::too_many_starts, f.hours_above_start_limit, f.most_starts_in_24h, f.starts_limit_per_day});
    if (f.start_heating_index > 1) out.push_back({Kind::start_heat, 0, f.start_heating_index, 1});
}

// Hours short of water if the pressure switch resets itself a few minutes after it has opened.
double hours_short_with_self_reset(System system, CheckedInputs const& inputs, Clock const& clock) {
    system.cutoff = models::LowPressureCutoff{
        .cutoff_kpa = system.cutoff->cutoff_kpa, .by_hand = false, .reset_after_h = self_reset_after_h};
    ShortageHours dry;
    watch(system, inputs, clock, [&](int, HourRecord const& r, auto) {
        dry.add(r.water_short_m3 > some_water_m3, r.water_demand_m3 > 0);
        return true;
    });
    return dry.hours;
}

}  // namespace

std::vector<WaterRemark> water_remarks(System const& system, CheckedInputs const& inputs,
                                       RunResult const& result) {
    auto remarks = water_remarks(system, result);
    if (result.findings.low_pressure_cutoffs > 0 && system.cutoff->by_hand)
        remarks.push_back({WaterRemarkKind::self_reset, 0,
                           hours_short_with_self_reset(system, inputs, result.clock),
                           result.summary.shortage_hours});
    return remarks;
}

std::vector<WaterRemark> water_remarks(System const& system, RunResult const& result) {
    using Kind = WaterRemarkKind;
    Findings const& f = result.findings;
    std::vector<WaterRemark> out;
    bool const gravity = system.cistern && system.cistern->gravity;
    add_cycling(f, result.summary, gravity ? system.cistern->fill_motor : system.motor,
                gravity ? Kind::short_fillings : Kind::short_cycling, out);
    if (f.longest_day_run_h > long_day_h)
        out.push_back({Kind::long_days, 0, f.longest_day_run_h, long_day_h});
    if (!gravity && !system.fill.nodes.empty()) {
        double const flow = models::flow_at_m3_s(system.fill, system.fill.cut_in_m3);
        if (f.peak_draw_m3_s > flow) out.push_back({Kind::taps_above_pump, 0, f.peak_draw_m3_s, flow});
    }
    if (f.dry_run_trips > 0) out.push_back({Kind::well_drawn_down, f.dry_run_trips});
    if (f.dry_run_short_runs > 0) {
        MotorDuty const& motor = system.cistern ? system.cistern->fill_motor : system.motor;
        out.push_back(
            {Kind::short_runs_in_well, f.dry_run_short_runs, f.dry_run_shortest_run_s, motor.least_run_s});
    }
    if (f.well_latched > 0) out.push_back({Kind::well_locked_out});
    if (f.low_pressure_cutoffs > 0) out.push_back({Kind::low_pressure, f.low_pressure_cutoffs});
    if (f.water_spilled_m3 > 1e-3) out.push_back({Kind::water_spilled, 0, f.water_spilled_m3});
    for (FrozenPlace const& place : result.frozen)
        out.push_back({place.unpowered ? Kind::frozen_unpowered : Kind::frozen_too_weak, place.hours,
                       place.first_h, place.coldest_c, place.name});
    for (UseResult const& use : result.uses)
        if (use.wanted_m3 - use.delivered_m3 > some_water_m3)
            out.push_back({Kind::use_short, 0, use.delivered_m3 / use.wanted_m3, 0, use.name});
    return out;
}

}  // namespace holdwater::sim
