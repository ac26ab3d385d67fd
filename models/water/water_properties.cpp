#include "models/water/water_properties.hpp"

#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {
void require_liquid(double t) {
    require(t >= 0 && t <= 100, "water_temperature_c", t,
            "must be 0..100 degC: frozen or boiling water cannot be pumped");
}
}  // namespace

double water_density_kg_m3(double t) {
    require_liquid(t);
    double const n =
        999.83952 +
        t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return n / (1 + 16.879850e-3 * t);
}

double water_viscosity_pa_s(double t) {
    require_liquid(t);
    double const r = (t + 273.15) / 300;
    return 1e-6 * (280.68 * std::pow(r, -1.9) + 511.45 * std::pow(r, -7.7) + 61.131 * std::pow(r, -19.6) +
                   0.45903 * std::pow(r, -40.0));
}

Water water_at(double t) { return {water_density_kg_m3(t), water_viscosity_pa_s(t)}; }

double standard_atmosphere_kpa_at(double z) {
    require(z >= -500 && z <= 11000, "altitude_m", z, "must be -500..11000 m");
    return standard_atmosphere_kpa * std::pow(1 - 2.25577e-5 * z, 5.25588);
}

}  // namespace holdwater::models
