#include "sim/year/water_remarks.hpp"

#include <fmt/format.h>

#include "sim/base/figure_text.hpp"
#include "sim/water/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr double long_day_h = 6;

std::string flow_text(double flow_m3_s) { return fmt::format("{} L/min", figure_text(6e4 * flow_m3_s, 1)); }

void add_cycling(Findings const& f, Summary const& s, MotorDuty const& motor, std::vector<std::string>& out) {
    if (f.runs_below_least > 0)
        out.push_back(
            fmt::format("short cycling: {} runs shorter than {} s, the shortest {} s; check the "
                        "tank's air charge, or take more tank",
                        figure_text(f.runs_below_least), figure_text(motor.least_run_s),
                        figure_text(s.shortest_run_s, digits_apart(s.shortest_run_s, motor.least_run_s, 0))));
    if (f.hours_above_start_limit > 0)
        out.push_back(
            fmt::format("too many starts: up to {} in 24 h where the motor's size allows {}, "
                        "exceeded in {} hours",
                        figure_text(f.most_starts_in_24h), figure_text(f.starts_limit_per_day),
                        figure_text(f.hours_above_start_limit)));
    if (f.start_heating_index > 1)
        out.push_back(
            fmt::format("start heat: cycling heats the motor {} times as much as running all the time",
                        figure_text(f.start_heating_index, 1)));
}

}  // namespace

std::vector<std::string> water_remarks(System const& system, RunResult const& result) {
    Findings const& f = result.findings;
    std::vector<std::string> out;
    bool const gravity = system.cistern && system.cistern->gravity;
    add_cycling(f, result.summary, gravity ? system.cistern->fill_motor : system.motor, out);
    if (f.longest_day_run_h > long_day_h)
        out.push_back(fmt::format(
            "the pump runs up to {} h a day; from 6 to 8 hours on, battery and array are sized for "
            "the pump (common practice)",
            figure_text(f.longest_day_run_h, 1)));
    if (!gravity && !system.fill.nodes.empty()) {
        double const flow = models::flow_at_m3_s(system.fill, system.fill.cut_in_m3);
        if (f.peak_draw_m3_s > flow)
            out.push_back(fmt::format(
                "open taps can take {}, the pump gives {} at cut-in: the pressure falls when they "
                "stay open longer than the tank lasts",
                flow_text(f.peak_draw_m3_s), flow_text(flow)));
    }
    if (f.dry_run_trips > 0)
        out.push_back(fmt::format(
            "the well is drawn down to the pump {} times; the dry-run protection then holds the pump off",
            figure_text(f.dry_run_trips)));
    if (f.dry_run_short_runs > 0) {
        MotorDuty const& motor = system.cistern ? system.cistern->fill_motor : system.motor;
        out.push_back(
            fmt::format("short runs in a dry well: {:.0f} runs shorter than the {:.0f} s the motor should "
                        "run, the shortest "
                        "{:.0f} s, each ended by the dry-run protection; give the well longer to recover "
                        "(well.restart_delay), or take a pump that gives less",
                        f.dry_run_short_runs, motor.least_run_s, f.dry_run_shortest_run_s));
    }
    if (f.well_latched > 0)
        out.push_back("the dry-run protection has locked out and waits for someone on site");
    if (f.water_spilled_m3 > 1e-3)
        out.push_back(fmt::format("{} L spilled from the cistern", figure_text(1e3 * f.water_spilled_m3)));
    for (UseResult const& use : result.uses)
        if (use.wanted_m3 - use.delivered_m3 > some_water_m3)
            out.push_back(fmt::format("{}: {} % of its demand was delivered", use.name,
                                      figure_text(100 * use.delivered_m3 / use.wanted_m3, 2)));
    return out;
}

}  // namespace holdwater::sim
