#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/electric/motor.hpp"
#include "models/electric/source_window.hpp"
#include "models/generator/generator.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::MeasuredStart, models::Verdict;
using scenarios::Scenario;

constexpr std::string_view generator_group = "Generator";
constexpr double fullest = 0.9;  // highest load as a share of the generator's rating at the site

// Smallest generator for a pump by the table [W]; NaN if the table has none.
double needed_w(Design const& d, PumpOnBus const& p) {
    if (p.drive != nullptr) return running_va(p).real() * p.motor->drive_start_ratio;
    auto const need = models::minimum_generator(*p.motor);
    bool const internal = d.scenario->wiring.regulation == scenarios::GeneratorRegulation::internal;
    return 1e3 * (internal ? need.internal_kw : need.external_kw);
}

double site_w(Scenario const& s) {
    return models::site_power_w(*s.generator, std::max(0.0, s.elevation_m),
                                s.generator->derate_temperature_c);
}

void check_table(Design const& d, PumpOnBus const& p, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    Check k = titled("generator-start", generator_group, "Motor start", p);
    double const need_w = needed_w(d, p);
    at_least(k, site_w(s), need_w, "W", tight_table);
    auto const [has, needs] = power_texts(k.value, need_w, "W");
    k.value_text = has + " here";
    k.limit_text = std::isnan(need_w) ? "not in the table" : "at least " + needs;
    k.source = "generator table of a submersible-motor manual; two-wire 50 % more: from memory";
    if (p.drive != nullptr) k.source = practice;
    k.detail = fmt::format(
        "Nameplate {}, at {} above sea; table column for {} regulated generators.",
        watts(s.generator->rated_power_w), length_text(s.elevation_m, d.options.units),
        s.wiring.regulation == scenarios::GeneratorRegulation::internal ? "internally" : "externally");
    if (std::isnan(need_w)) {
        k.verdict = Verdict::unknown;
        k.change = "The table ends at 10 hp: ask the generator's maker for the voltage dip at this start.";
    } else if (k.verdict != Verdict::pass) {
        k.change = fmt::format("A generator of at least {} here, or one whose maker states this start.",
                               watts(tight_table * need_w));
    }
    double const start_va = s.generator_operation.start_va;
    if (std::isfinite(start_va) && p.drive == nullptr) {
        double const asked_va = 1e3 * p.motor->soft_start_ratio * models::locked_rotor_kva(*p.motor);
        k.detail += fmt::format(" Its maker allows a start of {}; asked {}.", power_text(start_va, "VA"),
                                power_text(asked_va, "VA"));
        auto const own = models::verdict_of_margin(start_va / asked_va, tight_table);
        if (own == Verdict::fail) k.verdict = own, k.change = "A larger generator, or a soft start.";
    }
    if (p.cabled && s.design_check.on_generator == MeasuredStart::succeeded && k.verdict != Verdict::pass) {
        k.detail += fmt::format(" By the table {}, but it started on site.", name(k.verdict));
        k.verdict = Verdict::pass;
    }
    if (p.cabled && s.design_check.on_generator == MeasuredStart::failed) {
        k.detail += fmt::format(" By the table {}, but it failed on site.", name(k.verdict));
        k.verdict = Verdict::fail;
        k.change = "Check control box first, then the generator's voltage under load.";
    }
    if (p.cabled && s.generator) k.provenance = provenance_of(s, "generator.rated_power");
    if (!k.provenance.empty()) k.provenance = "generator rating: " + k.provenance;
    checks.push_back(k);
}

void check_charging(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    Check k = titled("generator-charger", generator_group, "Charger beside a start");
    double const draw_through_w = models::pass_through_draw_w(s.inverter);
    double const here_w = site_w(s), loads_w = d.loads_va.real() + draw_through_w;
    double start_room_w = here_w - loads_w, run_room_w = fullest * here_w - loads_w;
    for (auto const& p : d.pumps) {
        double const need_w = needed_w(d, p), run_w = running_va(p).real();
        double others_w = 0;
        for (auto const& o : d.pumps)
            if (&o != &p) others_w += running_va(o).real();
        start_room_w =
            std::min(start_room_w, here_w - loads_w - others_w - (std::isnan(need_w) ? 0 : need_w));
        run_room_w -= run_w;
    }
    double const room_w = std::max(0.0, std::min(start_room_w, run_room_w));
    double const draw_w = models::charger_ac_w(s.charger, s.charger.dc_power_limit_w);
    at_most(k, draw_w, room_w, "W", 1);
    auto const [draw, room] = power_texts(draw_w, room_w, "W");
    k.value_text = draw + " AC";
    k.limit_text = "at most " + room;
    k.source = "table need beside the charger; 90 % of the generator while running: inverter manuals' advice";
    k.detail = fmt::format(
        "Generator power left for the charger: {} at a start, {} with the pump running, both with small "
        "loads of {} and the inverter's own draw of {} on.",
        watts(start_room_w), watts(run_room_w), watts(d.loads_va.real()), watts(draw_through_w));
    double const safe_w = room_w * s.charger.efficiency;
    if (k.verdict == Verdict::fail && s.wiring.charger_folds_back) {
        k.verdict = run_room_w > 0 && start_room_w > 0 ? Verdict::marginal : Verdict::fail;
        k.change =
            fmt::format("Depends on the charger's fold-back: set its AC input limit to {}, and try it.",
                        watts(fullest * here_w));
    } else if (k.verdict == Verdict::fail) {
        k.change = fmt::format("Set the charger to at most {} DC ({} AC), or use one that folds back.",
                               watts(safe_w), watts(room_w));
    }
    checks.push_back(k);
}

void check_acceptance(Design const& d, std::vector<Check>& checks) {
    auto const& w = d.scenario->wiring;
    Check k = titled("generator-accept", generator_group, "Generator within the charger's input window");
    k.source = "input window in the inverter's manual against the generator, at no load and at full load";
    if (w.charger_needs_three_wire && w.generator_three_wire == false) {
        k.value_text = "two-wire generator";
        k.limit_text = "three-wire needed";
        k.verdict = Verdict::fail;
        k.change = "This inverter takes 120/240 V with neutral only: another output, or a transformer.";
    } else if (!w.generator_hz || !w.accepted_hz) {
        k.value_text = k.limit_text = "not known";
        k.change = "Give wiring.generator_frequency (no load, full load) and accepted_frequency.";
    } else {
        scenarios::LoadedPair const hz = *w.generator_hz,
                                    v = w.generator_v.value_or(scenarios::LoadedPair{1, 1});
        bool const volts = w.generator_v && w.accepted_v;
        scenarios::Window const band = volts ? *w.accepted_v : scenarios::Window{0, 1e9};
        models::SourceWindow const window{w.accepted_hz->low, w.accepted_hz->high, band.low, band.high, 0};
        k.value_text = fmt::format("{}-{} Hz", figure_text(hz.no_load, 1), figure_text(hz.full_load, 1));
        k.limit_text = fmt::format("{:g}-{:g} Hz", window.min_hz, window.max_hz);
        if (!volts) k.detail = "Volts not compared: give generator_volts and accepted_volts.";
        switch (models::source_outcome(window, hz.no_load, hz.full_load, v.no_load, v.full_load)) {
            case models::SourceOutcome::accepted:
                k.verdict = Verdict::pass;
                break;
            case models::SourceOutcome::rejected:
                k.verdict = Verdict::fail;
                k.change =
                    "Rejected at no load, so never loaded and never accepted: engine hours and no charge. "
                    "Widen the window or set the governor.";
                break;
            case models::SourceOutcome::flapping:
                k.verdict = Verdict::fail;
                k.change =
                    "Accepted, then dropped under load, again and again. Widen the window, set the "
                    "governor, or charge with less.";
                break;
        }
    }
    checks.push_back(k);
}

}  // namespace

void check_generator(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    if (!scenarios::uses_generator(s.rules) || !s.generator) return;
    for (auto const& p : d.pumps) check_table(d, p, checks);
    if (s.charger.dc_power_limit_w > 0 && scenarios::generator_charge_to(s.rules) > 0) {
        check_charging(d, checks);
        check_acceptance(d, checks);
    }
    MeasuredStart const measured = s.design_check.on_generator;
    if (measured == MeasuredStart::none) return;
    Check k = titled("generator-measured", generator_group, "Start tried on site");
    k.value_text = measured == MeasuredStart::failed ? "failed" : "succeeded";
    k.limit_text = "-";
    k.verdict = models::with_measurement(Verdict::unknown, measured);
    k.source = "measured on site; overrides the table";
    k.provenance = "measured";
    if (measured == MeasuredStart::failed)
        k.change =
            "By the table the generator either starts it or is too small: check control box first "
            "(capacitor, "
            "relay), then its volts under load.";
    checks.push_back(k);
}

}  // namespace holdwater::sim::check_detail
