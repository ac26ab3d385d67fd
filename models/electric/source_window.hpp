#pragma once

namespace holdwater::models {

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
