#pragma once

namespace holdwater::models {

/// Captive-air pressure tank with its two-position pressure switch.
///
/// Equation (Boyle, absolute pressures): air volume = V (p_pre + p_atm) / (p + p_atm), so
///   stored(p) = V [1 - (p_pre + p_atm) / (p + p_atm)]      p >= p_pre, else 0
///   p(stored) = (p_pre + p_atm) V / (V - stored) - p_atm
/// Source: Boyle's law; trade-magazine article on pressure tank drawdown, about 2008.
/// Holds for fills and draws that last minutes (isothermal). A fill within seconds stores up to 25 % less:
/// see drawdown_polytropic_m3. Leaves out: elastic force of the bladder, air that dissolves, tolerance of the
/// switch. Precharge is measured with the tank EMPTY of water. Pressures are gauge; atmosphere is absolute.
struct PressureTankParameters {
    double total_volume_m3 = 0;  // sum of several tanks in parallel with the same precharge
    double precharge_kpa = 0;
    double cut_in_kpa = 0;
    double cut_out_kpa = 0;
    double atmosphere_kpa = 101.325;
    /// Share of the air charge that is left: 1 = sound. Below 1 the tank is waterlogged and behaves like a
    /// tank of air_fraction times the volume. The water in place of the lost air does not count as stored.
    double air_fraction = 1;
    friend bool operator==(PressureTankParameters const&, PressureTankParameters const&) = default;
};

/// Throws ParameterError naming field and physical reason.
void validate(PressureTankParameters const& p);

inline double effective_volume_m3(PressureTankParameters const& p) {
    return p.total_volume_m3 * p.air_fraction;
}

/// Water that the tank delivers while the pressure falls from `pressure_kpa` to the precharge, m3.
inline double stored_water_m3(PressureTankParameters const& p, double pressure_kpa) {
    if (pressure_kpa <= p.precharge_kpa) return 0;
    return effective_volume_m3(p) * (pressure_kpa - p.precharge_kpa) / (pressure_kpa + p.atmosphere_kpa);
}

/// Gauge pressure with `stored_m3` of water; the precharge when empty. Needs 0 <= stored < effective volume.
inline double tank_pressure_kpa(PressureTankParameters const& p, double stored_m3) {
    double const v = effective_volume_m3(p);
    return (p.precharge_kpa + p.atmosphere_kpa) * v / (v - stored_m3) - p.atmosphere_kpa;
}

/// Water drawn between cut-out and cut-in, in one cycle, m3.
inline double drawdown_m3(PressureTankParameters const& p) {
    return stored_water_m3(p, p.cut_out_kpa) - stored_water_m3(p, p.cut_in_kpa);
}

/// Smallest total volume with which every run lasts at least `min_run_s`, at pump flow `flow_m3_s` with taps
/// shut. `p.total_volume_m3` is ignored. The flow at cut-in is the conservative choice (common practice, no
/// source).
double volume_for_min_run_m3(PressureTankParameters p, double flow_m3_s, double min_run_s);

}  // namespace holdwater::models
