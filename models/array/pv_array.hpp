#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

#include "models/array/cell_temperature.hpp"
#include "models/array/incidence_modifier.hpp"
#include "models/array/pv_module.hpp"
#include "models/array/single_diode.hpp"

namespace holdwater::models {

/// Array of equal strings under one uniform irradiance: voltage x modules in series, current x strings.
///
/// Light: the four shares on the plane x (1 - soiling of the month) x (1 - shading) give the light that heats
/// the module (plane_w_m2). Each share x its own incidence modifier gives the light that the cells get
/// (effective_w_m2): beam and circumsolar light at the incidence of the beam, sky and ground light at their
/// effective angles. Power: the module model at that light and the cell temperature, x modules
/// x (1 - dc loss) x age factor x (1 - wiring loss at 1000 W/m2 x effective/1000). The loss in a wire is
/// proportional to the square of the current, so the lost fraction is proportional to the current, and the
/// current is proportional to the light.
///
/// Usual values, common practice, no source: soiling 0.02-0.03 with rain, 0.05-0.08 dry and dusty; dc loss is
/// 1 - product of (1 - mismatch 0.01-0.02)(1 - connections 0.005)(1 - light-induced 0.01-0.02)(1 - nameplate
/// 0-0.01); wiring 0.01-0.02.
/// Leaves out: snow (see snow_cover.hpp: no power on a covered day), shade on single strings, horizon.
/// Sign: power is positive out of the array, never negative.
struct PvArrayParameters {
    ModuleModel module_model = ModuleModel::linear;
    LinearModule module;          // used by ModuleModel::linear
    SingleDiodeParameters diode;  // used by ModuleModel::single_diode
    int modules_in_series = 1;    // 1 .. 1000
    int strings_in_parallel = 1;  // 1 .. 1000
    IncidenceParameters incidence;
    CellTemperatureParameters temperature;
    double dc_loss_fraction = 0.0;              // 0 .. 1
    double wiring_loss_fraction_at_stc = 0.0;   // 0 .. 0.2, at 1000 W/m2
    double age_factor = 1.0;                    // 0 .. 1, see age_factor()
    std::array<double, 12> soiling_by_month{};  // January first, 0 .. 1
    double shading_fraction = 0.0;              // 0 .. 1, uniform, of all the light
    friend bool operator==(PvArrayParameters const&, PvArrayParameters const&) = default;
};

void validate(PvArrayParameters const&);

/// Light on the plane by its origin, W/m2. sky_w_m2 does not include the circumsolar light.
struct PlaneSample {
    double beam_w_m2 = 0, circumsolar_w_m2 = 0, sky_w_m2 = 0, ground_w_m2 = 0;
    double incidence_deg = 0;  // of the beam, 0 .. 180
    double tilt_deg = 0;       // 0 .. 90
};

struct ArrayConditions {
    double plane_w_m2 = 0;      // after soiling and shading, before the incidence modifier
    double effective_w_m2 = 0;  // after it
    double cell_c = 0;
};

/// month 1 .. 12.
inline ArrayConditions array_conditions(PvArrayParameters const& p, PlaneSample const& s, double ambient_c,
                                        double wind_m_s, int month) {
    double const clean =
        (1.0 - p.soiling_by_month[static_cast<std::size_t>(month - 1)]) * (1.0 - p.shading_fraction);
    double const direct = s.beam_w_m2 + s.circumsolar_w_m2;
    ArrayConditions c;
    c.plane_w_m2 = clean * (direct + s.sky_w_m2 + s.ground_w_m2);
    c.cell_c = ambient_c;
    if (!(c.plane_w_m2 > 0)) {
        c.plane_w_m2 = 0;
        return c;
    }
    double const reaching =
        (direct > 0 ? direct * incidence_modifier(p.incidence, s.incidence_deg) : 0.0) +
        s.sky_w_m2 * sky_incidence_modifier(p.incidence, s.tilt_deg) +
        (s.ground_w_m2 > 0 ? s.ground_w_m2 * ground_incidence_modifier(p.incidence, s.tilt_deg) : 0.0);
    c.effective_w_m2 = std::max(0.0, clean * reaching);
    c.cell_c = cell_temperature_c(p.temperature, c.plane_w_m2, ambient_c, wind_m_s);
    return c;
}

/// Share of the module power that is left at the array terminals, 0 .. 1.
inline double array_loss_factor(PvArrayParameters const& p, double effective_w_m2) {
    return std::max(0.0, (1.0 - p.dc_loss_fraction) * p.age_factor *
                             (1.0 - p.wiring_loss_fraction_at_stc * effective_w_m2 / 1000.0));
}

/// Nameplate power of the whole array at 1000 W/m2 and 25 C cell, before losses.
double array_rated_power_w(PvArrayParameters const&);

/// DC power at the array terminals at the maximum power point, before the charge controller.
inline double array_power_w(PvArrayParameters const& p, ArrayConditions const& c) {
    if (c.effective_w_m2 <= 0) return 0.0;
    double const module_w = p.module_model == ModuleModel::linear
                                ? linear_module_power_w(p.module, c.effective_w_m2, c.cell_c)
                                : maximum_power_point(p.diode, c.effective_w_m2, c.cell_c).power_w;
    return module_w * p.modules_in_series * p.strings_in_parallel * array_loss_factor(p, c.effective_w_m2);
}
inline double array_power_w(PvArrayParameters const& p, PlaneSample const& s, double ambient_c,
                            double wind_m_s, int month) {
    return array_power_w(p, array_conditions(p, s, ambient_c, wind_m_s, month));
}

}  // namespace holdwater::models
