#include "sim/year/water_remarks.hpp"

#include "sim/water/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr double long_day_h = 6;

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

}  // namespace

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
    if (f.water_spilled_m3 > 1e-3) out.push_back({Kind::water_spilled, 0, f.water_spilled_m3});
    for (UseResult const& use : result.uses)
        if (use.wanted_m3 - use.delivered_m3 > some_water_m3)
            out.push_back({Kind::use_short, 0, use.delivered_m3 / use.wanted_m3, 0, use.name});
    return out;
}

}  // namespace holdwater::sim
