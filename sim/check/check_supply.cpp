#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/array/single_diode.hpp"
#include "models/array/string_sizing.hpp"
#include "models/battery/stand_alone_sizing.hpp"
#include "models/electric/small_loads.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/check_rules.hpp"
#include "sim/check/hand_calculation.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::ControllerKind, models::Verdict;
using scenarios::Scenario;

constexpr std::string_view battery_group = "Battery", array_group = "Array and controller",
                           days_group = "Hand calculation";

std::string volts(double v, int digits = 1) { return fmt::format("{} V", figure_text(v, digits)); }
// Absorption voltage of a 12 V block: 14.4 V, common practice, no source.
double absorption_v(Scenario const& s) {
    return s.design_check.absorption_v.value_or(14.4 * std::max(1.0, std::round(s.battery_nominal_v / 12.4)));
}

// The module as on a data sheet; the coefficients are those of the fitted curve around 25 deg C.
models::StringModule module_of(models::SingleDiodeParameters const& p) {
    auto const at = [&](double celsius) { return models::translate(p, 1000, celsius); };
    double const voc_v = models::open_circuit_voltage_v(at(25));
    auto const mpp = models::maximum_power_point(at(25));
    models::StringModule m;
    m.voc_v = voc_v, m.vmp_v = mpp.voltage_v, m.isc_a = models::short_circuit_current_a(at(25));
    m.voc_coefficient_per_k = (models::open_circuit_voltage_v(at(35)) - voc_v) / (10 * voc_v);
    m.vmp_coefficient_per_k =
        (models::maximum_power_point(at(35)).voltage_v - mpp.voltage_v) / (10 * mpp.voltage_v);
    return m;
}

double controller_limit_w(Scenario const& s) {
    return std::min(s.controller.power_limit_w, s.controller.current_limit_a * s.battery_nominal_v);
}

void check_string(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const& a = s.array;
    auto const& c = s.controller;
    auto const module = module_of(a.diode);
    double const n = a.modules_in_series;
    models::StringSite site;
    site.cell_hot_c = s.design_check.hot_cell_c;
    // The limits by kind of building are those of the US code.
    site.voltage_limit_v =
        d.iec() ? c.input_max_v
                : std::min(c.input_max_v, models::site_voltage_limit_v(s.design_check.pv_site));
    site.battery_max_v = absorption_v(s);
    bool const direct = c.kind == ControllerKind::direct;
    site.headroom_v = direct ? c.drop_v : c.headroom_v;
    site.tracking_min_v = direct ? 0 : c.tracking_min_v;
    site.ambient_min_c = s.design_check.record_low_c.value_or(25);
    auto const limits = models::string_limits(module, site);

    Check k = titled("array-cold-volts", array_group, "Open circuit, record low");
    k.source =
        d.iec()
            ? "module coefficient and controller data sheet; the national wiring rules may set a lower limit"
            : "module coefficient, NEC 690.7(A)(1); site limits of 690.7 compared with a public reproduction";
    k.limit_text = "at most " + volts(site.voltage_limit_v);
    if (s.design_check.record_low_c) {
        at_most(k, n * limits.cold_v, site.voltage_limit_v, "V", 1);
        k.value_text = volts(k.value);
        k.detail = fmt::format("{} in series at {}; at most {}.", figure_text(n),
                               temperature_text(site.ambient_min_c, d.options.units), limits.longest);
        if (k.verdict != Verdict::pass)
            k.change =
                fmt::format("At most {} in series, or a controller for more volts: this one is destroyed.",
                            limits.longest);
        k.provenance = provenance_of(s, "check.record_low");
        if (!k.provenance.empty()) k.provenance = "record low: " + k.provenance;
    } else {
        k.value = n * module.voc_v, k.unit = "V";
        k.value_text = volts(k.value) + ", " + temperature_text(25, d.options.units);
        if (k.value > site.voltage_limit_v) k.verdict = Verdict::fail;
        k.change = "Give check.record_low, the lowest air temperature expected.";
    }
    checks.push_back(k);

    Check h = titled("array-hot-volts", array_group, "Best point, hot cells");
    double const needed_v = std::max(site.battery_max_v + site.headroom_v, site.tracking_min_v);
    at_least(h, n * limits.hot_v, needed_v, "V", 1);
    int const digits = digits_apart(h.value, needed_v, 1);
    h.value_text = volts(h.value, digits);
    h.limit_text = "at least " + volts(needed_v, digits);
    h.detail = fmt::format("{} in series, cells at {}; at least {}. Isc {} A", figure_text(n),
                           temperature_text(site.cell_hot_c, d.options.units), limits.shortest,
                           figure_text(module.isc_a * a.strings_in_parallel, 1));
    h.detail +=
        d.iec()
            ? "; the national wiring rules size cable and fuse."
            : fmt::format(
                  ", circuit {} A, conductor and fuse {} A (NEC 690.8).",
                  figure_text(models::source_circuit_current_a(module.isc_a, a.strings_in_parallel), 1),
                  figure_text(models::source_conductor_current_a(module.isc_a, a.strings_in_parallel), 1));
    if (!direct && h.verdict == Verdict::pass && n * module.vmp_v > c.tracking_max_v) {
        h.verdict = Verdict::marginal;
        h.change = "Above the tracking window in the cold: some power is lost.";
    }
    if (h.verdict == Verdict::fail)
        h.change =
            fmt::format("At least {} in series: a hot string does not reach the battery.", limits.shortest);
    checks.push_back(h);
}

}  // namespace

void check_battery(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    std::complex<double> running = d.loads_va;
    for (auto const& p : d.pumps) running += running_va(p);
    Check k = titled("battery-full-load", battery_group, "Power, all running");
    at_most(k, models::dc_input_w(s.inverter, running.real()), 1e3 * s.battery.discharge_limit_kw, "W",
            tight_table);
    std::tie(k.value_text, k.limit_text) = power_texts(k.value, k.limit, "W");
    k.limit_text = std::isfinite(k.limit) ? "at most " + k.limit_text : "none given";
    k.source = "battery's continuous discharge limit";
    k.detail = fmt::format("The inverter at its rating would draw {}.",
                           watts(models::dc_input_w(s.inverter, s.inverter.rated_power_w)));
    if (k.verdict != Verdict::pass) k.change = "More units in parallel, or fewer loads at once.";
    checks.push_back(k);

    Check c = titled("battery-charge", battery_group, "Charging power");
    double const sun_w =
        std::min(controller_limit_w(s), s.controller.efficiency * models::array_rated_power_w(s.array));
    double const charge_to = std::max(s.rules.charge_to, scenarios::generator_charge_to(s.rules));
    double const charger_w = charge_to > 0 ? s.charger.dc_power_limit_w : 0;
    double const limit_w = 1e3 * s.battery.charge_limit_kw;
    at_most(c, sun_w + charger_w, limit_w, "W", 1);
    if (c.verdict == Verdict::fail && std::max(sun_w, charger_w) <= limit_w) c.verdict = Verdict::marginal;
    std::tie(c.value_text, c.limit_text) = power_texts(c.value, limit_w, "W");
    c.limit_text = std::isfinite(limit_w) ? "at most " + c.limit_text : "none given";
    c.source = "battery's charge limit";
    c.detail = charger_w > 0 ? fmt::format("PV {}, charger {}.", watts(sun_w), watts(charger_w))
                             : fmt::format("PV {}.", watts(sun_w));
    if (c.verdict == Verdict::marginal)
        c.change = "Each alone fits, both together do not: set the charger lower or share one limit.";
    if (c.verdict == Verdict::fail)
        c.change =
            fmt::format("Set controller and charger to {} in all, or a larger battery.", watts(limit_w));
    checks.push_back(c);
}

void check_array(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    if (s.array.module_model == models::ModuleModel::single_diode) check_string(d, checks);
    Check k = titled("controller-output", array_group, "Controller output");
    double const array_w = s.controller.efficiency * models::array_rated_power_w(s.array);
    at_most(k, array_w, controller_limit_w(s), "W", 1);
    std::tie(k.value_text, k.limit_text) = power_texts(array_w, k.limit, "W");
    k.limit_text = "at most " + k.limit_text;
    k.detail = fmt::format("{} A into {} V", figure_text(std::min(array_w, k.limit) / s.battery_nominal_v),
                           figure_text(s.battery_nominal_v, 1));
    k.detail +=
        d.iec()
            ? "; the national wiring rules size the circuit."
            : fmt::format("; circuit sized for {} A (NEC 690.8).",
                          figure_text(models::equipment_circuit_current_a(k.limit / s.battery_nominal_v)));
    k.source = d.iec() ? "controller data sheet"
                       : "controller data sheet; 125 %: NEC 690.8, compared with a public reproduction";
    if (k.verdict == Verdict::fail) {
        k.verdict = Verdict::marginal;
        k.change =
            "The rest is left on the roof at noon; ask for the controller's limit on the array's current.";
    }
    checks.push_back(k);
}

void check_days(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const day = day_by_hand(s);
    double const base_kwh = day.base_kwh, pump_kwh = day.pump_kwh, usable_kwh = day.usable_kwh;
    double const day_kwh = base_kwh + pump_kwh;
    bool const backed = s.rules.backup != scenarios::Backup::none;

    Check a = titled("autonomy", days_group, "Days without sun, hand calculation");
    double const least_d = s.design_check.least_autonomy_d.value_or(backed ? 1 : 3);
    if (day_kwh > 0) {
        at_least(a, usable_kwh / day_kwh, least_d, "d", tight_table);
        a.value_text = fmt::format("{} days", figure_text(a.value, digits_apart(a.value, least_d, 1)));
    } else {
        a.verdict = Verdict::pass;
        a.value_text = "no end: no load";
    }
    a.limit_text = fmt::format("at least {:g}", least_d);
    a.detail = fmt::format(
        "{} kWh usable after the battery's discharge loss, {} kWh a day: pump {}, the rest {} (idle draw "
        "included).",
        figure_text(usable_kwh, 1), figure_text(day_kwh, 2), figure_text(pump_kwh, 2),
        figure_text(base_kwh, 2));
    // The usual figure was not promised to anyone, so less than that is MARGINAL and not FAIL.
    if (!s.design_check.least_autonomy_d && a.verdict == Verdict::fail) a.verdict = Verdict::marginal;
    if (!s.design_check.least_autonomy_d)
        a.source = "1 day with backup, 3 without: common practice, no source; say what was promised";
    else
        a.source = "the designer's";
    if (a.verdict != Verdict::pass) a.change = "More battery, less idle draw, or a backup that covers it.";
    checks.push_back(a);

    if (scenarios::works_for_the_bill(s.rules)) {
        // What the battery holds when an outage comes at the end of the hours of the high price.
        double const whole = 1 - s.battery.min_soc, reserve = s.rules.tariff->reserve - s.battery.min_soc;
        double const hours = day_kwh > 0 ? 24 * usable_kwh * (reserve / whole) / day_kwh : 0;
        double longest_h = 0;
        for (auto const& o : s.outages) longest_h = std::max(longest_h, o.end_h - o.start_h);
        Check k = titled("tariff-reserve", days_group, "Outage after the high price");
        k.source = "hand calculation, no sun; longest outage of the scenario";
        if (longest_h > 0) {
            at_least(k, hours, longest_h, "h", 1);
            if (k.verdict == Verdict::fail) k.verdict = Verdict::marginal;
            k.limit_text = fmt::format("at least {} h", figure_text(longest_h, 1));
        } else {
            k.value = hours, k.unit = "h";
            k.limit_text = "no outage given";
        }
        if (day_kwh == 0) k.verdict = Verdict::pass;
        k.value_text = day_kwh > 0 ? fmt::format("{} h", figure_text(hours, 1)) : std::string("no load");
        k.detail =
            fmt::format("From the reserve of {} % to the minimum of {} %.",
                        figure_text(100 * s.rules.tariff->reserve), figure_text(100 * s.battery.min_soc));
        if (k.verdict != Verdict::pass)
            k.change = longest_h > 0
                           ? "Raise tariff.reserve, or more battery: what the tariff saves is paid in "
                             "an outage."
                           : "List [[outage]] or give [outage_statistics].";
        checks.push_back(k);
    }

    Check r = titled("array-to-load", days_group, "Array-to-load ratio, worst month");
    double const wanted = backed ? 1.1 : 1.3;
    r.limit_text = fmt::format("at least {:g}", wanted);
    r.source = "1.1 to 1.4 in the manner of IEEE 1562: from memory";
    std::optional<double> sun_kwh = d.options.darkest_month_kwh_per_day;
    if (sun_kwh) *sun_kwh *= s.controller.efficiency;
    if (s.design_check.sun_h)
        sun_kwh = 1e-3 * models::array_rated_power_w(s.array) * *s.design_check.sun_h *
                  s.design_check.system_factor;
    if (!sun_kwh) {
        r.value_text = "sun not known";
        r.change = "Give check.sun_hours of the worst month, or the weather file.";
    } else if (day_kwh == 0) {
        r.value_text = "no load", r.verdict = Verdict::pass;
    } else {
        double const ratio = *sun_kwh / day_kwh;
        at_least(r, ratio, wanted, "1", 1);
        r.value_text = figure_text(ratio, digits_apart(ratio, wanted, 2));
        if (ratio >= 1 && ratio < wanted) r.verdict = Verdict::marginal;
        double const days = models::recharge_days(
            usable_kwh / s.battery.discharge_efficiency / s.battery.charge_efficiency, ratio, day_kwh);
        r.detail = fmt::format("{} kWh a day in the worst month{}. {}", figure_text(*sun_kwh, 2),
                               s.design_check.sun_h ? "" : " of the weather file",
                               std::isfinite(days)
                                   ? fmt::format("Full again from empty in {} days.", figure_text(days, 1))
                                   : "PV alone never fills it again.");
        bool const refills = backed && s.rules.charge_to > 0;
        if (r.verdict == Verdict::fail && refills) r.verdict = Verdict::marginal;
        if (r.verdict != Verdict::pass)
            r.change = ratio < 1 && refills
                           ? "The backup does the refilling in this month: see its hours in the year."
                           : "More array, a steeper tilt, or less idle draw.";
    }
    checks.push_back(r);
}

}  // namespace holdwater::sim::check_detail
