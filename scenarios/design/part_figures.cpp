#include "scenarios/design/part_figures.hpp"

#include <algorithm>
#include <cmath>

#include "models/array/single_diode.hpp"

namespace holdwater::scenarios {
namespace {

std::vector<PartFigure> module_figures(models::PvArrayParameters const& a) {
    if (a.module_model == models::ModuleModel::linear) return {{"rated power", a.module.rated_power_w, "W"}};
    auto const curve = models::translate(a.diode, 1000, 25);
    auto const best = models::maximum_power_point(curve);
    return {{"rated power", best.power_w, "W"},
            {"at", best.voltage_v, "V"},
            {"open circuit", models::open_circuit_voltage_v(curve), "V"}};
}

std::vector<PartFigure> controller_figures(models::ChargeControllerParameters const& c) {
    std::vector<PartFigure> figures;
    if (std::isfinite(c.current_limit_a)) figures.push_back({"puts out", c.current_limit_a, "A"});
    if (std::isfinite(c.power_limit_w)) figures.push_back({"puts out", c.power_limit_w, "W"});
    figures.push_back({"takes up to", c.input_max_v, "V"});
    return figures;
}

std::vector<PartFigure> battery_figures(Scenario const& s) {
    std::vector<PartFigure> figures{{"holds", s.battery.capacity_kwh, "kWh"},
                                    {"usable", s.battery.capacity_kwh * (1 - s.battery.min_soc), "kWh"}};
    if (s.battery_v > 0) figures.push_back({"nominal", s.battery_v, "V"});
    return figures;
}

std::vector<PartFigure> inverter_figures(models::InverterParameters const& i) {
    std::vector<PartFigure> figures{{"rated", i.rated_power_w, "VA"}};
    if (!i.surge.empty()) figures.push_back({"start", i.surge.front().ratio * i.rated_power_w, "VA"});
    figures.push_back({"idle", i.idle_w, "W"});
    return figures;
}

// The best efficiency point is where the water gets the largest share of the shaft power.
std::vector<PartFigure> pump_figures(models::PumpParameters const& p) {
    auto const& best = *std::max_element(p.curve.begin(), p.curve.end(), [](auto const& a, auto const& b) {
        return a.flow_m3_s * a.head_m * b.power_w < b.flow_m3_s * b.head_m * a.power_w;
    });
    return {{"shut-off", p.curve.front().head_m, "m"},
            {"best", best.flow_m3_s, "m3/s"},
            {"at", best.head_m, "m"}};
}

std::vector<PartFigure> motor_figures(models::MotorParameters const& m) {
    std::vector<PartFigure> figures{{"shaft", m.rated_power_w, "W"}};
    if (m.locked_rotor_a > 0) figures.push_back({"locked rotor", m.locked_rotor_a, "A"});
    return figures;
}

std::vector<PartFigure> load_figures(ScenarioLoad const& l) {
    double share = 0;
    for (double const hour : l.load.profile) share += hour / 24;
    return {{"power", l.load.power_w, "W"}, {"a day", l.load.power_w * share * 24e-3, "kWh"}};
}

}  // namespace

std::vector<PartFigure> part_figures(std::string_view kind, Scenario const& s) {
    if (kind == "module") return module_figures(s.array);
    if (kind == "controller") return controller_figures(s.controller);
    if (kind == "battery") return battery_figures(s);
    if (kind == "inverter") return inverter_figures(s.inverter);
    if (kind == "charger") return {{"puts out", s.charger.dc_power_limit_w, "W"}};
    if (kind == "generator" && s.generator) {
        auto const& g = *s.generator;
        return {{"rated", g.rated_power_w, "W"},
                {"fuel at full load", (g.fuel_a_l_per_h_kw + g.fuel_b_l_per_kwh) * g.rated_power_w * 1e-3,
                 "L/h"}};
    }
    if (kind == "pump") return pump_figures(s.pump);
    if (kind == "motor") return motor_figures(s.motor);
    if (kind == "drive" && s.drive) return {{"standby", s.drive->standby_w, "W"}};
    if (kind == "pipe") return {{"inside", s.piping.segments.front().inside_diameter_m * 1e3, "mm"}};
    if (kind == "tank") return {{"holds", s.tank.total_volume_m3, "m3"}};
    if (kind == "cistern" && s.cistern) return {{"holds", s.cistern->cistern.capacity_m3, "m3"}};
    if (kind == "load") return load_figures(s.loads.front());
    if (kind == "cable") return {{"one conductor", s.wiring.cables.front().ohm_per_m * 1e3, "ohm/km"}};
    return {};
}

}  // namespace holdwater::scenarios
