#include "sim/water_remarks.hpp"

#include <fmt/format.h>

#include "sim/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr double long_day_h = 6;

void add_cycling(Findings const& f, Summary const& s, MotorDuty const& motor, std::vector<std::string>& out) {
    if (f.runs_below_least > 0)
        out.push_back(
            fmt::format("short cycling: {:.0f} runs shorter than {:.0f} s, the shortest {:.0f} s; check the "
                        "tank's air charge, or take more tank",
                        f.runs_below_least, motor.least_run_s, s.shortest_run_s));
    if (f.hours_above_start_limit > 0)
        out.push_back(
            fmt::format("too many starts: up to {:.0f} in 24 h where the motor's size allows {:.0f}, "
                        "exceeded in {:.0f} hours",
                        f.most_starts_in_24h, f.starts_limit_per_day, f.hours_above_start_limit));
    if (f.start_heating_index > 1)
        out.push_back(
            fmt::format("start heat: cycling heats the motor {:.1f} times as much as running all the time",
                        f.start_heating_index));
}

}  // namespace

std::vector<std::string> water_remarks(System const& system, RunResult const& result) {
    Findings const& f = result.findings;
    std::vector<std::string> out;
    bool const gravity = system.cistern && system.cistern->gravity;
    add_cycling(f, result.summary, gravity ? system.cistern->fill_motor : system.motor, out);
    if (f.longest_day_run_h > long_day_h)
        out.push_back(fmt::format(
            "the pump runs up to {:.1f} h a day; from 6 to 8 hours on, bank and array are sized for "
            "the pump (common practice)",
            f.longest_day_run_h));
    if (!gravity && !system.fill.nodes.empty()) {
        double const flow = models::flow_at_m3_s(system.fill, system.fill.cut_in_m3);
        if (f.peak_draw_m3_s > flow)
            out.push_back(fmt::format(
                "open taps can take {:.2f} L/s, the pump brings {:.2f} L/s at cut-in: pressure falls "
                "when they are open for longer than the tank lasts",
                1e3 * f.peak_draw_m3_s, 1e3 * flow));
    }
    if (f.dry_run_trips > 0)
        out.push_back(fmt::format(
            "the well is drawn down to the pump {:.0f} times; the dry-run protection then holds the pump off",
            f.dry_run_trips));
    if (f.dry_run_short_runs > 0) {
        MotorDuty const& motor = system.cistern ? system.cistern->fill_motor : system.motor;
        out.push_back(
            fmt::format("short runs in a dry well: {:.0f} runs shorter than the {:.0f} s the motor should "
                        "run, the shortest "
                        "{:.0f} s, each ended by the dry-run protection; give the well longer to recover "
                        "(well.restart_delay), or take a pump that gives less",
                        f.dry_run_short_runs, motor.least_run_s, f.dry_run_shortest_run_s));
    }
    if (f.well_latched > 0) out.push_back("the dry-run protection has given up and waits for a person");
    if (f.water_spilled_m3 > 1e-3)
        out.push_back(fmt::format("{:.2f} m3 spilled from the cistern", f.water_spilled_m3));
    for (UseResult const& use : result.uses)
        if (use.wanted_m3 - use.delivered_m3 > some_water_m3)
            out.push_back(fmt::format("{}: {:.2f} % of its water came", use.name,
                                      100 * use.delivered_m3 / use.wanted_m3));
    return out;
}

}  // namespace holdwater::sim
