#pragma once

/// Trade units of the published water examples in SI; exact by definition (NIST SP 811, from memory).
namespace holdwater::test {

inline constexpr double psi_kpa = 6.894757293168361;
inline constexpr double gal_m3 = 3.785411784e-3;
inline constexpr double gpm_m3_s = gal_m3 / 60;
inline constexpr double foot_m = 0.3048;
inline constexpr double inch_m = 0.0254;
inline constexpr double hp_w = 745.6998715822702;

}  // namespace holdwater::test
