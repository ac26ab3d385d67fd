#pragma once

#include <cmath>

namespace holdwater::models {

/// Pressure switch with a low-pressure cutoff. Besides its cut-in and cut-out it opens when the pressure
/// falls to a cutoff below cut-in, and the pump then stays off until the switch is reset.
///
/// Reset by hand: someone holds the lever until the pump has raised the pressure to cut-in (about 40 psi on a
/// 40/60 switch); if the pump does not run or stops before that, the lever has to be held again. Someone
/// answers in the attended part of a day and reaches the lever `reset_after_h` later. The attended part comes
/// again every `visit_every_h`, counted from 00:00 on 1 January.
/// Reset by itself: the control tries again after `reset_after_h`, and does not cut off before cut-in is
/// reached.
///
/// Source: common practice of switches with a cutoff lever, which open about 10 psi below cut-in; no source
/// for the times. Holds for a tank whose precharge is above the cutoff too: its pressure is lost when it is
/// empty. Leaves out: that taps are shut while the lever is held, and that people notice the loss only when
/// they draw water.
struct LowPressureCutoff {
    double cutoff_kpa = 0;  ///< gauge, >= 0, below cut-in
    bool by_hand = true;
    double reset_after_h = 0.5;                      ///< 1 min or more
    double attended_from_h = 0, attended_to_h = 24;  ///< of the day: 0 .. < 24, later, at most 24 h long
    double visit_every_h = 24;                       ///< >= 24
    friend bool operator==(LowPressureCutoff const&, LowPressureCutoff const&) = default;
};

/// Throws ParameterError.
void validate(LowPressureCutoff const& cutoff);

/// Time of the next reset [h] of a switch that opened, or whose lever was let go, at `time_h`; both counted
/// from 00:00 on 1 January.
inline double reset_time_h(LowPressureCutoff const& c, double time_h) {
    if (!c.by_hand) return time_h + c.reset_after_h;
    double const visit = std::floor((time_h - c.attended_from_h) / c.visit_every_h);
    double const came_h = c.attended_from_h + visit * c.visit_every_h;
    bool const there = time_h < came_h + (c.attended_to_h - c.attended_from_h);
    return (there ? time_h : came_h + c.visit_every_h) + c.reset_after_h;
}

}  // namespace holdwater::models
