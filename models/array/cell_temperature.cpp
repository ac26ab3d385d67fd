#include "models/array/cell_temperature.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(CellTemperatureParameters const& p) {
    require(p.faiman_u0_w_m2_k >= 5 && p.faiman_u0_w_m2_k <= 60, "faiman_u0_w_m2_k", p.faiman_u0_w_m2_k,
            "must be 5 to 60 W/m2K; open rack about 25, close to a roof 15 to 20");
    require(p.faiman_u1_w_s_m3_k >= 0 && p.faiman_u1_w_s_m3_k <= 20, "faiman_u1_w_s_m3_k",
            p.faiman_u1_w_s_m3_k, "must be 0 to 20 W s/m3K; open rack about 6.8, close to a roof 0 to 3");
    require(p.king.a >= -6 && p.king.a <= -1, "king.a", p.king.a, "must be -6 to -1");
    require(p.king.b_s_per_m >= -0.2 && p.king.b_s_per_m <= 0, "king.b_s_per_m", p.king.b_s_per_m,
            "must be -0.2 to 0 s/m: wind cools");
    require(p.king.cell_rise_k >= 0 && p.king.cell_rise_k <= 10, "king.cell_rise_k", p.king.cell_rise_k,
            "must be 0 to 10 K");
    require(p.noct_c >= 30 && p.noct_c <= 80, "noct_c", p.noct_c, "must be 30 to 80 C; typical 45");
    require(p.wind_factor >= 0 && p.wind_factor <= 3, "wind_factor", p.wind_factor,
            "must be 0 to 3; 1 when the wind is already at the height the model wants");
}

}  // namespace holdwater::models
