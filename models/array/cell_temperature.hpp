#pragma once

#include <cmath>

namespace holdwater::models {

enum class CellTemperatureModel { faiman, king, noct };

/// Coefficients of King, Boyson & Kratochvil 2004, SAND2004-3535: temperature rise of the module's back,
/// exp(a + b W10) per W/m2, and difference between cell and back at 1000 W/m2.
struct KingCoefficients {
    double a = 0, b_s_per_m = 0, cell_rise_k = 0;
    friend bool operator==(KingCoefficients const&, KingCoefficients const&) = default;
};
inline constexpr KingCoefficients king_glass_glass_rack{-3.47, -0.0594, 3.0};
inline constexpr KingCoefficients king_glass_glass_close_roof{-2.98, -0.0471, 1.0};
inline constexpr KingCoefficients king_glass_polymer_rack{-3.56, -0.0750, 3.0};
inline constexpr KingCoefficients king_glass_polymer_insulated{-2.81, -0.0455, 0.0};
/// From memory, unlike the four above, which agree with independent reprints of the report.
inline constexpr KingCoefficients king_thin_film_steel_rack{-3.58, -0.113, 3.0};

/// Steady-state cell temperature from the light on the plane, the air temperature and the wind.
///
/// faiman  Tc = Ta + G/(u0 + u1 W), Faiman 2008, Prog. Photovolt. 16, 307. For an open rack u0 = 25 W/m2K,
///         u1 = 6.84 W s/m3K (u1 from memory). Close to a roof u0 15-20, u1 0-3 (common practice, no source).
/// king    Tm = Ta + G exp(a + b W10); Tc = Tm + (G/1000) dT. Wind at 10 m.
/// noct    Tc = Ta + (NOCT - 20) G/800, Ross 1976. Wind is ignored. A typical NOCT is 45 +- 2 C.
/// G: light on the plane after soiling and shading, before the incidence modifier, W/m2.
/// W: wind of the file x wind_factor. faiman needs the wind at module height, but most weather files give it
/// at 10 m: then set wind_factor = wind_height_factor(10, 2, 0.2) = 0.725. With a factor of 1 the result is
/// 2-4 K too low. king needs the wind at 10 m. Leaves out: heat capacity (minutes), heat lost to a clear sky
/// at night, the electric power that leaves the module. Error +-3 K and more.
struct CellTemperatureParameters {
    CellTemperatureModel model = CellTemperatureModel::faiman;
    double faiman_u0_w_m2_k = 25.0;    // 5 .. 60
    double faiman_u1_w_s_m3_k = 6.84;  // 0 .. 20
    KingCoefficients king = king_glass_polymer_rack;
    double noct_c = 45.0;      // 30 .. 80
    double wind_factor = 1.0;  // 0 .. 3
    friend bool operator==(CellTemperatureParameters const&, CellTemperatureParameters const&) = default;
};

void validate(CellTemperatureParameters const&);

inline double cell_temperature_c(CellTemperatureParameters const& p, double irradiance_w_m2, double ambient_c,
                                 double wind_m_s) {
    double const wind = wind_m_s * p.wind_factor;
    switch (p.model) {
        case CellTemperatureModel::king:
            return ambient_c + irradiance_w_m2 * (std::exp(p.king.a + p.king.b_s_per_m * wind) +
                                                  p.king.cell_rise_k / 1000.0);
        case CellTemperatureModel::noct:
            return ambient_c + (p.noct_c - 20.0) * irradiance_w_m2 / 800.0;
        case CellTemperatureModel::faiman:
            break;
    }
    return ambient_c + irradiance_w_m2 / (p.faiman_u0_w_m2_k + p.faiman_u1_w_s_m3_k * wind);
}

}  // namespace holdwater::models
