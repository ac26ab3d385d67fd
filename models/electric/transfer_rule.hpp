#pragma once

namespace holdwater::models {

/// When the loads transfer to grid or generator and when they return. Typical set points are common practice:
/// transfer at 20-30 % (lithium iron phosphate) or 50 % (lead-acid), return at 80-95 %.
struct TransferRule {
    double over_at_soc = 0;   ///< at or below: transfer to grid or generator [-], [0, 1)
    double back_at_soc = 0;   ///< at or above: return to the battery [-], at least 0.10 higher
    double over_below_v = 0;  ///< or transfer below this DC voltage under load [V]; 0: not used
    double over_delay_s =
        60;  ///< time for which the voltage must stay below, so that a start does not transfer
    double fast_below_v = 0;   ///< second, lower voltage [V]; 0: not used
    double fast_delay_s = 10;  ///< and its delay
};

/// Throws ParameterError naming the field.
void validate(TransferRule const& rule);

/// Whether the loads are on grid or generator, given where they were and the state of charge.
inline bool on_backup(TransferRule const& r, bool was_on_backup, double soc) {
    return was_on_backup ? soc < r.back_at_soc : soc <= r.over_at_soc;
}

/// Whether a voltage [V] that lasts `seconds` makes the loads transfer.
inline bool voltage_transfers(TransferRule const& r, double volts, double seconds) {
    return (volts < r.over_below_v && seconds >= r.over_delay_s) ||
           (volts < r.fast_below_v && seconds >= r.fast_delay_s);
}

/// The input window of a charger or transfer switch.
struct SourceWindow {
    double min_hz = 0, max_hz = 0;
    double min_v = 0, max_v = 0;
    double qualify_s = 0;  ///< time for which the source must stay inside before it is accepted
};

/// Throws ParameterError naming the field.
void validate(SourceWindow const& window);

enum class SourceOutcome {
    accepted,  ///< inside the window at no load and at full load
    rejected,  ///< outside at no load, so it is never accepted: the engine runs without charging
    flapping,  ///< inside at no load, outside when loaded: it is accepted and dropped again and again
};

/// Whether a window accepts a generator whose frequency falls with load.
inline SourceOutcome source_outcome(SourceWindow const& w, double no_load_hz, double full_load_hz,
                                    double no_load_v, double full_load_v) {
    auto const inside = [&w](double hz, double v) {
        return hz >= w.min_hz && hz <= w.max_hz && v >= w.min_v && v <= w.max_v;
    };
    if (!inside(no_load_hz, no_load_v)) return SourceOutcome::rejected;
    return inside(full_load_hz, full_load_v) ? SourceOutcome::accepted : SourceOutcome::flapping;
}

}  // namespace holdwater::models
