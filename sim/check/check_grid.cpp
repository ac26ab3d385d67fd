#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "models/generator/generator.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::Verdict;
using scenarios::Scenario;

constexpr std::string_view grid_group = "Grid and transfer";

// What each phase of grid or generator carries while everything runs [VA]: loads and motors, and, if it
// charges, the charger; this and the inverter's own draw load the phases equally.
std::array<double, 3> source_phases_va(Design const& d, bool charges) {
    Scenario const& s = *d.scenario;
    models::PhaseLoad all = d.phases;
    for (auto const& p : d.pumps)
        all.balanced_w += running_va(p).real(), all.balanced_var += running_va(p).imag();
    all.balanced_w += models::pass_through_draw_w(s.inverter);
    if (charges) {
        double const w = models::charger_ac_w(s.charger, s.charger.dc_power_limit_w),
                     pf = s.charger.power_factor;
        all.balanced_w += w;
        all.balanced_var += w / pf * std::sqrt(1 - pf * pf);
    }
    return models::phase_va(all);
}

std::string phase_name(std::array<double, 3> const& va) {
    return fmt::format("L{}", std::max_element(va.begin(), va.end()) - va.begin() + 1);
}

constexpr std::string_view not_by_phase =
    " The run holds this source to its power in all, not phase by phase, and its three voltages are taken as "
    "equal.";

void check_grid_phase(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    double const breaker_a = s.wiring.main_breaker_a;
    if (s.inverter.legs != 3 || s.rules.backup != scenarios::Backup::grid || breaker_a == 0) return;
    double const phase_v = s.inverter.output_v / std::numbers::sqrt3;
    bool const charges = s.rules.charge_to > 0 || s.rules.forewarned_h > 0;
    auto const va = source_phases_va(d, charges);
    Check k = titled("grid-phase", grid_group, "Main breaker, fullest phase");
    at_most(k, *std::max_element(va.begin(), va.end()) / phase_v, breaker_a, "A", tight_power);
    int const digits = digits_apart(k.value, breaker_a, 1);
    k.value_text = fmt::format("{} A, {}", figure_text(k.value, digits), phase_name(va));
    k.limit_text = fmt::format("at most {} A", figure_text(breaker_a, digits));
    k.detail = fmt::format("All running{}: L1 {} A, L2 {} A, L3 {} A at {} V to neutral.{}",
                           charges && s.charger.dc_power_limit_w > 0 ? ", charger at its limit" : "",
                           figure_text(va[0] / phase_v, 1), figure_text(va[1] / phase_v, 1),
                           figure_text(va[2] / phase_v, 1), figure_text(phase_v), not_by_phase);
    k.source = "main breaker as given; band of 25 %: common practice, no source";
    if (k.verdict != Verdict::pass)
        k.change =
            "Move single-phase loads to another phase, set the charger lower, or ask the utility for more.";
    checks.push_back(k);
}

void check_generator_phase(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    if (s.inverter.legs != 3 || !scenarios::uses_generator(s.rules) || !s.generator) return;
    auto const& g = *s.generator;
    double const site_share =
        models::site_power_w(g, std::max(0.0, s.elevation_m), g.derate_temperature_c) / g.rated_power_w;
    bool const given = s.wiring.generator_phase_va > 0;
    double const phase_va = given ? s.wiring.generator_phase_va : g.rated_power_w / g.power_factor / 3;
    bool const charges = scenarios::generator_charge_to(s.rules) > 0;
    auto const va = source_phases_va(d, charges);
    Check k = titled("generator-phase", "Generator", "Fullest phase, all running");
    at_most(k, *std::max_element(va.begin(), va.end()), site_share * phase_va, "VA", tight_table);
    std::tie(k.value_text, k.limit_text) = power_texts(k.value, k.limit, "VA");
    k.value_text += ", " + phase_name(va);
    k.limit_text = "at most " + k.limit_text;
    k.detail = fmt::format(
        "L1 {}, L2 {}, L3 {}{}.{}", power_text(va[0], "VA"), power_text(va[1], "VA"), power_text(va[2], "VA"),
        charges && s.charger.dc_power_limit_w > 0 ? ", charger at its limit" : "", not_by_phase);
    k.source = given ? "generator data sheet, rating of each phase"
                     : "a third of the generator's rating on each phase: common practice, no source";
    if (k.verdict != Verdict::pass)
        k.change = "Move single-phase loads to another phase, set the charger lower, or a larger generator.";
    checks.push_back(k);
}

// What happens while the inverter is bypassed, and if the grid goes then.
void check_bypass(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    double const listed_h = scenarios::listed_bypass_h(s.rules);
    bool const by_hand = scenarios::bypassed_by_hand(s.rules);
    if (!by_hand && listed_h == 0) return;
    double longest_h = by_hand ? s.rules.hand_response_h : 0;
    for (auto const& b : s.rules.bypass) longest_h = std::max(longest_h, b.end_h - b.start_h);
    auto const hours = [](double h) { return fmt::format("{} h", figure_text(h)); };
    Check k = titled("bypass", grid_group, "Grid lost while bypassed");
    k.value = longest_h, k.unit = "h";
    k.value_text = fmt::format("no power up to {}", hours(longest_h));
    k.limit_text = "-";
    k.verdict = s.outages.empty() ? Verdict::pass : Verdict::marginal;
    if (by_hand)
        k.detail = fmt::format(
            "At {} % SOC someone puts pump and loads straight on the grid, and back at {} %, "
            "each time {} later. ",
            figure_text(100 * s.rules.transfer_below), figure_text(100 * s.rules.return_above),
            hours(s.rules.hand_response_h));
    if (listed_h > 0) k.detail += fmt::format("Listed bypass: {} in the year. ", hours(listed_h));
    k.detail +=
        "While bypassed, the inverter draws nothing and the grid does not charge the battery: only the sun "
        "does. If the grid goes then, pump and loads have no power until someone has switched back or it "
        "returns. Each switch, there and back, stops a running pump: one more start.";
    if (s.outages.empty()) k.detail += " No outage is given, so none is in the run.";
    if (k.verdict != Verdict::pass)
        k.change = by_hand ? "A transfer that acts by itself (backup.transfer = \"automatic\"), or "
                             "someone who is there sooner (hand_response)."
                           : "Fill tank and cistern before, and say who switches back if the grid goes.";
    k.source = practice;
    checks.push_back(k);
}

}  // namespace

void check_grid(Design const& d, std::vector<Check>& checks) {
    check_grid_phase(d, checks);
    check_generator_phase(d, checks);
    check_bypass(d, checks);
}

}  // namespace holdwater::sim::check_detail
