#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/electric/motor.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/pump_cycle.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/base/shown_figure.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::Verdict;
using scenarios::Scenario;

constexpr std::string_view tank_group = "Pressure tank", pump_group = "Pump";

void check_precharge(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const& t = s.tank;
    Check k = titled("tank-precharge", tank_group, "Precharge");
    k.value = t.precharge_kpa, k.limit = t.cut_in_kpa - 2 * models::kpa_per_psi, k.unit = "kPa";
    k.value_text = pressure_text(k.value, d.options.units);
    k.limit_text = "about " + pressure_text(k.limit, d.options.units);
    double const below_psi = (t.cut_in_kpa - t.precharge_kpa) / models::kpa_per_psi;
    k.verdict = below_psi <= 0 || t.precharge_kpa <= 0 ? Verdict::fail
                : below_psi < 0.9 || below_psi > 4.1   ? Verdict::marginal
                                                       : Verdict::pass;
    k.source =
        "2 psi below cut-in: consumer guides to pressure tanks; band 1 to 4 psi: common practice, no source";
    if (k.verdict != Verdict::pass)
        k.change = "Shut off, drain, and set the air with the tank empty of water.";
    k.detail = fmt::format("Drawdown {} per cycle, of a tank of {}.",
                           volume_text(models::drawdown_m3(t), d.options.units),
                           volume_text(t.total_volume_m3, d.options.units));
    if (t.air_fraction < 1)
        k.detail += fmt::format(" Only {} % of its air is left.", figure_text(100 * t.air_fraction));
    k.provenance = provenance_of(s, "tank.precharge");
    if (!k.provenance.empty()) k.provenance = "precharge: " + k.provenance;
    checks.push_back(k);
}

void check_runs(Design const& d, PumpOnBus const& p, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const& t = s.tank;
    auto const fill = models::make_fill_curve(t, *p.pump, *p.motor, *p.piping, p.lift);
    double const run_s = models::time_to_reach_s(fill, fill.cut_in_m3, fill.cut_out_m3, 0);
    double const flow = models::flow_at_m3_s(fill, fill.cut_in_m3), water = models::drawdown_m3(t);
    Check k = titled("shortest-run", tank_group, "Shortest run, taps shut");
    at_least(k, run_s, p.motor->min_run_s, "s", tight_table);
    int const digits = digits_apart(run_s, k.limit, 0);
    k.value_text = fmt::format("{} s", figure_text(run_s, digits));
    k.limit_text = fmt::format("at least {} s", figure_text(k.limit, digits));
    k.source = "one-minute rule: drilling trade magazine and a motor maker's manual";
    k.detail = fmt::format("Pump {} at cut-in.", flow_text(flow, d.options.units));
    if (k.verdict != Verdict::pass)
        k.change = fmt::format(
            "Tanks of {} in all.",
            volume_text(models::volume_for_min_run_m3(t, flow, p.motor->min_run_s), d.options.units));
    checks.push_back(k);

    Check n = titled("starts-per-day", tank_group, "Starts a day, hand calculation");
    double const day_m3 = busiest_day_m3(s.demand);
    double const mean_flow = water / run_s;
    double tap = s.demand.tap_flow_m3_s;
    for (auto const& use : s.demand.uses) tap = std::max(tap, use.tap_flow_m3_s);
    double const starts =
        starts_of_day(busiest_day(s.demand), water, models::stored_water_m3(t, t.cut_in_kpa), mean_flow);
    at_most(n, starts, models::max_starts_per_day(*p.motor), "1/d", tight_power);
    int const starts_digits = digits_apart(starts, n.limit, 0);
    n.value_text = figure_text(starts, starts_digits);
    n.limit_text = fmt::format("at most {}", figure_text(n.limit, starts_digits));
    n.source = "frequency-of-starts table of a submersible-motor application manual, 60 Hz";
    n.detail = fmt::format(
        "Hand calculation for the busiest day: {}, taps at {}. Most starts per hour the tank allows: {}. "
        "Leaks not listed are in addition.",
        volume_text(day_m3, d.options.units), flow_text(tap, d.options.units),
        figure_text(3600 * mean_flow / (4 * water)));
    if (scenarios::draws_events(s.demand))
        n.detail +=
            " With one draw at the beginning of each hour; the year's run draws single uses, which start the "
            "pump more often.";
    if (n.verdict != Verdict::pass) n.change = "A larger tank, or find what draws a little all day.";
    checks.push_back(n);
}

// Whether taps that stay open empty the tank during a transfer, after which a switch with a low-pressure
// cutoff stays off.
void check_cutoff(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    if (!s.cutoff) return;
    auto const& c = *s.cutoff;
    double tap = s.demand.tap_flow_m3_s;
    for (auto const& use : s.demand.uses) tap = std::max(tap, use.tap_flow_m3_s);
    double const above_m3 =
        models::stored_water_m3(s.tank, s.tank.cut_in_kpa) - models::stored_water_m3(s.tank, c.cutoff_kpa);
    bool const transfers = s.rules.backup != scenarios::Backup::none;
    Check k = titled("low-pressure-cutoff", tank_group, "Low-pressure cutoff");
    k.value = tap > 0 ? above_m3 / tap : std::numeric_limits<double>::infinity();
    k.limit = transfers ? s.rules.break_s : 0, k.unit = "s";
    k.value_text = std::isfinite(k.value) ? fmt::format("{} s", figure_text(k.value)) : "no taps";
    k.limit_text = transfers ? fmt::format("more than {} s", figure_text(k.limit, k.limit < 1 ? 2 : 0)) : "-";
    k.verdict = c.by_hand && transfers && k.value <= k.limit ? Verdict::marginal : Verdict::pass;
    k.source = "pressure switches with a cutoff lever: common practice, no source";
    k.detail = fmt::format(
        "With a tap of {} open at cut-in and the pump off, the pressure falls to {} within this time and the "
        "switch opens. ",
        flow_text(tap, d.options.units), pressure_text(c.cutoff_kpa, d.options.units));
    if (c.cutoff_kpa < s.tank.precharge_kpa)
        k.detail += "The precharge is above it: the tank is then empty. ";
    k.detail += c.by_hand ? "The pump then stays off until someone on site holds the lever, also after the "
                            "supply is back."
                          : "It resets itself.";
    if (k.verdict != Verdict::pass)
        k.change =
            "Each transfer with open taps can lock the pump out: take a control that resets itself, a larger "
            "tank, or a faster transfer.";
    checks.push_back(k);
}

// Flow at which the pump, or pump and motor, have their best efficiency [m3/s].
double best_flow_m3_s(models::PumpParameters const& pump) {
    models::PumpCurve const curve(pump);
    double best = 0, at = 0;
    for (int i = 1; i <= 400; ++i) {
        double const q = curve.max_flow_m3_s * i / 400, efficiency = q * curve.head_m(q) / curve.power_w(q);
        if (efficiency > best) best = efficiency, at = q;
    }
    return at;
}

void check_range(Design const& d, PumpOnBus const& p, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    auto const most = point_at(at_full_well(p), p.at_tank ? s.tank.cut_in_kpa : 0);
    auto const least = point_at(p, p.at_tank ? s.tank.cut_out_kpa : 0);
    double const best = best_flow_m3_s(*p.pump);
    bool const given = s.design_check.recommended_m3_s && p.cabled;
    scenarios::Window const range =
        given ? *s.design_check.recommended_m3_s : scenarios::Window{0.6 * best, 1.3 * best};
    auto const flow_figure = [&](double m3_s) {
        return figure_text(shown(m3_s, "m3/s", d.options.units).value, 1);
    };
    Check k = titled("pump-range", pump_group, "Operating range", p);
    k.value = most.flow_m3_s, k.limit = range.high, k.unit = "m3/s";
    k.value_text = fmt::format("{}", flow_text(least.flow_m3_s, d.options.units));
    if (p.at_tank || p.full_well)
        k.value_text = flow_figure(least.flow_m3_s) + "-" + flow_text(most.flow_m3_s, d.options.units);
    k.limit_text = flow_figure(range.low) + "-" + flow_text(range.high, d.options.units);
    k.source =
        given ? "pump maker's recommended range"
              : "60 to 130 % of the flow of best efficiency: common practice, no source; the maker's rules";
    k.detail =
        fmt::format("Best efficiency at {}; total dynamic head {} at {}.", flow_text(best, d.options.units),
                    length_text(most.head_m, d.options.units), flow_text(most.flow_m3_s, d.options.units));
    if (p.full_well)
        k.detail += fmt::format(
            " The pump draws the well down to {}, where its protection stops it; there it gives {}.",
            length_text(p.lift.static_level_m, d.options.units), flow_text(least.flow_m3_s, d.options.units));
    bool const inside = least.flow_m3_s >= range.low && most.flow_m3_s <= range.high;
    k.margin = std::min(least.flow_m3_s / range.low, range.high / most.flow_m3_s);
    k.verdict = !least.reached      ? Verdict::fail
                : most.beyond_curve ? Verdict::unknown
                : inside            ? Verdict::pass
                                    : Verdict::marginal;
    if (most.beyond_curve) k.margin = std::numeric_limits<double>::quiet_NaN();
    if (!least.reached)
        k.change = "The pump does not reach cut-out: lower the pressure or check the level.";
    else if (most.beyond_curve)
        k.change = "Beyond the end of the curve: throttle, or nothing is known of power and wear.";
    else if (!inside)
        k.change = most.flow_m3_s > range.high
                       ? "Right of its range: throttle or raise the pressure; thrust and power."
                       : "Left of its range: lower the pressure; heat and thrust.";
    k.provenance = p.cabled ? provenance_of(s, "well.static_level") : "";
    if (!k.provenance.empty()) k.provenance = "static level: " + k.provenance;
    checks.push_back(k);
}

// Of a pipe's wall, finer than a bore: with two digits of its own.
std::string roughness_text(double m, ShownUnits u) {
    auto const [wall, unit] = shown(1e3 * m, "mm", u);
    int const digits = wall > 0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(wall))), 0, 8) : 0;
    std::string text = fmt::format("{:.{}f}", wall, digits);
    if (digits > 0) text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text + " " + unit;
}

std::string bore_text(double m, ShownUnits u) {
    return shown_text(1e3 * m, "mm", u, u == ShownUnits::us ? 2 : 1);
}

// Friction of the pipes between pump and tank or cistern, with the law, bore and roughness used.
void check_friction(Design const& d, PumpOnBus const& p, std::vector<Check>& checks) {
    if (p.piping->segments.empty()) return;
    auto const u = d.options.units;
    bool const hazen = p.piping->law == models::FrictionLaw::hazen_williams;
    double const flow = point_at(p, p.at_tank ? d.scenario->tank.cut_in_kpa : 0).flow_m3_s;
    auto const water = models::water_at(p.lift.water_temperature_c);
    auto const head_text = [&](double m) { return shown_text(m, "m", u, 1); };
    Check k = titled("pipe-friction", pump_group, "Pipe friction", p);
    k.value = models::piping_loss_m(*p.piping, flow, water), k.unit = "m";
    k.value_text = head_text(k.value);
    k.limit_text = "-";
    k.detail = fmt::format("At {}, fittings included, by {}:", flow_text(flow, u),
                           hazen ? "Hazen-Williams" : "Darcy-Weisbach");
    bool small = false;
    for (auto const& s : p.piping->segments) {
        k.detail += fmt::format("{} {} of {} bore, ", &s == &p.piping->segments.front() ? "" : ";",
                                length_text(s.length_m, u), bore_text(s.inside_diameter_m, u));
        k.detail += hazen ? fmt::format("C {:g}", s.hazen_williams_c)
                          : "roughness " + roughness_text(s.roughness_m, u);
        small = small || s.inside_diameter_m < models::hazen_williams_least_bore_m;
    }
    k.detail += '.';
    k.verdict = hazen && small ? Verdict::marginal : Verdict::pass;
    k.source = hazen ? "Hazen-Williams holds for bores of 2 in and more: engineering handbooks, from memory"
                     : "Colebrook's friction factor and Darcy-Weisbach, for any bore; not fitted to a table";
    if (k.verdict == Verdict::marginal)
        k.change = fmt::format(
            "Below a 2 in bore Hazen-Williams is too low; Darcy-Weisbach gives {} here. Leave out friction = "
            "\"hazen-williams\".",
            head_text(models::piping_loss_m({p.piping->segments, models::FrictionLaw::darcy_weisbach}, flow,
                                            water)));
    checks.push_back(k);
}

}  // namespace

void check_water(Design const& d, std::vector<Check>& checks) {
    auto const at_tank =
        std::find_if(d.pumps.begin(), d.pumps.end(), [](PumpOnBus const& p) { return p.at_tank; });
    if (at_tank != d.pumps.end()) {
        check_precharge(d, checks);
        if (at_tank->drive == nullptr) check_runs(d, at_full_well(*at_tank), checks);
        check_cutoff(d, checks);
    }
    for (auto const& p : d.pumps) {
        check_range(d, p, checks);
        check_friction(d, at_full_well(p), checks);
    }
}

}  // namespace holdwater::sim::check_detail
