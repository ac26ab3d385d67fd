#include "models/array/array_curve.hpp"

namespace holdwater::models {

ArrayCurve array_curve(PvArrayParameters const& p, ArrayConditions const& c) {
    ArrayCurve curve;
    curve.module = translate(p.diode, c.effective_w_m2, c.cell_c);
    curve.modules_in_series = p.modules_in_series;
    curve.current_factor = p.strings_in_parallel * array_loss_factor(p, c.effective_w_m2);
    return curve;
}

MaximumPowerPoint array_maximum_power_point(ArrayCurve const& c) {
    auto m = maximum_power_point(c.module);
    m.voltage_v *= c.modules_in_series;
    m.current_a *= c.current_factor;
    m.power_w = m.voltage_v * m.current_a;
    return m;
}

ArrayHour array_hour(PvArrayParameters const& p, PlaneSample const& s, double ambient_c, double wind_m_s,
                     int month) {
    auto const c = array_conditions(p, s, ambient_c, wind_m_s, month);
    ArrayHour h;
    h.plane_w_m2 = c.plane_w_m2;
    h.cell_c = c.cell_c;
    if (c.effective_w_m2 <= 0) return h;
    if (p.module_model == ModuleModel::linear) {
        h.power_w = array_power_w(p, s, ambient_c, wind_m_s, month);
        return h;
    }
    auto const curve = array_curve(p, c);
    double const module_voc_v = open_circuit_voltage_v(curve.module);
    auto const m = maximum_power_point(curve.module, module_voc_v);
    h.open_circuit_v = module_voc_v * curve.modules_in_series;
    h.mpp_v = m.voltage_v * curve.modules_in_series;
    h.power_w = m.power_w * curve.modules_in_series * curve.current_factor;
    return h;
}

}  // namespace holdwater::models
