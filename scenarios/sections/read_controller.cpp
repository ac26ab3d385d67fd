#include "scenarios/sections/read_controller.hpp"

#include <fmt/format.h>

#include "models/array/single_diode.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

using models::ControllerKind;

constexpr double hot_cell_c = 65;

void read_window(Section& s, models::ChargeControllerParameters& c) {
    c.input_max_v = s.quantity("input_max", "V", {1, 2000}, c.input_max_v);
    if (c.kind == ControllerKind::direct) {
        c.tracking_max_v = c.input_max_v;  // not used, but the rule of the model holds for both kinds
        refuse_unused(s, {"tracking_min", "tracking_max", "headroom", "start_margin", "run_margin"},
                      "belongs to an MPPT controller; a PWM controller joins the array to the battery's "
                      "voltage and tracks nothing");
        return;
    }
    refuse_unused(s, {"drop"}, "belongs to a PWM controller; an MPPT controller has 'efficiency' instead");
    c.tracking_min_v = s.quantity("tracking_min", "V", {0, 2000}, c.tracking_min_v);
    c.tracking_max_v = s.quantity("tracking_max", "V", {1, 2000}, c.input_max_v);
    c.headroom_v = s.quantity("headroom", "V", {0, 20}, c.headroom_v);
    c.start_margin_v = s.quantity("start_margin", "V", {0, 50}, c.start_margin_v);
    c.run_margin_v = s.quantity("run_margin", "V", {0, 50}, c.run_margin_v);
}

void read_limits(Section& s, models::ChargeControllerParameters& c) {
    if (!s.has("power_limit") && !s.has("current_limit"))
        s.fail("", "needs 'power_limit' or 'current_limit': the most it puts into the battery");
    c.power_limit_w = s.quantity("power_limit", "W", {1, 1e6}, no_limit);
    c.current_limit_a = s.quantity("current_limit", "A", {0.1, 1e4}, no_limit);
}

// A string that is too short for the battery cannot charge it. This warns before the year is run.
void warn_of_short_string(Scenario& scenario) {
    models::PvArrayParameters const& a = scenario.array;
    models::ChargeControllerParameters const& c = scenario.controller;
    if (a.module_model != models::ModuleModel::single_diode) return;
    bool const direct = c.kind == ControllerKind::direct;
    double const best_v =
        a.modules_in_series * models::maximum_power_point(a.diode, 1000, hot_cell_c).voltage_v;
    double const needed_v = scenario.battery_nominal_v + (direct ? c.drop_v : c.headroom_v);
    if (best_v < needed_v)
        scenario.warnings.push_back(fmt::format(
            "array: the string's best voltage with hot cells ({:.0f} degC) is {:.1f} V, below the {:.1f} V "
            "that the controller needs to charge the battery; put more modules in series",
            hot_cell_c, best_v, needed_v));
}

}  // namespace

void read_controller(Section s, Scenario& scenario) {
    models::ChargeControllerParameters& c = scenario.controller;
    bool const knows_voltage = scenario.array.module_model == models::ModuleModel::single_diode;
    c.kind = s.choice("kind",
                      std::array{std::pair{std::string_view("mppt"), ControllerKind::maximum_power_point},
                                 std::pair{std::string_view("pwm"), ControllerKind::direct}},
                      ControllerKind::maximum_power_point);
    scenario.battery_nominal_v = s.quantity("battery_voltage", "V", {6, 1000}, scenario.battery_nominal_v);
    if (!knows_voltage) {
        std::string const why =
            "needs the array's voltage, which a module described by its rated power alone does not have; "
            "give [array.module] with described_by = \"data sheet\" or \"diode\"";
        if (c.kind == ControllerKind::direct) s.fail("kind", "\"pwm\" " + why);
        refuse_unused(
            s, {"input_max", "tracking_min", "tracking_max", "headroom", "start_margin", "run_margin"}, why);
    }
    read_window(s, c);
    read_limits(s, c);
    if (c.kind == ControllerKind::direct) {
        refuse_unused(
            s, {"efficiency"},
            "belongs to an MPPT controller; what a PWM controller loses is its voltage, key 'drop'");
        c.efficiency = 1;
        c.drop_v = s.quantity("drop", "V", {0, 5}, scenario.battery_nominal_v / 12 * 0.5);
    } else {
        c.efficiency = s.number("efficiency", {0.5, 1}, 0.97);
    }
    c.standby_w = s.quantity("standby", "W", {0, 100}, 2);
    s.checked([&] { models::validate(c); });
    warn_of_short_string(scenario);
    s.finish();
}

}  // namespace holdwater::scenarios
