#pragma once

#include <algorithm>

#include "models/array/pv_array.hpp"

namespace holdwater::models {

/// Current against voltage of a whole array for one hour. Voltage: that of the module x modules in series.
/// Current: that of the module x strings x loss factor. Losses after the module reduce the current, so that
/// the maximum power equals array_power_w(). Only ModuleModel::single_diode has a curve.
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

/// What the year loop needs to know of the array in one hour. It is computed once and used for every step and
/// every run with the same array. Voltages are 0 for ModuleModel::linear, which has none.
struct ArrayHour {
    double power_w = 0, mpp_v = 0, open_circuit_v = 0;
    double plane_w_m2 = 0;  // after soiling and shading
    double cell_c = 0;
};

ArrayHour array_hour(PvArrayParameters const&, PlaneSample const&, double ambient_c, double wind_m_s,
                     int month);

}  // namespace holdwater::models
