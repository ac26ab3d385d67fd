#include "scenarios/sections/read_module.hpp"

#include <fmt/format.h>

#include <cmath>

#include "models/array/single_diode_fit.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

constexpr double doubtful_gamma_per_k = 0.0005;  // for the reason see models::fit_single_diode

models::LinearModule read_linear(Section& s) {
    models::LinearModule m;
    m.rated_power_w = s.quantity("rated_power", "W", {0, 1e5});  // 0: no array
    m.gamma_per_k = s.quantity("power_temperature_coefficient", "1/K", {-0.01, 0}, -0.0037);
    m.low_light_efficiency = s.number("low_light_efficiency", {0.7, 1}, models::usual_low_light_efficiency);
    return m;
}

// A coefficient as on data sheets, absolute ("5.1 mA/K") or in percent of `whole` ("0.05 %/K"); `accepted` is
// relative.
double coefficient(Section& s, std::string_view key, std::string_view unit, double whole, Range accepted) {
    if (s.text(key).find('%') != std::string::npos) return whole * s.quantity(key, "1/K", accepted);
    return s.quantity(key, unit, {whole * accepted.low, whole * accepted.high});
}

models::SingleDiodeParameters read_data_sheet(Section& s, Scenario& scenario) {
    models::ModuleDatasheet sheet;
    sheet.isc_a = s.quantity("short_circuit_current", "A", {0.01, 100});
    sheet.voc_v = s.quantity("open_circuit_voltage", "V", {0.1, 1000});
    sheet.imp_a = s.quantity("max_power_current", "A", {0.5 * sheet.isc_a, sheet.isc_a});
    sheet.vmp_v = s.quantity("max_power_voltage", "V", {0.5 * sheet.voc_v, sheet.voc_v});
    sheet.alpha_a_per_k = coefficient(s, "current_temperature_coefficient", "A/K", sheet.isc_a, {0, 0.002});
    sheet.beta_v_per_k =
        coefficient(s, "voltage_temperature_coefficient", "V/K", sheet.voc_v, {-0.01, -0.0005});
    models::SingleDiodeFit fit;
    s.checked([&] { fit = models::fit_single_diode(sheet); });
    if (fit.shunt_fixed)
        scenario.warnings.push_back(fmt::format(
            "array.module: no single-diode module meets all the data-sheet values; the voltage's temperature "
            "coefficient is not kept ({:.3f} %/K instead of {:.3f} %/K)",
            100 * fit.beta_v_per_k / sheet.voc_v, 100 * sheet.beta_v_per_k / sheet.voc_v));
    if (s.has("power_temperature_coefficient")) {
        double const gamma = s.quantity("power_temperature_coefficient", "1/K", {-0.01, 0});
        if (std::abs(gamma - fit.gamma_per_k) > doubtful_gamma_per_k)
            scenario.warnings.push_back(
                fmt::format("array.module: the fitted module loses {:.3f} %/K of power, the data sheet says "
                            "{:.3f} %/K; check the temperature coefficients of current and voltage",
                            -100 * fit.gamma_per_k, -100 * gamma));
    }
    return fit.parameters;
}

models::SingleDiodeParameters read_diode(Section& s) {
    models::SingleDiodeParameters d;
    d.a_v = s.quantity("diode_voltage", "V", {0.01, 50});
    d.light_current_a = s.quantity("light_current", "A", {0.01, 100});
    d.saturation_current_a = s.quantity("saturation_current", "A", {1e-30, 1});
    d.series_ohm = s.quantity("series_resistance", "ohm", {0, 100});
    d.shunt_ohm = s.quantity("shunt_resistance", "ohm", {0.01, 1e9});
    d.alpha_a_per_k =
        coefficient(s, "current_temperature_coefficient", "A/K", d.light_current_a, {-0.005, 0.005});
    d.band_gap_ev = s.quantity("band_gap", "eV", {0.5, 2}, d.band_gap_ev);
    s.checked([&] { models::validate(d); });
    return d;
}

enum class Described { linear, data_sheet, diode };

void read_module_table(Section s, Scenario& scenario) {
    models::PvArrayParameters& a = scenario.array;
    auto const described =
        s.choice("described_by", std::array{std::pair{std::string_view("rated power"), Described::linear},
                                            std::pair{std::string_view("data sheet"), Described::data_sheet},
                                            std::pair{std::string_view("diode"), Described::diode}});
    switch (described) {
        case Described::linear:
            a.module_model = models::ModuleModel::linear;
            a.module = read_linear(s);
            break;
        case Described::data_sheet:
            a.module_model = models::ModuleModel::single_diode;
            a.diode = read_data_sheet(s, scenario);
            break;
        case Described::diode:
            a.module_model = models::ModuleModel::single_diode;
            a.diode = read_diode(s);
            break;
    }
    s.finish();
}

}  // namespace

void read_module(Section& array, Scenario& scenario) {
    models::PvArrayParameters& a = scenario.array;
    if (auto module = array.optional_table("module")) {
        refuse_unused(array, {"rated_power", "power_temperature_coefficient", "low_light_efficiency"},
                      "stands in [array.module] when the modules are described there; the array's power "
                      "follows from their number");
        read_module_table(*module, scenario);
        a.modules_in_series = array.count("modules_in_series", 1, 1000, 1);
        a.strings_in_parallel = array.count("strings", 1, 1000, 1);
        return;
    }
    refuse_unused(array, {"modules_in_series", "strings"},
                  "modules can be counted only when one is described in [array.module]");
    a.module_model = models::ModuleModel::linear;
    a.module = read_linear(array);
}

}  // namespace holdwater::scenarios
