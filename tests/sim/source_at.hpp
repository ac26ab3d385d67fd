#pragma once

#include "sim/base/run_result.hpp"

namespace holdwater::test {

/// What feeds the loads at a time, told from the events: B backup, I inverter, N nothing.
inline char source_at(sim::RunResult const& result, double time_h) {
    bool backup = false, off = false;
    for (auto const& e : result.events) {
        if (e.time_h > time_h) break;
        if (e.kind == sim::EventKind::to_backup) backup = true;
        if (e.kind == sim::EventKind::to_inverter) backup = false;
        if (e.kind == sim::EventKind::inverter_off) off = true;
        if (e.kind == sim::EventKind::inverter_on) off = false;
    }
    return backup ? 'B' : off ? 'N' : 'I';
}

}  // namespace holdwater::test
