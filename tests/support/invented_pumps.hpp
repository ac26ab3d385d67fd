#pragma once

#include <array>

#include "models/water/pump.hpp"
#include "tests/support/water_units.hpp"

/// Invented pumps of the worked examples; no maker's product.
namespace holdwater::test {

/// `stages` stages of a 4-inch, 60 Hz stage: head ft and shaft hp at 0, 2 .. 16 gpm.
inline models::PumpParameters invented_pump(double stages) {
    constexpr std::array<double, 9> head_ft{27.0, 26.6, 25.9, 24.8, 23.1, 20.6, 17.0, 12.0, 5.5};
    constexpr std::array<double, 9> shaft_hp{.0520, .0611, .0671, .0737, .0812, .0867, .0896, .0884, .0794};
    models::PumpParameters p;
    for (std::size_t i = 0; i < head_ft.size(); ++i)
        p.curve.push_back({2.0 * static_cast<double>(i) * gpm_m3_s, head_ft[i] * stages * foot_m,
                           shaft_hp[i] * stages * hp_w});
    return p;
}

/// Another family with a slightly steeper stage.
inline constexpr std::array<double, 9> steep_stage_head_ft{30, 29.6, 28.8, 27.5, 25.6, 22.9, 19.2, 14.3, 8.0};
inline constexpr std::array<double, 9> steep_stage_shaft_hp{.056, .065,  .0745, .0835, .0915,
                                                            .098, .1015, .102,  .100};
/// 13 stages (1 hp) with electrical input in whole watts.
inline constexpr std::array<double, 9> steep_13_input_w{913, 1029, 1152, 1269, 1372, 1456, 1502, 1508, 1482};

inline models::PumpParameters steep_pump(double stages) {
    models::PumpParameters p;
    for (std::size_t i = 0; i < steep_stage_head_ft.size(); ++i)
        p.curve.push_back({2.0 * static_cast<double>(i) * gpm_m3_s, steep_stage_head_ft[i] * stages * foot_m,
                           steep_stage_shaft_hp[i] * stages * hp_w});
    return p;
}

inline models::PumpParameters steep_pump_13_by_input() {
    auto p = steep_pump(13);
    for (std::size_t i = 0; i < p.curve.size(); ++i) p.curve[i].power_w = steep_13_input_w[i];
    p.power_is_input = true;
    return p;
}

/// 10.44 ft/gpm/inch form of Hazen-Williams over the 10.67 SI form: both are in use
/// (2.1e-4 apart).
inline constexpr double us_over_si_hazen_williams = 10.44 / 10.442192295558772;

}  // namespace holdwater::test
