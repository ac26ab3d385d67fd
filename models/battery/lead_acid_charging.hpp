#pragma once

#include <algorithm>

namespace holdwater::models {

/// Lead-acid charge acceptance: the charging current falls as the battery fills.
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

/// State of charge [-] at which the taper begins; below 0 if the battery tapers even when empty.
inline double taper_begins_at_soc(double rate_per_h, double acceptance_per_h) {
    return 1 - rate_per_h / acceptance_per_h;
}

/// Time [h] to charge from one state of charge to another; 0 if it is already there, infinity to reach 1 or
/// if the rate is 0.
double hours_to_charge(double from_soc, double to_soc, double rate_per_h, double acceptance_per_h);

/// Highest constant rate into the battery over `hours` > 0 that the acceptance allows:
/// (1 - exp(-alpha t)) (Q - q) / t, in the unit of `room` (Q - q) per hour.
double acceptance_limit_per_h(double room, double acceptance_per_h, double hours);

/// Charging voltages of a battery and the conditions that end each stage. Volts per 12 V at 25 deg C.
struct ChargeStageParameters {
    double absorption_v = 0;     ///< held in absorption [V per 12 V]
    double float_v = 0;          ///< held in float [V per 12 V]; < absorption_v
    double rebulk_v = 0;         ///< in float, charging starts again below this voltage [V per 12 V]
    double rebulk_soc = 0.9;     ///< or below this state of charge [-]
    double tail_rate_per_h = 0;  ///< absorption ends when the current falls to this share of capacity [1/h]
    double tail_hours = 0.1;     ///< and stays there for this time [h]; 5-10 min common practice
    double longest_absorption_h = 0;  ///< or after this time [h]
    double volts_per_k_cell =
        0;  ///< temperature compensation, about -0.003 to -0.005 for lead-acid [V/K/cell]
};

/// Throws ParameterError naming the field.
void validate(ChargeStageParameters const& parameters);

/// Stage voltages per 12 V are from memory, in the middle of the usual ranges; times are common practice.
ChargeStageParameters flooded_charge_stages();
ChargeStageParameters sealed_charge_stages();
ChargeStageParameters gel_charge_stages();
ChargeStageParameters lithium_iron_phosphate_charge_stages();

/// A stage voltage [V] of a battery with `cells` cells in series, compensated for temperature.
inline double compensated_v(double volts_at_25_c, double volts_per_k_cell, double cells,
                            double temperature_c) {
    return volts_at_25_c + volts_per_k_cell * cells * (temperature_c - 25);
}

/// Hydrogen released by overcharge [L/h] at 20 deg C and 1 atm, for ventilation: 0.42 L per Ah and cell
/// (from memory).
inline double hydrogen_l_per_h(double cells, double overcharge_a) { return 0.42 * cells * overcharge_a; }

enum class ChargeStage { bulk, absorption, floating };

/// State of a charger between two readings of the battery.
struct ChargeStageState {
    ChargeStage stage = ChargeStage::bulk;
    double absorbed_h = 0;  ///< time in this absorption [h]
    double at_tail_h = 0;   ///< time at tail current [h]
};

/// The stage after `hours` at these readings (voltage per 12 V at 25 deg C, current as a share of capacity).
ChargeStageState after(ChargeStageParameters const& parameters, ChargeStageState from, double volts_per_12,
                       double rate_per_h, double soc, double hours);

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
