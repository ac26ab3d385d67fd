#include "sim/check/design_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <limits>

#include "models/electric/motor.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/check/check_rules.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {
namespace {

using models::Verdict;
using scenarios::Scenario;

std::vector<Check> checks_of(Scenario const& scenario, CheckOptions const& options) {
    auto const design = check_detail::make_design(scenario, options);
    std::vector<Check> checks;
    check_detail::check_motor(design, checks);
    check_detail::check_start(design, checks);
    check_detail::check_generator(design, checks);
    check_detail::check_grid(design, checks);
    check_detail::check_cables(design, checks);
    check_detail::check_battery(design, checks);
    check_detail::check_array(design, checks);
    check_detail::check_water(design, checks);
    check_detail::check_days(design, checks);
    return checks;
}

/// An input with an assumed range.
struct Doubt {
    std::string input, words;
    double low = 0, high = 0;
    std::function<void(Scenario&, double)> set;
};

// For a motor without start figures: 3 to 7 times full load, the usual range of measured and tabulated
// starts.
void add_unsaid_start(std::vector<Doubt>& doubts, std::string const& input, models::MotorParameters const& m,
                      std::function<void(Scenario&, double)> set) {
    bool const said = m.locked_rotor_a > 0 || m.code_letter != 0 || m.wiring == models::MotorWiring::drive;
    if (said) return;
    double const full_load_a = 1e3 * models::locked_rotor_kva(m) / 6 / (models::phase_factor(m) * m.volts);
    doubts.push_back({input, fmt::format("{:.0f} to {:.0f} A", 3 * full_load_a, 7 * full_load_a),
                      3 * full_load_a, 7 * full_load_a, std::move(set)});
}

std::vector<Doubt> doubts_of(Scenario const& s, ShownUnits units) {
    std::vector<Doubt> doubts;
    bool start_said = false;
    for (auto const& p : s.provenance) {
        if (!p.range) continue;
        auto const* const known = scenarios::find_assumed_input(p.input);
        std::string const unit = known->unit == "1" ? "" : " " + std::string(known->unit);
        auto const words =
            scenarios::in_units(units, fmt::format("{:g} to {:g}{}", p.range->low, p.range->high, unit));
        doubts.push_back({p.input, words, p.range->low, p.range->high, known->set});
        start_said = start_said || p.input == "motor.locked_rotor";
    }
    if (!start_said)
        add_unsaid_start(doubts, "motor.locked_rotor", s.motor,
                         [](Scenario& c, double v) { c.motor.locked_rotor_a = v; });
    if (s.cistern && s.cistern->booster)
        add_unsaid_start(doubts, "booster.motor.locked_rotor", s.cistern->booster->motor,
                         [](Scenario& c, double v) { c.cistern->booster->motor.locked_rotor_a = v; });
    return doubts;
}

// For combinations that never fail: the worst of unknown, marginal and pass, with the words of that
// combination.
void take_worst(std::vector<std::vector<Check>> const& corners, std::size_t k, Check& c) {
    for (Verdict const worst : {Verdict::unknown, Verdict::marginal}) {
        auto const found = std::find_if(corners.begin(), corners.end(),
                                        [&](auto const& corner) { return corner[k].verdict == worst; });
        if (found == corners.end()) continue;
        c.verdict = worst;
        c.change = (*found)[k].change;
        return;
    }
    c.verdict = Verdict::pass;
}

// Tries all combinations of both ends of every range. A check that fails in some of them but not in all is
// unknown; one that never fails gets its worst verdict.
void try_doubts(Scenario const& scenario, CheckOptions const& options, std::vector<Check>& checks) {
    auto const doubts = doubts_of(scenario, options.units);
    if (doubts.empty()) return;
    std::vector<std::vector<Check>> corners;
    for (std::size_t mask = 0; mask < (std::size_t{1} << doubts.size()); ++mask) {
        Scenario corner = scenario;
        for (std::size_t i = 0; i < doubts.size(); ++i)
            doubts[i].set(corner, (mask >> i & 1) != 0 ? doubts[i].high : doubts[i].low);
        corners.push_back(checks_of(corner, options));
    }
    for (std::size_t k = 0; k < checks.size(); ++k) {
        Check& c = checks[k];
        auto const fails = std::count_if(corners.begin(), corners.end(), [&](auto const& corner) {
            return corner[k].verdict == Verdict::fail;
        });
        bool const all_fail = static_cast<std::size_t>(fails) == corners.size();
        if (fails == 0 || all_fail) {
            if (all_fail) c.verdict = Verdict::fail;
            if (fails == 0) take_worst(corners, k, c);
            continue;
        }
        c.verdict = Verdict::unknown;
        std::string what;
        for (std::size_t i = 0; i < doubts.size(); ++i) {
            // Whether this input alone flips the verdict, with the others at any of their ends.
            bool turns = false;
            for (std::size_t mask = 0; mask < corners.size(); ++mask)
                turns = turns || corners[mask][k].verdict != corners[mask ^ (std::size_t{1} << i)][k].verdict;
            if (turns)
                what +=
                    fmt::format("{}{} ({})", what.empty() ? "" : " and ", doubts[i].input, doubts[i].words);
        }
        c.change = fmt::format(
            "Measure {}: the range decides between FAIL and {}.", what,
            name(std::min_element(corners.begin(), corners.end(),
                                  [&](auto const& a, auto const& b) { return a[k].verdict < b[k].verdict; })
                     ->at(k)
                     .verdict));
    }
}

}  // namespace

DesignCheck design_check(Scenario const& scenario, CheckOptions const& options) {
    DesignCheck p;
    p.checks = checks_of(scenario, options);
    try_doubts(scenario, options, p.checks);
    for (Check& c : p.checks) {
        c.provenance = scenarios::in_units(options.units, c.provenance);
        c.source = scenarios::in_units(options.units, c.source);
    }
    for (auto const& w : scenario.waivers) {
        bool used = false;
        for (Check& c : p.checks)
            if (c.name == w.check) c.waived = w.reason, used = true;
        if (!used)
            p.notes.push_back(fmt::format("The waiver of {} is not used: no such check here.", w.check));
    }
    if (scenario.array.module_model != models::ModuleModel::single_diode)
        p.notes.push_back(
            "The array is given by its rated power only, so string voltages in cold and heat are not "
            "checked.");
    if (std::any_of(p.checks.begin(), p.checks.end(), [](Check const& c) {
            return c.provenance.find(" A, power factor") != std::string::npos;
        }))
        p.notes.push_back("Source not stated: locked-rotor current.");
    p.notes.push_back("Suction (NPSH) is not checked: a submersible pump is below the water level.");
    p.notes.push_back(
        "All small loads are assumed to be running; their own starts at the same moment are left out.");
    p.notes.push_back(
        scenario.wiring.rules == scenarios::WiringRules::iec
            ? "The national wiring rules and the electrician who answers for the work decide. No table of a "
              "standard is used here: limits are entered with their source, or from memory or practice, as "
              "each "
              "source says."
            : "Figures of the code are from reprints or memory, as each source says. The locally adopted "
              "code, the inspector and a licensed electrician decide.");
    return p;
}

double darkest_month_kwh_per_day(std::vector<double> const& array_w) {
    double darkest = std::numeric_limits<double>::infinity();
    for (std::size_t month = 0; month < 12; ++month) {
        auto const first = static_cast<std::size_t>(weather::month_start_hour[month]);
        auto const next = static_cast<std::size_t>(weather::month_start_hour[month + 1]);
        double sum_w = 0;
        for (std::size_t h = first; h < next; ++h) sum_w += array_w[h];
        darkest = std::min(darkest, 24e-3 * sum_w / static_cast<double>(next - first));
    }
    return darkest;
}

double start_check_soc(scenarios::Scenario const& s) {
    if (s.design_check.battery_soc) return *s.design_check.battery_soc;
    double const floor = s.battery.min_soc;
    if (s.rules.backup == scenarios::Backup::none) return floor;
    // While the grid is away only the generator is there.
    double const transfer_below = s.rules.transfer_below;
    return std::max(
        floor, s.rules.second ? std::min(transfer_below, s.rules.second->transfer_below) : transfer_below);
}

}  // namespace holdwater::sim
