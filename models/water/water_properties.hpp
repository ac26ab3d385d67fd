#pragma once

namespace holdwater::models {

inline constexpr double gravity_m_s2 = 9.80665;
inline constexpr double standard_atmosphere_kpa = 101.325;

/// Properties of the water for friction and head. The temperature of groundwater hardly changes through the
/// year, so one value for a site is enough (from 5 to 25 degC, density changes by 0.5 % and friction in small
/// pipe by 7 %).
struct Water {
    double density_kg_m3 = 0;
    double viscosity_pa_s = 0;
};

/// Density at 1 atm. Equation: Kell (1975), J. Chem. Eng. Data 20:97, constants from memory.
/// Holds for liquid water, 0..100 degC; outside this range it throws ParameterError.
double water_density_kg_m3(double temperature_c);
/// Dynamic viscosity at 0.1 MPa, liquid. Equation: IAPWS R12-08 short form (Patek et al. 2009), constants
/// from memory. Same range.
double water_viscosity_pa_s(double temperature_c);
Water water_at(double temperature_c);

/// Pressure of the standard atmosphere at elevation z: 101.325 (1 - 2.25577e-5 z)^5.25588, -500..11000 m.
/// Source: form of the US Standard Atmosphere 1976, from memory.
double standard_atmosphere_kpa_at(double altitude_m);

/// Gauge pressure and height of a column of water at rest.
inline double head_of_pressure_m(double pressure_kpa, Water const& water) {
    return pressure_kpa * 1000 / (water.density_kg_m3 * gravity_m_s2);
}
inline double pressure_of_head_kpa(double head_m, Water const& water) {
    return head_m * water.density_kg_m3 * gravity_m_s2 / 1000;
}
/// rho g Q H.
inline double hydraulic_power_w(double flow_m3_s, double head_m, Water const& water) {
    return water.density_kg_m3 * gravity_m_s2 * flow_m3_s * head_m;
}

}  // namespace holdwater::models
