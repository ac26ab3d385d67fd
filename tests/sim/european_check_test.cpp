#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "scenarios/settings/wiring_notes.hpp"
#include "sim/check/design_check.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using models::Verdict;
using test::check_named, test::Near, test::CheckScenario;

namespace {

bool contains(std::string const& text, std::string const& part) {
    return text.find(part) != std::string::npos;
}

bool has(sim::DesignCheck const& p, std::string const& name) {
    for (auto const& c : p.checks)
        if (c.name == name) return true;
    return false;
}

Verdict verdict(sim::DesignCheck const& p, std::string const& name) { return check_named(p, name).verdict; }

// One hp at 230 V, 8 A, locked rotor 48 A; `rules` is at the top of the file.
scenarios::Scenario read(std::string const& wiring, std::string const& rules = "IEC", CheckScenario s = {}) {
    s.set("wiring", wiring);
    return scenarios::read_scenario_text("rules = \"" + rules + "\"\n" + s.text(), "test.toml");
}
sim::DesignCheck run(std::string const& wiring, std::string const& rules = "IEC", CheckScenario s = {}) {
    return sim::design_check(read(wiring, rules, std::move(s)));
}

// 400 V, 9 kVA, 3 kVA a phase; motor 5.5 A at a power factor of 0.8, locked rotor 30 A at 0.6.
CheckScenario three_phases(std::string const& loads = "", std::string const& inverter = "") {
    CheckScenario s;
    s.set("inverter", "[inverter]\nrated_power = \"9 kW\"\noutput_voltage = \"400 V\"\nphases = 3\n" +
                          inverter +
                          "surge_power = [\"27 kW\"]\nsurge_times = [\"5 s\"]\n"
                          "efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]\nidle = \"40 W\"");
    s.set("load", loads);
    s.set("motor",
          "[motor]\nrated_power = \"2.2 kW\"\nrated_input = \"2900 W\"\nvolts = \"400 V\"\nphases = 3\n"
          "running_power_factor = 0.8\nfull_load = \"5.5 A\"\nlocked_rotor = \"30 A\"\n"
          "locked_rotor_power_factor = 0.6\n");
    return s;
}

std::string const metric = "[[cable]]\nlength = \"60 m\"\nsize = \"2.5 mm2\"\n";
std::string const said = "ampacity = \"21 A\"\nampacity_source = \"national table, in the ground\"\n";

}  // namespace

TEST_SUITE_BEGIN("sim/european_check");

TEST_CASE("with IEC rules no US code is cited, and the national wiring rules decide") {
    for (bool const of_modules : {false, true}) {
        CheckScenario s;
        if (of_modules)
            s.set("array",
                  "[array]\ntilt = \"45 deg\"\nazimuth = \"180 deg\"\nmodules_in_series = 3\nstrings = 1\n"
                  "[array.module]\ndescribed_by = \"data sheet\"\nshort_circuit_current = \"11.2 A\"\n"
                  "open_circuit_voltage = \"49.5 V\"\nmax_power_current = \"10.6 A\"\n"
                  "max_power_voltage = \"41.5 V\"\ncurrent_temperature_coefficient = \"0.05 %/K\"\n"
                  "voltage_temperature_coefficient = \"-0.27 %/K\"\n"
                  "[controller]\npower_limit = \"5 kW\"\nheadroom = \"2 V\"\ninput_max = \"250 V\"");
        auto const p =
            run("[wiring]\nbreaker = \"16 A\"\nbreaker_curve = \"C\"\ndc_cable_size = \"70 mm2\"\n"
                "dc_cable_length = \"1 m\"\ndc_fuse = \"200 A\"\n" +
                    metric,
                "IEC", s);
        CHECK(has(p, "array-cold-volts") == of_modules);
        for (auto const& c : p.checks)
            for (auto const* us : {"NEC", "NEMA", "code's", "code table", "310.16", "690."}) {
                CAPTURE(c.name);
                CHECK_FALSE(contains(c.source + c.detail + c.change + c.limit_text, us));
            }
        CHECK(contains(p.notes.back(), "The national wiring rules and the electrician"));
    }
    CHECK(contains(run("", "US").notes.back(), "locally adopted code"));
}

TEST_CASE("with IEC rules an ampacity or a drop limit counts with its source only") {
    auto const bare = run(metric);
    CHECK(verdict(bare, "cable-drop") == Verdict::unknown);
    CHECK(contains(check_named(bare, "cable-drop").change, "Look up the voltage drop"));
    CHECK(verdict(bare, "cable-ampacity") == Verdict::unknown);
    CHECK(contains(check_named(bare, "cable-ampacity").change, "with cable.ampacity_source."));
    auto const unsaid = run(metric + "ampacity = \"21 A\"\n[check]\nrun_drop = 0.04");
    CHECK(verdict(unsaid, "cable-ampacity") == Verdict::unknown);
    CHECK(contains(check_named(unsaid, "cable-ampacity").change, "give cable.ampacity_source"));
    CHECK(contains(check_named(unsaid, "cable-drop").change, "give check.run_drop_source"));
    // 3.5707 % by hand in design_check_test.
    auto const both = run(metric + said + "[check]\nrun_drop = 0.04\nrun_drop_source = \"motor manual\"");
    CHECK(verdict(both, "cable-drop") == Verdict::pass);
    CHECK(check_named(both, "cable-drop").source == "motor manual");
    CHECK(verdict(both, "cable-ampacity") == Verdict::pass);
    CHECK(contains(check_named(both, "cable-ampacity").source, "national table, in the ground"));
    CHECK(verdict(run(metric + said + "[check]\nrun_drop = 0.03\nrun_drop_source = \"motor manual\""),
                  "cable-drop") == Verdict::fail);
    auto const two =
        run(metric + "conductor_temperature = \"20 degC\"\n[[cable]]\nlength = \"5 m\"\nsize = \"4 mm2\"");
    CHECK(contains(check_named(two, "cable-drop").detail, "resistivity at 20 °C to 75 °C"));
    // The table of the US code does not count for an AWG size either.
    CHECK(verdict(run("[[cable]]\nlength = \"60 m\"\nsize = \"10\""), "cable-ampacity") == Verdict::unknown);

    std::string const dc = "[wiring]\ndc_cable_length = \"1.5 m\"\ndc_cable_size = \"70 mm2\"\n";
    CHECK(verdict(run(dc), "dc-cable") == Verdict::unknown);
    CHECK(contains(check_named(run(dc), "dc-drop").detail, "computed from copper's resistivity at 75"));
    CHECK(verdict(run(dc + "dc_cable_ampacity = \"250 A\""), "dc-cable") == Verdict::unknown);
    std::string const dc_said =
        dc + "dc_cable_ampacity = \"250 A\"\ndc_cable_ampacity_source = \"data sheet\"\n";
    CHECK(verdict(run(dc_said), "dc-cable") == Verdict::pass);
    // A fuse above the ampacity does not protect the cable.
    CHECK(verdict(run(dc_said + "dc_fuse = \"300 A\""), "dc-cable") == Verdict::fail);
}

// 8 A <= breaker <= 21 A; with motor protection the cable needs its setting only.
TEST_CASE("with IEC rules the breaker lies between running current and ampacity") {
    auto const with = [](std::string const& breaker, std::string const& more = "") {
        return run("[wiring]\nbreaker = \"" + breaker + " A\"\n" + more + metric + said);
    };
    CHECK(verdict(with("16"), "breaker") == Verdict::pass);
    CHECK(verdict(with("6"), "breaker") == Verdict::fail);
    CHECK(verdict(with("25"), "breaker") == Verdict::fail);
    CHECK(verdict(with("25"), "cable-ampacity") == Verdict::fail);
    CHECK(verdict(with("25", "motor_protection = \"8 A\"\n"), "breaker") == Verdict::pass);
    CHECK(check_named(with("25", "motor_protection = \"8 A\"\n"), "cable-ampacity").limit == 8);
    CHECK(verdict(run("[wiring]\nbreaker = \"16 A\"\n" + metric), "breaker") == Verdict::unknown);
}

// 48 A at the start. B16 holds 48 A; B10 may trip from 30 A and trips at 50 A; B8 trips at 40 A; C10 holds 50
// A.
TEST_CASE("the start current against the breaker's curve") {
    auto const with = [](std::string const& amps, std::string const& curve,
                         std::string const& rules = "IEC") {
        return run("[wiring]\nbreaker = \"" + amps + " A\"\nbreaker_curve = \"" + curve + "\"", rules);
    };
    CHECK(verdict(with("16", "B"), "breaker-start") == Verdict::pass);
    CHECK(verdict(with("10", "B"), "breaker-start") == Verdict::marginal);
    CHECK(verdict(with("8", "B"), "breaker-start") == Verdict::fail);
    CHECK(verdict(with("10", "C"), "breaker-start") == Verdict::pass);
    CHECK(verdict(with("6", "D"), "breaker-start") == Verdict::pass);
    CHECK(check_named(with("10", "C"), "breaker-start").value == Near{48, 0, 1e-9});
    CHECK(check_named(with("10", "C"), "breaker-start").limit == 50);
    CHECK(verdict(with("8", "B", "US"), "breaker-start") == Verdict::fail);
    CHECK(verdict(run("[wiring]\nbreaker = \"16 A\""), "breaker-start") == Verdict::unknown);
    CHECK_FALSE(has(run("[wiring]\nbreaker = \"16 A\"", "US"), "breaker-start"));
}

// Running current 8 A: settings from 8 / 1.05 = 7.62 A to 8 A. Start of 48 A, 6 x 8 A: class 10 trips
// after 5.76 s at the earliest, class 30 after 12.96 s (by hand in models/motor_protection).
TEST_CASE("the motor protection fits the motor and lets it start") {
    auto const with = [](std::string const& wiring, std::string const& seconds = "0.5 s") {
        CheckScenario s;
        s.set("motor", CheckScenario::motor("1 hp", "1250 W", "48 A",
                                            "full_load = \"8 A\"\nstart_seconds = \"" + seconds + "\"\n"));
        return run("[wiring]\n" + wiring, "IEC", s);
    };
    CHECK(verdict(with("motor_protection = \"8 A\""), "protection-setting") == Verdict::pass);
    CHECK(verdict(with("motor_protection = \"7.7 A\""), "protection-setting") == Verdict::pass);
    CHECK(verdict(with("motor_protection = \"7.5 A\""), "protection-setting") == Verdict::fail);
    CHECK(verdict(with("motor_protection = \"8.4 A\""), "protection-setting") == Verdict::fail);
    CHECK(verdict(with(""), "protection-setting") == Verdict::unknown);
    auto const quick = with("motor_protection = \"8 A\"");
    CHECK(verdict(quick, "protection-start") == Verdict::pass);
    CHECK(check_named(quick, "protection-start").limit == Near{5.76, 1e-9, 0});
    CHECK(verdict(with("motor_protection = \"8 A\"", "10 s"), "protection-start") == Verdict::fail);
    auto const slow = with("motor_protection = \"8 A\"\nmotor_protection_class = \"30\"", "10 s");
    CHECK(check_named(slow, "protection-start").limit == Near{12.96, 1e-9, 0});
    CHECK(verdict(slow, "protection-start") == Verdict::pass);
}

// By hand. 100 m of 2.5 mm2 at 5.5 A: sqrt(3) x 100 x 5.5 x 8.554798e-3 = 8.1497 V of 400 V. Start without
// cable: sqrt(3) x 400 x 30 = 20,785 VA. Running: sqrt(3) x 400 x 5.5 = 3810.5 VA, 1016.1 W and 762.1 var on
// each phase; with 1 kW on L1: |2016.1, 762.1| = 2155.4 VA, 9.33 A at 230.9 V.
TEST_CASE("a three-phase motor: drop, start and the fullest phase") {
    auto s = three_phases("[[load]]\nname = \"oven\"\npower = \"1 kW\"\nphase = \"L1\"");
    s.set("wiring", "[[cable]]\nlength = \"100 m\"\nsize = \"2.5 mm2\"\n");
    auto const p = s.run();
    CHECK(100 * check_named(p, "cable-drop").value == Near{100 * 8.1497 / 400, 1e-4, 0});
    auto const phase = check_named(p, "phase-load");
    CHECK(phase.value == Near{2155.4, 0.1, 0});
    CHECK(phase.limit == 3000);
    CHECK(phase.verdict == Verdict::pass);
    CHECK(contains(phase.value_text, ", L1"));
    CHECK(contains(phase.detail, "L1 9.3 A, L2 5.5 A, L3 5.5 A at 231 V"));
    auto const bare = three_phases().run();
    CHECK(check_named(bare, "start-surge").value == Near{std::numbers::sqrt3 * 400 * 30, 0, 1e-9});
    // 27 kVA in all, 9 kVA on a phase: 1.299; 2 kW on L2: |m 6928.2 (0.6, 0.8) + 2000| = 9000.
    CHECK(check_named(bare, "start-surge").margin == Near{27000 / (std::numbers::sqrt3 * 12000), 0, 1e-9});
    auto const loaded = three_phases("[[load]]\nname = \"x\"\npower = \"2 kW\"\nphase = \"L2\"").run();
    double const b = 0.6 * 2000 / 6928.203,
                 m = -b + std::sqrt(b * b + (9000. * 9000 - 2000. * 2000) / 6928.203 / 6928.203);
    CHECK(check_named(loaded, "start-surge").margin == Near{m, 0, 1e-6});
    CHECK(verdict(loaded, "phase-load") == Verdict::fail);  // |3016.1, 762.1| = 3111 VA is above 3 kVA
}

TEST_CASE("the phase rating of the data sheet decides") {
    std::string const load = "[[load]]\nname = \"x\"\npower = \"2.5 kW\"\nphase = \"L2\"";
    CHECK(verdict(three_phases(load).run(), "phase-load") == Verdict::fail);  // |3516, 762| = 3598 VA
    CHECK(check_named(three_phases(load, "phase_power = \"4.6 kW\"\n").run(), "phase-load").margin ==
          Near{4600 / std::hypot(2500 + 0.8 * std::numbers::sqrt3 * 2200 / 3,
                                 0.6 * std::numbers::sqrt3 * 2200 / 3),
               0, 1e-9});
}

TEST_CASE("three phases: what cannot be is refused with the key") {
    CHECK(contains(three_phases("[[load]]\nname = \"x\"\npower = \"1 kW\"").error(),
                   "accepted: L1, L2 or L3, or all"));
    CHECK(contains(three_phases("[[load]]\nname = \"x\"\npower = \"1 kW\"\nleg = 1").error(), "give phase"));
    CHECK(contains(three_phases("", "phase_power = \"2 kW\"\n").error(), "at least a third of the rating"));
    CHECK(contains(three_phases("", "split_phase = true\n").error(), "not possible beside phases = 3"));
    auto single = three_phases();
    single.set("motor", CheckScenario::motor("1 hp", "1250 W", "48 A"));
    CHECK(contains(single.error(), "a single-phase motor on one of the phases is not modeled"));
    CHECK(contains(single.error(), "enter its phase alone: inverter.phases = 1"));
    auto other = CheckScenario();
    other.set("load", "[[load]]\nname = \"x\"\npower = \"1 kW\"\nphase = \"L1\"");
    CHECK(contains(other.error(), "needs inverter.phases = 3"));
    auto two = three_phases();
    two.set("motor",
            "[motor]\nrated_power = \"2.2 kW\"\nefficiency = 0.8\nvolts = \"400 V\"\nphases = 3\n"
            "wiring = \"two-wire\"");
    CHECK(contains(two.error(), "is a single-phase motor"));
}

TEST_CASE("wiring notes speak of line and neutral, and of the contactor of a three-phase motor") {
    auto const notes = scenarios::wiring_notes(read(""));
    CHECK(notes.back() == "well pump: 230 V class between line and neutral, both switched");
    CHECK(contains(scenarios::wiring_notes(three_phases().read()).front(),
                   "three-phase, a contactor with motor"));
}

// 1500 W on L1 and 600 W on L2, the motor 5.5 A at 400 V: sqrt(3) 400 5.5 = 3810.5 VA, 1270.2 VA on each
// phase at a power factor of 0.8, so 1016.1 W and 762.1 var. The inverter's own 40 W are 13.3 W on each. L1:
// hypot(1500 + 1016.1 + 13.3, 762.1) = 2641.7 VA, 11.439 A at 230.94 V. With a charger of 2760 W DC at 0.92:
// 3000 W, at a power factor of 1 another 1000 W on each phase: hypot(3529.5, 762.1) = 3610.8 VA, 15.635 A.
TEST_CASE("the fullest phase against main breaker and generator") {
    std::string const loads =
        "[[load]]\nname = \"a\"\npower = \"1500 W\"\nphase = \"L1\"\n"
        "[[load]]\nname = \"b\"\npower = \"600 W\"\nphase = \"L2\"";
    std::string const charger = "[charger]\npower_limit = \"2760 W\"\nefficiency = 0.92\npower_factor = 1\n";
    std::string const grid = "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\n";
    auto const with = [&](std::string const& backup, std::string const& wiring) {
        auto s = three_phases(loads);
        s.set("backup", backup);
        s.set("charger", charger);
        return run("[wiring]\n" + wiring, "IEC", s);
    };
    CHECK_FALSE(has(with(grid, ""), "grid-phase"));
    auto const plain = with(grid, "main_breaker = \"16 A\"");
    CHECK(check_named(plain, "grid-phase").value == Near{11.439, 1e-3, 0});
    CHECK(verdict(plain, "grid-phase") == Verdict::pass);
    CHECK(contains(check_named(plain, "grid-phase").value_text, "L1"));
    CHECK(contains(check_named(plain, "grid-phase").detail, "not phase by phase"));
    CHECK(verdict(with(grid, "main_breaker = \"13 A\""), "grid-phase") == Verdict::marginal);
    CHECK(verdict(with(grid, "main_breaker = \"10 A\""), "grid-phase") == Verdict::fail);
    auto const charging = with(grid + "charge_to = 0.9\n", "main_breaker = \"16 A\"");
    CHECK(check_named(charging, "grid-phase").value == Near{15.635, 1e-3, 0});
    CHECK(verdict(charging, "grid-phase") == Verdict::marginal);

    // 9 kVA are 3000 VA on each phase; by its data sheet 2500 VA.
    std::string const generator =
        "[backup]\nkind = \"generator\"\ntransfer_below = 0.4\nreturn_above = 0.8\n"
        "[generator]\nrated_power = \"9 kW\"\nfuel_at_half_load = \"2 L/h\"\nfuel_at_full_load = \"3 L/h\"\n";
    auto const third = with(generator, "");
    CHECK(check_named(third, "generator-phase").value == Near{2641.7, 0.1, 0});
    CHECK(check_named(third, "generator-phase").limit == Near{3000, 1e-9, 0});
    CHECK(verdict(third, "generator-phase") == Verdict::pass);
    CHECK(contains(check_named(third, "generator-phase").source, "common practice"));
    auto const stated = with(generator, "generator_phase_power = \"2500 W\"");
    CHECK(verdict(stated, "generator-phase") == Verdict::fail);
    CHECK(contains(check_named(stated, "generator-phase").source, "data sheet"));
    // Limits of a phase need three of them.
    CheckScenario single;
    single.set("wiring", "[wiring]\nmain_breaker = \"16 A\"");
    CHECK(contains(single.error(), "backup.limit"));
    single.set("wiring", "[wiring]\ngenerator_phase_power = \"2 kW\"");
    CHECK(contains(single.error(), "generator.rated_power"));
}

TEST_SUITE_END();
