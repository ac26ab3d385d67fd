#pragma once

namespace holdwater::models {

/// Trade units in SI, exact by definition: US liquid gallon of 231 cubic inches, foot of 0.3048 m,
/// pound-force per square inch, horsepower of 550 ft lbf/s.
inline constexpr double m3_per_gal = 3.785411784e-3;
inline constexpr double m3_s_per_gpm = m3_per_gal / 60;
inline constexpr double m_per_ft = 0.3048;
inline constexpr double kpa_per_psi = 6.894757293168361;
inline constexpr double w_per_hp = 745.6998715822702;

}  // namespace holdwater::models
