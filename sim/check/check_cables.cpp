#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::Verdict;
using scenarios::Scenario;

constexpr std::string_view cables_group = "Cables and breaker";
constexpr double close_call =
    0.005;  // of the voltage beyond the limit: currents of other tables differ by this

struct Run {
    double length_m = 0, drop_v = 0;
    bool one_size = true;
};

// `drop_ratio`: PumpOnBus::drop_ratio.
Run run_of(Scenario const& s, double current_a, double drop_ratio) {
    Run r;
    for (auto const& c : s.wiring.cables) {
        r.length_m += c.length_m;
        r.drop_v += drop_ratio * models::voltage_drop_v({c.length_m, c.ohm_per_m}, current_a);
        r.one_size = r.one_size && c.size == s.wiring.cables.front().size;
    }
    return r;
}

std::string size_text(std::string const& size) {
    return models::section_mm2(size) > 0 ? size : "AWG " + size;
}

std::string better_size(double length_m, double current_a, double volts, double drop, bool metric) {
    try {
        if (metric)
            return fmt::format("{:g} mm2 throughout for the drop; look up its ampacity",
                               models::smallest_section_mm2(0, length_m, current_a, volts, drop));
        auto const& c = models::smallest_copper(models::motor_branch_ampacity_a(0, current_a), length_m,
                                                current_a, volts, drop);
        return fmt::format("AWG {} throughout", c.size);
    } catch (models::ParameterError const&) {
        return fmt::format("no copper up to {} does: raise the volts or move the source",
                           metric ? "240 mm2" : "4/0");
    }
}

std::string computed_text(double coldest_c, double hottest_c, ShownUnits units) {
    std::string at = temperature_text(hottest_c, units);
    if (coldest_c < hottest_c) at = temperature_text(coldest_c, units) + " to " + at;
    return fmt::format(
        " Resistance of the mm2 sizes computed from copper's resistivity at {}; the cable's data sheet "
        "rules.",
        at);
}

// The limit of the running drop and where it is from. With IEC rules it counts only if both are given.
void set_drop_source(Design const& d, Check& k) {
    auto const& c = d.scenario->design_check;
    k.source = c.run_drop_source.empty()
                   ? std::string(
                         "5 % for submersible pump cable: electrical trade magazine, 1995, and a motor "
                         "maker's tables") +
                         (d.iec() ? "" : "; advice of the code's notes 210.19, 215.2 from memory")
                   : c.run_drop_source;
    if (!d.iec() || !c.run_drop_source.empty()) return;
    k.verdict = Verdict::unknown;
    k.change = c.run_drop_given ? "Say where the limit was read: give check.run_drop_source."
                                : "Look up the voltage drop that the national wiring rules and the motor "
                                  "maker's manual allow, and "
                                  "give it as check.run_drop with check.run_drop_source.";
}

void check_drop(Design const& d, PumpOnBus const& pump, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    double const amps = running_a(pump), volts = pump.motor->volts, limit = s.design_check.run_drop;
    Run const run = run_of(s, amps, pump.drop_ratio());
    Check k = titled("cable-drop", cables_group, "Voltage drop, running");
    at_most(k, run.drop_v / volts, limit, "1", 1);
    if (k.verdict == Verdict::fail && k.value <= limit + close_call + 1e-12) k.verdict = Verdict::marginal;
    k.value_text =
        fmt::format("{} %, {}", figure_text(100 * k.value, digits_apart(100 * k.value, 100 * limit, 2)),
                    length_text(run.length_m, d.options.units));
    k.limit_text = fmt::format("at most {:g} %", 100 * limit);
    k.detail = fmt::format("{} A, {}.", figure_text(amps, 1), running_a_source(pump));
    auto const& first = s.wiring.cables.front();
    if (run.one_size)
        k.detail += fmt::format(
            " At most {} of {}.",
            length_text(models::longest_run_m(limit, volts, amps, first.ohm_per_m) / pump.drop_ratio(),
                        d.options.units),
            size_text(first.size));
    bool const metric = models::section_mm2(first.size) > 0;
    double coldest_c = std::numeric_limits<double>::infinity(), hottest_c = -coldest_c;
    for (auto const& c : s.wiring.cables)
        if (c.computed)
            coldest_c = std::min(coldest_c, c.conductor_c), hottest_c = std::max(hottest_c, c.conductor_c);
    if (coldest_c <= hottest_c) k.detail += computed_text(coldest_c, hottest_c, d.options.units);
    if (k.verdict != Verdict::pass)
        k.change = better_size(pump.drop_ratio() * run.length_m, amps, volts, limit, metric) +
                   "; a maker's own cable table rules.";
    if (k.verdict == Verdict::marginal)
        k.change = "Half a point over is within what tables differ. " + k.change;
    set_drop_source(d, k);
    k.provenance = provenance_of(s, "motor.full_load");
    if (!k.provenance.empty()) k.provenance = "full-load amps: " + k.provenance;
    checks.push_back(k);

    double const source = source_v(s.inverter, volts);
    if (source == 0) return;
    Check v = titled("motor-run-volts", cables_group, "Motor voltage while running");
    v.value = (source - run.drop_v) / volts, v.unit = "1";
    v.margin = std::min(v.value / 0.9, 1.1 / v.value);
    v.limit = v.value < 1 ? 0.9 : 1.1;
    v.verdict = models::verdict_of_margin(v.margin, 1);
    v.value_text = fmt::format("{} %", figure_text(100 * v.value, 1));
    v.limit_text = "90 to 110 %";
    v.source = d.iec() ? std::string("90 to 110 % of rated volts: ") + std::string(practice)
                       : "NEMA MG 1, as a trade article on submersible pumps states it";
    if (v.verdict != Verdict::pass) v.change = "Less drop, or other output volts.";
    checks.push_back(v);
}

// Ampacity at the ambient temperature and with the conductors beside it; 0: not known. With IEC rules the
// table of the US code is not used.
double cable_ampacity_a(scenarios::CableSegment const& c, bool iec) {
    if (c.ampacity_a > 0) return iec && c.ampacity_source.empty() ? 0 : c.ampacity_a;
    if (iec || models::section_mm2(c.size) > 0) return 0;
    return models::corrected_ampacity_a(models::copper(c.size), c.insulation, c.terminals, c.ambient_c,
                                        c.current_carrying);
}

// With IEC rules: running current <= rated current of the protection <= ampacity. The motor protection, if
// there is one, protects the cable against overload in place of the breaker. Form of IEC 60364-4-43, from
// memory.
constexpr std::string_view overload_rule =
    "running current <= protection <= ampacity: form of IEC 60364-4-43, from memory; the national wiring "
    "rules "
    "decide";

double iec_cable_need_a(Design const& d, PumpOnBus const& pump) {
    auto const& w = d.scenario->wiring;
    return std::max(running_a(pump), w.motor_protection_a > 0 ? w.motor_protection_a : w.breaker_a);
}

std::string ampacity_source(Design const& d, scenarios::CableSegment const& c) {
    std::string const read = "ampacity: " + c.ampacity_source;
    if (d.iec()) return fmt::format("{}; {}", read, overload_rule);
    if (!c.ampacity_source.empty()) return read + "; 125 % of NEC 430.22: from memory";
    return c.ampacity_a > 0
               ? "ampacity as given in cable.ampacity; 125 % of NEC 430.22: from memory"
               : "NEC Table 310.16 (2017 to 2023) and 310.15(B)(1), 2021: compared with a public "
                 "reproduction in part; 125 % of 430.22: from memory";
}

void check_ampacity(Design const& d, PumpOnBus const& pump, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    double const need_a =
        d.iec() ? iec_cable_need_a(d, pump) : models::motor_branch_ampacity_a(running_a(pump), 0);
    scenarios::CableSegment const *worst = nullptr, *not_known = nullptr;
    double least_a = std::numeric_limits<double>::infinity();
    for (auto const& c : s.wiring.cables) {
        double const a = cable_ampacity_a(c, d.iec());
        if (a == 0)
            not_known = not_known == nullptr ? &c : not_known;
        else if (a < least_a)
            least_a = a, worst = &c;
    }
    Check k = titled("cable-ampacity", cables_group, "Ampacity");
    k.limit_text = fmt::format("at least {:.1f} A", need_a);
    if (worst != nullptr) {
        at_least(k, least_a, need_a, "A", 1);
        k.value_text = fmt::format("{:.1f} A, {}", least_a, size_text(worst->size));
        k.source = ampacity_source(d, *worst);
        k.detail = worst->ampacity_a > 0 ? std::string("Lowest ampacity of the cable lengths.")
                                         : fmt::format("Lowest ampacity of the cable lengths, at {}.",
                                                       temperature_text(worst->ambient_c, d.options.units));
        if (k.verdict != Verdict::pass) k.change = "Thicker conductor, better insulation, or a cooler run.";
    }
    if (not_known != nullptr && k.verdict != Verdict::fail) {
        k = titled("cable-ampacity", cables_group, "Ampacity");
        bool const unsaid = not_known->ampacity_a > 0;
        k.value_text = unsaid ? fmt::format("{:.1f} A, {}, not said where from", not_known->ampacity_a,
                                            size_text(not_known->size))
                              : fmt::format("not known, {}", size_text(not_known->size));
        k.limit_text = fmt::format("at least {:.1f} A", need_a);
        k.source =
            d.iec() ? std::string(overload_rule)
                    : "125 % of the running current, NEC 430.22: from memory; no ampacity table for mm2 here";
        k.change =
            unsaid ? "Say where the ampacity was read: give cable.ampacity_source."
                   : "Look up the ampacity of this section, insulation and way of laying in the local wiring "
                     "rules or the cable's data sheet, and give it as cable.ampacity.";
        if (d.iec() && !unsaid) k.change.insert(k.change.size() - 1, " with cable.ampacity_source");
    }
    checks.push_back(k);
}

// With IEC rules: at least the running current, and without motor protection at most the cable's ampacity.
void check_iec_breaker(Design const& d, PumpOnBus const& pump, std::vector<Check>& checks) {
    auto const& w = d.scenario->wiring;
    double const amps = running_a(pump);
    Check k = titled("breaker", cables_group, "Breaker of the pump");
    k.source = overload_rule;
    double least_ampacity_a = std::numeric_limits<double>::infinity();
    for (auto const& c : w.cables) least_ampacity_a = std::min(least_ampacity_a, cable_ampacity_a(c, true));
    bool const protects_cable = w.motor_protection_a == 0;
    bool const known = !w.cables.empty() && least_ampacity_a > 0;
    k.limit_text = protects_cable && known
                       ? fmt::format("{} to {} A", figure_text(amps, 1), figure_text(least_ampacity_a, 1))
                       : fmt::format("at least {} A", figure_text(amps, 1));
    if (w.breaker_a == 0) {
        k.value_text = "not given";
        k.change = "Read it and give wiring.breaker.";
        checks.push_back(k);
        return;
    }
    at_least(k, w.breaker_a, amps, "A", 1);
    k.value_text = fmt::format("{} A", figure_text(w.breaker_a, digits_apart(w.breaker_a, amps, 0)));
    if (k.verdict == Verdict::fail) k.change = "Too small: it trips in service.";
    if (protects_cable && k.verdict == Verdict::pass) {
        if (!known) {
            k.verdict = Verdict::unknown;
            k.change =
                "It must not be above the cable's ampacity: give that with its source, or "
                "wiring.motor_protection.";
        } else if (w.breaker_a > least_ampacity_a && !same_figure(w.breaker_a, least_ampacity_a)) {
            at_most(k, w.breaker_a, least_ampacity_a, "A", 1);
            k.change =
                "Too large to protect the cable against overload: smaller breaker, thicker cable, or motor "
                "protection.";
        }
    }
    if (!protects_cable)
        k.detail =
            "The motor protection guards against overload; the national wiring rules say how large the "
            "breaker "
            "may be as short-circuit protection.";
    checks.push_back(k);
}

void check_breaker(Design const& d, PumpOnBus const& pump, std::vector<Check>& checks) {
    if (d.iec()) {
        check_iec_breaker(d, pump, checks);
        return;
    }
    Scenario const& s = *d.scenario;
    // The upper limit follows from the table current, not from the draw of a submersible; the lower one
    // follows from the draw.
    double const amps = running_a(pump), table_a = table_full_load_a(pump);
    double const most_a =
        models::next_overcurrent_a(models::motor_breaker_limit_a(table_a > 0 ? table_a : amps));
    Check k = titled("breaker", cables_group, "Breaker of the pump");
    k.limit_text = fmt::format("{} to {} A", figure_text(std::ceil(1.25 * amps)), figure_text(most_a));
    k.source =
        "NEC 430.52, inverse-time breaker 250 % of table amps, and 240.6(A): from memory; 125 % below: "
        "common practice, no source";
    if (s.wiring.breaker_a == 0) {
        k.value_text = "not given";
        k.change = "Read it and give wiring.breaker.";
    } else {
        k.value = s.wiring.breaker_a, k.unit = "A";
        k.limit = k.value > 1.25 * amps ? most_a : 1.25 * amps;
        k.margin = std::min(most_a / k.value, k.value / (1.25 * amps));
        k.verdict = models::verdict_of_margin(k.margin, 1);
        k.value_text = fmt::format("{} A", figure_text(k.value));
        if (k.verdict != Verdict::pass)
            k.change =
                k.value > most_a ? "Too large to protect the branch." : "Too small: it trips in service.";
    }
    checks.push_back(k);
}

void check_dc(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const& w = s.wiring;
    Check k = titled("dc-cable", cables_group, "Battery cable");
    k.source = "NEC Table 310.16, 75 °C column, and 125 %: compared with a public reproduction in part";
    double const rated_w = models::dc_input_w(s.inverter, s.inverter.rated_power_w);
    double const volts = s.inverter.low_voltage_v > 0 ? s.inverter.low_voltage_v : 0.9 * s.battery_nominal_v;
    double const amps = rated_w / volts;
    // 125 % of the US code; with IEC rules the protection in the circuit, if it is larger than the current.
    double const cable_a = d.iec() ? std::max(amps, w.dc_fuse_a) : 1.25 * amps;
    double const fuse_a = d.iec() ? amps : 1.25 * amps;
    if (d.iec()) k.source = overload_rule;
    k.detail =
        fmt::format("Inverter at its rating draws {} A at {} V.", figure_text(amps), figure_text(volts, 1));
    if (w.dc_size.empty()) {
        k.value_text = "not given";
        k.limit_text = fmt::format("at least {} A", figure_text(cable_a));
        k.change = "Give wiring.dc_cable_size and dc_cable_length.";
        checks.push_back(k);
    } else {
        k.limit_text = fmt::format("at least {:.0f} A", cable_a);
        bool const unsaid = d.iec() && w.dc_ampacity_a > 0 && w.dc_ampacity_source.empty();
        bool const given = w.dc_ampacity_a > 0 && !unsaid;
        bool const known = given || (!d.iec() && models::section_mm2(w.dc_size) == 0);
        if (known) {
            double const able_a = given ? w.dc_ampacity_a : models::copper(w.dc_size).amp_75c;
            at_least(k, able_a, cable_a, "A", 1);
            k.value_text = fmt::format("{:.0f} A, {}", able_a, size_text(w.dc_size));
            if (given)
                k.source = (w.dc_ampacity_source.empty()
                                ? std::string("ampacity as given in wiring.dc_cable_ampacity")
                                : "ampacity: " + w.dc_ampacity_source) +
                           "; " + (d.iec() ? std::string(overload_rule) : "125 %: from memory");
        } else {
            k.value_text = unsaid ? fmt::format("{:.0f} A, {}, not said where from", w.dc_ampacity_a,
                                                size_text(w.dc_size))
                                  : fmt::format("not known, {}", size_text(w.dc_size));
            if (!d.iec())
                k.source = "125 % of the inverter's current: from memory; no ampacity table for mm2 here";
            k.change =
                unsaid
                    ? "Say where the ampacity was read: give wiring.dc_cable_ampacity_source."
                    : "Look up the cable's ampacity in its data sheet or the local wiring rules and give it "
                      "as wiring.dc_cable_ampacity.";
            if (d.iec() && !unsaid) k.change.insert(k.change.size() - 1, " with dc_cable_ampacity_source");
        }
        if (known && k.verdict != Verdict::pass)
            k.change = "Thicker cable or two in parallel, as the inverter's manual says.";
        checks.push_back(k);
    }
    if (w.dc_ohm > 0) {
        Check v = titled("dc-drop", cables_group, "Drop in battery cable");
        at_most(v, amps * w.dc_ohm / volts, 0.02, "1", 1);
        v.value_text = fmt::format("{} %", figure_text(100 * v.value, digits_apart(100 * v.value, 2, 2)));
        v.limit_text = "at most 2 %";
        if (w.dc_computed) v.detail = computed_text(75, 75, d.options.units).substr(1);
        if (v.verdict != Verdict::pass) v.change = "Shorter or thicker battery cable.";
        checks.push_back(v);
    }
    if (w.dc_fuse_a > 0) {
        Check f = titled("dc-fuse", cables_group, "Battery fuse");
        at_least(f, w.dc_fuse_a, fuse_a, "A", 1);
        int const digits = digits_apart(w.dc_fuse_a, f.limit, 0);
        f.value_text = fmt::format("{} A", figure_text(w.dc_fuse_a, digits));
        f.limit_text = fmt::format("at least {} A", figure_text(f.limit, digits));
        f.source = d.iec()
                       ? std::string(overload_rule)
                       : "125 % of the equipment's current: NEC 690.8, compared with a public reproduction";
        if (f.verdict != Verdict::pass) f.change = "The fuse the inverter's manual names.";
        checks.push_back(f);
    }
}

}  // namespace

void check_cables(Design const& d, std::vector<Check>& checks) {
    auto const found =
        std::find_if(d.pumps.begin(), d.pumps.end(), [](PumpOnBus const& p) { return p.cabled; });
    if (d.scenario->wiring.cables.empty()) {
        Check k = titled("cable-drop", cables_group, "Voltage drop, running");
        k.value_text = "no cable given";
        k.limit_text = fmt::format("at most {:g} %", 100 * d.scenario->design_check.run_drop);
        k.change = "Give each length between inverter and motor as [[cable]]: length, size.";
        checks.push_back(k);
    } else {
        check_drop(d, *found, checks);
        check_ampacity(d, *found, checks);
    }
    check_breaker(d, *found, checks);
    check_dc(d, checks);
}

}  // namespace holdwater::sim::check_detail
