#pragma once

#include <algorithm>

namespace holdwater::models {

/// Lead-acid charge acceptance (BatteryStore::acceptance_per_h): the charging current falls as the battery
/// fills.
///
///   dS/dt = min(r, alpha (1 - S)),   r = e_c P / capacity
/// so the taper begins at S_k = 1 - r / alpha, and from S0 to S1
///   S1 <= S_k:       t = (S1 - S0) / r
///   S0 < S_k < S1:   t = (S_k - S0) / r + ln((1 - S_k) / (1 - S1)) / alpha
///   S0 >= S_k:       t = ln((1 - S0) / (1 - S1)) / alpha
///
/// Source: the exponential acceptance of Manwell & McGowan, Solar Energy 50(5) 399-405, 1993, in continuous
/// form; alpha about 1 1/h, range 0.5-1.5, from memory. Holds for: 25 deg C, compensated voltage.
/// Leaves out: gassing, self-discharge, change of alpha with age. S: state of charge [-]; r, alpha [1/h].

/// Records how often a battery is full (a lead-acid battery needs this often enough): the time since it was
/// last full, and the longest such time.
struct FullChargeAccount {
    double since_full_h = 0;
    double longest_gap_h = 0;
    int full_charges = 0;
    bool full = false;  ///< it is full now; a full charge counts once, however long it lasts

    /// Advances by `hours`, with `soc` at their end. `full_soc` is for example 0.99. A new full charge counts
    /// only after the battery has fallen below `full_soc - 0.02`.
    void go_on(double soc, double full_soc, double hours) {
        if (soc >= full_soc) {
            if (!full) ++full_charges;
            full = true;
            since_full_h = 0;
            return;
        }
        if (soc < full_soc - 0.02) full = false;
        since_full_h += hours;
        longest_gap_h = std::max(longest_gap_h, since_full_h);
    }
};

}  // namespace holdwater::models
