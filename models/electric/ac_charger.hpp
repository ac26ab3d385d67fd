#pragma once

#include <algorithm>

namespace holdwater::models {

/// Parameters of a battery charger with AC input.
struct AcChargerParameters {
    double dc_power_limit_w = 0;  ///< highest DC power into the battery terminals [W], >= 0
    double efficiency = 0;        ///< DC out divided by AC in [-], (0, 1]
    double power_factor = 0;      ///< of its AC draw [-], (0, 1]
};

/// Throws ParameterError naming the field.
void validate(AcChargerParameters const& parameters);

/// Battery charger: constant efficiency and power factor.
///   P_ac = P_dc / efficiency,   S = P_ac / power_factor
/// Typical values, from memory: efficiency 0.85-0.92 for an older transformer type, 0.92-0.95 for high
/// frequency; power factor 0.6-0.75 uncorrected, >= 0.95 corrected. Leaves out: idle draw, loss at low
/// output.
inline double charger_ac_w(AcChargerParameters const& p, double dc_w) { return dc_w / p.efficiency; }

/// DC output [W] for the AC power [W] that it may draw, within its own limit; 0 if that power is 0 or less.
inline double charger_dc_w(AcChargerParameters const& p, double ac_available_w) {
    return std::clamp(ac_available_w * p.efficiency, 0.0, p.dc_power_limit_w);
}

/// DC output [W] that is left if a source of `source_w` and `source_va` also carries `load_w`, `load_va`. The
/// charger folds back when watts or volt-amperes run out, whichever is first. Volt-amperes are added as
/// magnitudes, which is on the safe side.
inline double charger_headroom_dc_w(AcChargerParameters const& p, double source_w, double source_va,
                                    double load_w, double load_va) {
    return charger_dc_w(p, std::min(source_w - load_w, (source_va - load_va) * p.power_factor));
}

}  // namespace holdwater::models
