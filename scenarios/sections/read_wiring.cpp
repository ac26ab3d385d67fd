#include "scenarios/sections/read_wiring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/text/assumed_inputs.hpp"

namespace holdwater::scenarios {
namespace {

using models::Insulation;
using models::MeasuredStart;

constexpr std::array insulations{std::pair{std::string_view("60 degC"), Insulation::c60},
                                 std::pair{std::string_view("75 degC"), Insulation::c75},
                                 std::pair{std::string_view("90 degC"), Insulation::c90}};
constexpr std::array started{std::pair{std::string_view("not tried"), MeasuredStart::none},
                             std::pair{std::string_view("succeeded"), MeasuredStart::succeeded},
                             std::pair{std::string_view("failed"), MeasuredStart::failed}};

constexpr std::array curves{std::pair{std::string_view("B"), models::BreakerCurve::b},
                            std::pair{std::string_view("C"), models::BreakerCurve::c},
                            std::pair{std::string_view("D"), models::BreakerCurve::d}};
constexpr std::array trip_classes{std::pair{std::string_view("10A"), models::TripClass::c10a},
                                  std::pair{std::string_view("10"), models::TripClass::c10},
                                  std::pair{std::string_view("20"), models::TripClass::c20},
                                  std::pair{std::string_view("30"), models::TripClass::c30}};

std::string read_size(Section& s, std::string_view key) {
    std::string const given = s.text(key);
    try {
        return models::conductor_size(given);
    } catch (models::ParameterError const& error) {
        s.fail(key, fmt::format("\"{}\" {}", given, error.rule()));
    }
}

// Where a value was read, in the designer's words; only together with the value.
std::string read_source(Section& s, std::string const& of) {
    std::string const key = of + "_source";
    if (!s.has(key)) return "";
    if (!s.has(of)) s.fail(key, "needs " + of + ", the value that was read there");
    std::string source = s.text(key);
    if (source.find_first_not_of(" \t") == std::string::npos)
        s.fail(key, "must say where the value was read, such as a table of the national wiring rules");
    return source;
}

CableSegment read_cable(Section s) {
    CableSegment c;
    c.name = s.text("name", "cable");
    (void)s.choice("material", std::array{std::pair{std::string_view("copper"), 0}}, 0);
    c.length_m = s.quantity("length", "m", {0, 1500});
    c.size = read_size(s, "size");
    c.computed = models::section_mm2(c.size) > 0 && !s.has("resistance");
    c.conductor_c = s.quantity("conductor_temperature", "degC", {-40, 150}, 75);
    if (s.has("conductor_temperature") && !c.computed)
        s.fail(
            "conductor_temperature",
            "changes nothing: it is for a size in mm2 whose resistance is computed; the table of AWG sizes "
            "is at 75 degC");
    c.ohm_per_m = c.computed ? models::computed_ohm_per_m(models::section_mm2(c.size), c.conductor_c)
                             : s.quantity("resistance", "ohm/m", {0, 0.1}, models::size_ohm_per_m(c.size));
    c.ampacity_a = s.quantity("ampacity", "A", {0.1, 2000}, 0);
    c.ampacity_source = read_source(s, "ampacity");
    c.insulation = s.choice("insulation", insulations, Insulation::c75);
    c.terminals = s.choice("terminals", insulations, Insulation::c60);
    c.ambient_c = s.quantity("ambient", "degC", {-40, 85}, 30);
    c.current_carrying = s.count("current_carrying", 1, 100, 2);
    s.finish();
    return c;
}

std::optional<Window> read_window(Section& s, std::string_view key, std::string_view unit, Range range) {
    if (!s.has(key)) return std::nullopt;
    auto const v = s.list(key, 2, unit, range);
    if (!(v[0] < v[1])) s.fail(key, "the first must be below the second: it is a range");
    return Window{v[0], v[1]};
}

std::optional<LoadedPair> read_pair(Section& s, std::string_view key, std::string_view unit, Range range) {
    if (!s.has(key)) return std::nullopt;
    auto const v = s.list(key, 2, unit, range);
    return LoadedPair{v[0], v[1]};
}

std::optional<double> read_optional(Section& s, std::string_view key, std::string_view unit, Range range) {
    if (!s.has(key)) return std::nullopt;
    return s.quantity(key, unit, range);
}

void read_wiring(Section s, Scenario& scenario) {
    WiringSettings& w = scenario.wiring;
    w.source_sag = s.number("source_sag", {0, 0.5}, 0);
    w.source_ohm = s.quantity("source_resistance", "ohm", {0, 10}, 0);
    if (w.source_sag > 0 && w.source_ohm > 0)
        s.fail("source_resistance", "give source_sag or source_resistance, not both: they say the same");
    w.breaker_a = s.quantity("breaker", "A", {1, 1000}, 0);
    if (s.has("breaker_curve")) {
        if (w.breaker_a == 0)
            s.fail("breaker_curve", "needs breaker, the current that the breaker is rated for");
        w.breaker_curve = s.choice("breaker_curve", curves);
    }
    w.motor_protection_a = s.quantity("motor_protection", "A", {0.1, 1000}, 0);
    if (s.has("motor_protection_class") && w.motor_protection_a == 0)
        s.fail("motor_protection_class", "needs motor_protection, the current to which the relay is set");
    w.trip_class = s.choice("motor_protection_class", trip_classes, models::TripClass::c10);
    if (s.has("dc_cable_size")) {
        w.dc_size = read_size(s, "dc_cable_size");
        w.dc_length_m = s.quantity("dc_cable_length", "m", {0, 100});
        w.dc_ohm = 2 * w.dc_length_m * models::size_ohm_per_m(w.dc_size);
        w.dc_ampacity_a = s.quantity("dc_cable_ampacity", "A", {0.1, 5000}, 0);
        w.dc_ampacity_source = read_source(s, "dc_cable_ampacity");
        w.dc_computed = models::section_mm2(w.dc_size) > 0 && !s.has("dc_cable_resistance");
    } else {
        for (auto const* key : {"dc_cable_length", "dc_cable_ampacity", "dc_cable_ampacity_source"})
            if (s.has(key)) s.fail(key, "needs dc_cable_size, in quotes such as \"2/0\" or \"70 mm2\"");
    }
    w.dc_ohm = s.quantity("dc_cable_resistance", "ohm", {0, 1}, w.dc_ohm);
    w.dc_fuse_a = s.quantity("dc_fuse", "A", {1, 2000}, 0);
    w.battery_peak_a = read_optional(s, "battery_peak_current", "A", {1, 1e5});
    w.regulation =
        s.choice("generator_regulation",
                 std::array{std::pair{std::string_view("external"), GeneratorRegulation::external},
                            std::pair{std::string_view("internal"), GeneratorRegulation::internal}},
                 GeneratorRegulation::external);
    if (s.has("generator_output"))
        w.generator_three_wire =
            s.choice("generator_output", std::array{std::pair{std::string_view("two-wire"), false},
                                                    std::pair{std::string_view("three-wire"), true},
                                                    std::pair{std::string_view("2-wire"), false},
                                                    std::pair{std::string_view("3-wire"), true}});
    w.charger_needs_three_wire = s.flag("charger_needs_three_wire", false);
    w.charger_folds_back = s.flag("charger_folds_back", false);
    w.main_breaker_a = s.quantity("main_breaker", "A", {1, 1000}, 0);
    w.generator_phase_va = s.quantity("generator_phase_power", "W", {30, 1e5}, 0);
    for (auto const* key : {"main_breaker", "generator_phase_power"})
        if (s.has(key) && scenario.inverter.legs != 3)
            s.fail(key, fmt::format("needs inverter.phases = 3: it is a limit of each phase; the limit of a "
                                    "single-phase {}",
                                    key == std::string_view("main_breaker")
                                        ? "grid connection is backup.limit"
                                        : "generator is generator.rated_power"));
    w.generator_hz = read_pair(s, "generator_frequency", "Hz", {20, 90});
    w.generator_v = read_pair(s, "generator_volts", "V", {50, 500});
    w.accepted_hz = read_window(s, "accepted_frequency", "Hz", {20, 90});
    w.accepted_v = read_window(s, "accepted_volts", "V", {50, 500});
    s.finish();
}

void read_check(Section s, Scenario& scenario) {
    CheckSettings& p = scenario.design_check;
    p.least_motor_share = s.number("least_motor_volts", {0.3, 1}, p.least_motor_share);
    p.run_drop = s.number("run_drop", {0.005, 0.2}, p.run_drop);
    p.run_drop_given = s.has("run_drop");
    p.run_drop_source = read_source(s, "run_drop");
    if (s.has("battery_soc")) p.battery_soc = s.number("battery_soc", {0, 1});
    p.battery_temperature_c = read_optional(s, "battery_temperature", "degC", {-40, 60});
    p.resting_v = read_optional(s, "resting_voltage", "V", {5, 1000});
    if (p.resting_v && p.battery_soc)
        s.fail("resting_voltage", "give battery_soc or resting_voltage, not both: they say the same");
    p.start_efficiency = s.number("start_efficiency", {0.5, 1}, p.start_efficiency);
    p.record_low_c = read_optional(s, "record_low", "degC", {-70, 40});
    p.hot_cell_c = s.quantity("hottest_cell", "degC", {25, 110}, p.hot_cell_c);
    p.absorption_v = read_optional(s, "absorption_voltage", "V", {5, 1000});
    using models::PvSite;
    p.pv_site =
        s.choice("array_site",
                 std::array{std::pair{std::string_view("dwelling"), PvSite::dwelling},
                            std::pair{std::string_view("other building"), PvSite::other_building},
                            std::pair{std::string_view("not on a building"), PvSite::not_on_building}},
                 PvSite::dwelling);
    p.on_inverter = s.choice("measured_start_on_inverter", started, MeasuredStart::none);
    p.on_generator = s.choice("measured_start_on_generator", started, MeasuredStart::none);
    p.soft_start_agreed = s.flag("soft_start_agreed", false);
    if (s.has("sun_hours")) p.sun_h = s.number("sun_hours", {0, 14});
    p.system_factor = s.number("system_factor", {0.3, 1}, p.system_factor);
    if (s.has("least_autonomy_days")) p.least_autonomy_d = s.days("least_autonomy_days", {0, 60});
    p.recommended_m3_s = read_window(s, "recommended_flow", "m3/s", {0, 0.1});
    s.finish();
}

constexpr std::array provenances{std::pair{std::string_view("nameplate"), Provenance::nameplate},
                                 std::pair{std::string_view("measured"), Provenance::measured},
                                 std::pair{std::string_view("table"), Provenance::table},
                                 std::pair{std::string_view("assumed"), Provenance::assumed}};

// First the inputs whose ranges `check` can try, then all others for which the scenario has a value.
std::vector<std::string> stated_inputs(Section const& root, Section& s) {
    std::vector<std::string> keys;
    for (auto const& input : assumed_inputs())
        if (s.has(input.key)) keys.emplace_back(input.key);
    for (auto const& key : s.keys())
        if (find_assumed_input(key) == nullptr && root.typed(key) && s.has(key)) keys.push_back(key);
    return keys;
}

// Turns a list as in the scenario, [ '12 kW', '9.0 kW' ], into text for a reader: 12 kW, 9.0 kW.
std::string without_brackets(std::string text) {
    if (!text.starts_with('[')) return text;
    std::erase_if(text, [](char c) { return c == '[' || c == ']' || c == '\'' || c == '"'; });
    auto const first = text.find_first_not_of(' '), last = text.find_last_not_of(' ');
    return first == text.npos ? "" : text.substr(first, last - first + 1);
}

std::string value_of(Section const& root, Scenario const& scenario, std::string const& key) {
    if (auto const typed = root.typed(key)) return without_brackets(*typed);
    auto const* const input = find_assumed_input(key);
    double const value = input->get(scenario);
    if (value == 0) return "not given";
    std::string const unit = input->unit == "1" ? "" : " " + std::string(input->unit);
    return fmt::format("{:.4g}{}", value, unit);
}

void read_range(Section& s, InputProvenance& p, int& tried) {
    if (p.provenance != Provenance::assumed)
        s.fail(p.input,
               fmt::format("has a range here but [provenance] calls it \"{}\"; a range is for what is "
                           "\"assumed\"",
                           name(p.provenance)));
    if (auto const* const input = find_assumed_input(p.input)) {
        p.range = read_window(s, p.input, input->unit, {input->low, input->high});
        if (++tried > 6)
            s.fail(p.input, "is one too many: at most six inputs may be ranges; measure some of them");
    }
    std::tie(p.low, p.high) = s.typed_pair(p.input);
}

void read_provenance(Section& root, Scenario& scenario) {
    auto& list = scenario.provenance;
    if (auto s = root.optional_table("provenance")) {
        for (auto const& key : stated_inputs(root, *s)) {
            auto const given = s->choice(key, provenances);
            list.push_back({key, given, std::nullopt, value_of(root, scenario, key), "", ""});
        }
        s->finish();
    }
    auto s = root.optional_table("assumed_range");
    if (!s) return;
    int tried = 0;
    for (auto const& key : stated_inputs(root, *s)) {
        auto found =
            std::find_if(list.begin(), list.end(), [&](InputProvenance const& p) { return p.input == key; });
        if (found == list.end())
            found = list.insert(
                list.end(), {key, Provenance::assumed, std::nullopt, value_of(root, scenario, key), "", ""});
        read_range(*s, *found, tried);
    }
    s->finish();
}

Waiver read_waiver(Section s) {
    Waiver w{s.text("check"), s.text("reason")};
    if (std::find(check_names.begin(), check_names.end(), w.check) == check_names.end()) {
        std::string list;
        for (auto const check : check_names) list += (list.empty() ? "" : ", ") + std::string(check);
        s.fail("check", fmt::format("\"{}\" is not a check; accepted: {}", w.check, list));
    }
    if (w.reason.find_first_not_of(" \t") == std::string::npos)
        s.fail("reason", "must say why the check may be passed over: it is printed with it");
    s.finish();
    return w;
}

}  // namespace

void read_wiring_side(Section& root, Scenario& scenario) {
    root.attempt(true, [&] {
        if (auto s = root.optional_table("wiring")) read_wiring(*s, scenario);
    });
    for (Section& s : root.tables("cable"))
        root.attempt(true, [&] { scenario.wiring.cables.push_back(read_cable(s)); });
    root.attempt(true, [&] {
        if (auto s = root.optional_table("check")) read_check(*s, scenario);
    });
    root.attempt(true, [&] { read_provenance(root, scenario); });
    for (Section& s : root.tables("waiver"))
        root.attempt(true, [&] { scenario.waivers.push_back(read_waiver(s)); });
}

}  // namespace holdwater::scenarios
