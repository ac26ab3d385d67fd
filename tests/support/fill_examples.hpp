#pragma once

#include <cmath>

#include "models/water/pump_cycle.hpp"
#include "tests/support/water_units.hpp"

/// Worked examples of a pump filling a pressure tank.
namespace holdwater::test {

inline models::PressureTankParameters tank_gal(double gallons) {
    return {gallons * gal_m3, 38 * psi_kpa, 40 * psi_kpa, 60 * psi_kpa};
}

inline models::TankFillCurve constant_flow(models::PressureTankParameters const& tank, double flow_m3_s,
                                           double power_w = 1000) {
    double const in = models::stored_water_m3(tank, tank.cut_in_kpa),
                 out = models::stored_water_m3(tank, tank.cut_out_kpa);
    return models::fill_curve_from_nodes({{0, flow_m3_s, power_w}, {1.1 * out, flow_m3_s, power_w}}, in, out);
}

// Worked example: 44 gal tank, 998.2 kg/m3, pump 91.44 - 6.1e7 Q^2 m, lift 35 m, pipes 2e6 Q^2 m; power =
// hydraulic power.
inline double example_flow(double pressure_kpa) {
    double const spare = 56.44 - pressure_kpa * 1000 / (998.2 * models::gravity_m_s2);
    return spare > 0 ? std::sqrt(spare / 6.3e7) : 0;
}
inline double example_power(double flow) {
    return 998.2 * models::gravity_m_s2 * flow * (91.44 - 6.1e7 * flow * flow);
}
inline models::TankFillCurve example_curve(int nodes = 32) {
    return models::make_fill_curve(
        tank_gal(44),
        [](double q) {
            return models::DeliveredAt{(56.44 - 6.3e7 * q * q) * 998.2 * models::gravity_m_s2 / 1000,
                                       example_power(q)};
        },
        9e-4, nodes);
}

// Second worked example: tank 0.3 m3, 1000 kg/m3, Q = sqrt((65 - p/(rho g))/4.6e7), input 1000 + 5e5 Q.
inline models::PressureTankParameters const second_tank{0.3, 38 * psi_kpa, 40 * psi_kpa, 60 * psi_kpa};
inline models::TankFillCurve second_curve(int nodes = 32) {
    return models::make_fill_curve(
        second_tank,
        [](double q) {
            return models::DeliveredAt{(65 - 4.6e7 * q * q) * models::gravity_m_s2, 1000 + 5e5 * q};
        },
        1.1e-3, nodes);
}

}  // namespace holdwater::test
