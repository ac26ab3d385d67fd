#pragma once

#include <algorithm>

#include "models/array/pv_array.hpp"

namespace holdwater::models {

/// Current over voltage of a whole array for one hour: the module's curve x modules in series (voltage) x
/// strings and what the losses leave (current). Losses after the module are taken on the current, so that the
/// maximum power equals array_power_w(). Only ModuleModel::single_diode has a curve.
struct ArrayCurve {
    DiodeCurve module;
    double modules_in_series = 1;
    double current_factor = 1;  // strings x loss factor
};

ArrayCurve array_curve(PvArrayParameters const&, ArrayConditions const&);

inline double array_current_a(ArrayCurve const& c, double array_v) {
    return c.current_factor * current_a(c.module, array_v / c.modules_in_series);
}
inline double array_open_circuit_v(ArrayCurve const& c) {
    return c.modules_in_series * open_circuit_voltage_v(c.module);
}
MaximumPowerPoint array_maximum_power_point(ArrayCurve const&);

/// What an hour of the year needs to know of the array, once computed and then reused for every step and
/// every run with the same array. Voltages are 0 with ModuleModel::linear, which knows none.
struct ArrayHour {
    double power_w = 0, mpp_v = 0, open_circuit_v = 0;
    double plane_w_m2 = 0;  // after soiling and shading
    double cell_c = 0;
};

ArrayHour array_hour(PvArrayParameters const&, PlaneSample const&, double ambient_c, double wind_m_s,
                     int month);

}  // namespace holdwater::models
