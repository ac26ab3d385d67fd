#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "sim/check/check_rules.hpp"
#include "sim/check/design_check.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using models::Verdict;
using test::check_named, test::Near, test::CheckScenario;

namespace {

Verdict verdict(sim::DesignCheck const& p, std::string const& name) { return check_named(p, name).verdict; }

bool contains(std::string const& text, std::string const& part) {
    return text.find(part) != std::string::npos;
}

std::string cable(std::string const& feet, std::string const& size, std::string const& ohm_per_kft = "") {
    return "[[cable]]\nlength = \"" + feet + " ft\"\nsize = \"" + size + "\"\n" +
           (ohm_per_kft.empty() ? "" : "resistance = \"" + ohm_per_kft + " ohm/kft\"\n");
}

CheckScenario far_well(std::string const& size, std::string const& ohm_per_kft,
                       std::string const& wiring = "", std::string const& limits = "") {
    CheckScenario s;
    s.set("wiring", "[wiring]\n" + wiring + "\n" + cable("600", size, ohm_per_kft) + "[check]\n" + limits);
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("sim/check_stories");

// 1 hp at 230 V: 8.0 A full load (NEC Table 430.248) and 48 A locked rotor (Table 430.251(A), 2008), 11.04
// kVA and at 90 % volts 8.94 kVA. Inverter 5 kVA, 10 kVA for 5 s; 0.8 kVA beside it. Figures recomputed.
TEST_CASE("runs but does not start") {
    CheckScenario s;
    s.set("load", "[[load]]\nname = \"house\"\npower = \"800 W\"");
    auto const full = s.run();
    CHECK(verdict(full, "running-load") == Verdict::pass);
    // |1840 VA at 0.75 + 800 W| over 5000 VA: about half.
    CHECK(check_named(full, "running-load").value == Near{2496.7, 0.5, 0});
    auto const& surge = check_named(full, "start-surge");
    CHECK(surge.value == Near{11040, 0.1, 0});
    CHECK(surge.verdict == Verdict::fail);
    CHECK(contains(surge.detail, "At 90 % volts: 8.9 kVA, MARGINAL"));

    s.set("wiring", "[wiring]\nsource_sag = 0.1");
    auto const sagged = s.run();
    CHECK(check_named(sagged, "start-surge").value == Near{8942.4, 0.1, 0});
    CHECK(verdict(sagged, "start-surge") == Verdict::marginal);

    s.set("wiring", "[assumed_range]\n\"motor.locked_rotor\" = [\"25 A\", \"48 A\"]");
    auto const assumed = s.run();
    CHECK(verdict(assumed, "start-surge") == Verdict::unknown);
    CHECK(contains(check_named(assumed, "start-surge").change, "Measure motor.locked_rotor (25 to 48 A)"));
    CHECK(contains(check_named(assumed, "start-surge").provenance, "assumed, 25 to 48 A"));
}

// 1 hp, 48 A at power factor 0.7, 600 ft. Recomputed; 2.0 and 1.24 ohm/kft from memory.
//                    AWG  ohm/kft sag    least  drop %  motor share  drop              start
TEST_CASE("each part passes, the chain fails") {
    struct Row {
        std::string size, ohm, sag, least;
        double drop, share;
        Verdict run, start;
    };
    for (auto const& r : std::vector<Row>{
             {"12", "2.0", "0", "0.65", 8.35, 0.716, Verdict::fail, Verdict::pass},
             {"12", "2.0", "0.1", "0.65", 8.35, 0.644, Verdict::fail, Verdict::fail},
             {"12", "2.0", "0.1", "0.55", 8.35, 0.644, Verdict::fail, Verdict::pass},
             {"10", "1.24", "0", "0.65", 5.18, 0.808, Verdict::marginal, Verdict::pass},
             {"10", "1.24", "0.1", "0.65", 5.18, 0.727, Verdict::marginal, Verdict::pass},
         }) {
        CAPTURE(r.size);
        CAPTURE(r.sag);
        auto const p =
            far_well(r.size, r.ohm, "source_sag = " + r.sag, "least_motor_volts = " + r.least).run();
        CHECK(100 * check_named(p, "cable-drop").value == Near{r.drop, 0.005, 0});
        CHECK(verdict(p, "cable-drop") == r.run);
        CHECK(check_named(p, "start-motor-volts").value == Near{r.share, 5e-4, 0});
        CHECK(verdict(p, "start-motor-volts") == r.start);
    }
    // The report names the limit that was used.
    auto const p = far_well("12", "2.0", "source_sag = 0.1", "least_motor_volts = 0.55").run();
    CHECK(check_named(p, "start-motor-volts").limit_text == "at least 55 %");
}

// Owner with a far well: 2 hp, 12 A and 72 A (code tables), 350 + 300 ft of AWG 8 at 0.778 ohm/kft (from
// memory). Drop 5.3 %, start 80.5 %, with 10 % sag 72.4 %, recomputed. The measured 7.5 kW spike is about 31
// A.
TEST_CASE("a far well, and where its start current comes from") {
    CheckScenario s;
    s.set("motor", CheckScenario::motor("2 hp", "2000 W", "72 A", "full_load = \"12 A\"\n"));
    auto const lay = [&](std::string const& sag, std::string const& provenance) {
        s.set("wiring", "[wiring]\nsource_sag = " + sag + "\n" + cable("350", "8", "0.778") +
                            cable("300", "8", "0.778") + "[provenance]\n\"motor.locked_rotor\" = \"" +
                            provenance + "\"");
        return s.run();
    };
    auto const stiff = lay("0", "table");
    CHECK(100 * check_named(stiff, "cable-drop").value == Near{5.277, 0.001, 0});
    CHECK(verdict(stiff, "cable-drop") == Verdict::marginal);
    CHECK(check_named(stiff, "start-motor-volts").value == Near{0.805, 0.0005, 0});
    CHECK(verdict(stiff, "start-motor-volts") == Verdict::pass);
    CHECK(contains(check_named(stiff, "start-motor-volts").provenance, "72.0 A (table)"));
    auto const sagged = lay("0.1", "table");
    CHECK(check_named(sagged, "start-motor-volts").value == Near{0.724, 0.0005, 0});
    CHECK(verdict(sagged, "start-motor-volts") == Verdict::pass);
    s.set("motor", CheckScenario::motor("2 hp", "2000 W", "31 A", "full_load = \"12 A\"\n"));
    auto const measured = lay("0", "measured");
    CHECK(contains(check_named(measured, "start-surge").provenance, "31.0 A (measured)"));
    CHECK(check_named(measured, "start-surge").value < 0.5 * check_named(stiff, "start-surge").value);
}

// 48 V lead-acid, 8.8 kW from it; 20 and 40 mohm, battery cable 5 mohm, 48.8 and 48.0 V at rest; cut-out 42
// V. Constant-power sag, recomputed: 43.8 V and 201 A; 37.4 V and 235 A.
TEST_CASE("cold lead-acid sags out at half charge") {
    auto const sag = [](std::string const& milliohm, std::string const& rest) {
        CheckScenario s;
        s.set("battery",
              "[battery]\nchemistry = \"flooded-lead-acid\"\nnominal_voltage = \"48 V\"\ncapacity = \"10 "
              "kWh\"\n"
              "voltage_model = true\nresistance = \"" +
                  milliohm + " mohm\"");
        s.set("inverter", s.low_cutout_inverter());
        s.set("wiring",
              "[wiring]\ndc_cable_resistance = \"5 mohm\"\nbattery_peak_current = \"300 A\"\n"
              "[check]\nbattery_temperature = \"25 degC\"\nresting_voltage = \"" +
                  rest + " V\"");
        return s.run();
    };
    auto const warm = sag("20", "48.8"), cold = sag("40", "48.0");
    CHECK(check_named(warm, "start-battery-volts").value == Near{43.8, 0.05, 0});
    CHECK(check_named(warm, "start-battery-amps").value == Near{201, 0.5, 0});
    CHECK(verdict(warm, "start-battery-volts") == Verdict::marginal);
    CHECK(check_named(cold, "start-battery-volts").value == Near{37.4, 0.05, 0});
    CHECK(check_named(cold, "start-battery-amps").value == Near{235, 0.5, 0});
    CHECK(verdict(cold, "start-battery-volts") == Verdict::fail);
}

TEST_CASE("a cold battery's resistance is worked out, and a battery that cannot at all is said so") {
    CheckScenario s;
    std::string const battery =
        "[battery]\nchemistry = \"flooded-lead-acid\"\nnominal_voltage = \"48 V\"\ncapacity = \"10 kWh\"\n"
        "voltage_model = true\nresistance = \"20 mohm\"";
    s.set("battery", battery);
    // 0 deg C: 1.75 times the resistance, from memory (every chemistry's usual figure in
    // models/battery_bank).
    s.set("wiring", "[check]\nresting_voltage = \"48 V\"\nbattery_temperature = \"0 degC\"");
    double const watts = 11040 * 0.7 / 0.88;
    CHECK(check_named(s.run(), "start-battery-volts").value ==
          Near{models::terminal_at_power(48, 0.035, watts).volts, 1e-6, 0});
    // With unknown temperature it does not pass.
    s.set("inverter", s.low_cutout_inverter());
    s.set("wiring", "[check]\nresting_voltage = \"50 V\"");
    CHECK(verdict(s.run(), "start-battery-volts") == Verdict::unknown);
    s.set("wiring", "[check]\nresting_voltage = \"50 V\"\nbattery_temperature = \"25 degC\"");
    CHECK(verdict(s.run(), "start-battery-volts") == Verdict::pass);
    s.set("wiring", "[check]\nresting_voltage = \"24 V\"\nbattery_temperature = \"0 degC\"");
    CHECK(verdict(s.run(), "start-battery-volts") == Verdict::fail);
}

// 4 kW set, 3/4 hp three-wire: 3.0 kW externally regulated (generator table of a submersible-motor manual).
TEST_CASE("the right size does not start it: a measurement beats the table") {
    CheckScenario s;
    s.set("motor", CheckScenario::motor("0.75 hp", "940 W", "41 A", ""));
    s.set("backup",
          "[backup]\nkind = \"generator\"\ntransfer_below = 0.3\nreturn_above = 0.8\n[generator]\n"
          "rated_power = \"4 kW\"\nfuel_at_half_load = \"1.5 L/h\"\nfuel_at_full_load = \"2.4 L/h\"");
    auto const table = s.run();
    CHECK(check_named(table, "generator-start").limit == Near{3000, 1e-9, 0});
    CHECK(verdict(table, "generator-start") == Verdict::pass);
    s.set("wiring", "[check]\nmeasured_start_on_generator = \"failed\"");
    auto const tried = s.run();
    CHECK(verdict(tried, "generator-start") == Verdict::fail);
    CHECK(contains(check_named(tried, "generator-start").detail, "By the table PASS"));
    CHECK(verdict(tried, "generator-measured") == Verdict::fail);
    CHECK(contains(check_named(tried, "generator-measured").change, "check control box first"));
    CHECK(sim::stands_in_the_way(check_named(tried, "generator-measured")));
}

// 6.5 kW at 2400 m and 3.5 % per 300 m: 4.68 kW. 1 hp needs 4.0: alone it passes, a 3 kW charger beside it
// not: 0.68 kW of room, less the 40 W that the inverter draws while it passes the generator through.
// Recomputed.
TEST_CASE("high ranch on propane") {
    CheckScenario s;
    s.elevation = "2400 m";
    auto const backup = [&](std::string const& charger) {
        s.set("backup",
              "[charger]\npower_limit = \"" + charger +
                  "\"\nefficiency = 1\n[backup]\nkind = \"generator\"\ntransfer_below = 0.3\nreturn_above = "
                  "0.8\n"
                  "charge_to = 0.8\n[generator]\nrated_power = \"6.5 kW\"\nfuel_at_half_load = \"2.7 L/h\"\n"
                  "fuel_at_full_load = \"4.4 L/h\"");
        return s.run();
    };
    auto const high = backup("3 kW");
    CHECK(check_named(high, "generator-start").value == Near{4680, 1e-6, 0});
    CHECK(verdict(high, "generator-start") == Verdict::pass);
    CHECK(check_named(high, "generator-charger").limit == Near{640, 1e-6, 0});
    CHECK(verdict(high, "generator-charger") == Verdict::fail);
    CHECK(contains(check_named(high, "generator-charger").change, "640 W"));
    CHECK(verdict(backup("0.65 kW"), "generator-charger") == Verdict::fail);
    CHECK(verdict(backup("0.63 kW"), "generator-charger") == Verdict::pass);
    s.set("wiring", "[wiring]\ncharger_folds_back = true");
    CHECK(verdict(backup("3 kW"), "generator-charger") == Verdict::marginal);
}

// 62.5 Hz at no load, 59 Hz at full; window 57-63 takes it, 59.3-60.5 never does (an installers' list, 2011).
TEST_CASE("the charger and the set's frequency") {
    struct Row {
        std::string set, window;
        Verdict expected;
    };
    for (auto const& r :
         std::vector<Row>{{R"(["62.5 Hz", "59 Hz"])", R"(["57 Hz", "63 Hz"])", Verdict::pass},
                          {R"(["62.5 Hz", "59 Hz"])", R"(["59.3 Hz", "60.5 Hz"])", Verdict::fail},
                          {R"(["60 Hz", "59 Hz"])", R"(["59.3 Hz", "60.5 Hz"])", Verdict::fail}}) {
        CheckScenario s;
        s.set("backup",
              "[charger]\npower_limit = \"1 kW\"\n[backup]\nkind = \"generator\"\ntransfer_below = 0.3\n"
              "return_above = 0.8\ncharge_to = 0.8\n[generator]\nrated_power = \"7 kW\"\n"
              "fuel_at_half_load = \"2.9 L/h\"\nfuel_at_full_load = \"4.8 L/h\"");
        s.set("wiring", "[wiring]\ngenerator_frequency = " + r.set + "\naccepted_frequency = " + r.window);
        CHECK(verdict(s.run(), "generator-accept") == r.expected);
    }
}

// By Boyle's law a tank with 3 % of its air gives 3 % of the water a cycle, so its runs are as much shorter.
TEST_CASE("a waterlogged tank fails the shortest run and its starts") {
    CheckScenario s;
    auto const sound = s.run();
    CHECK(verdict(sound, "shortest-run") == Verdict::pass);
    CHECK(verdict(sound, "starts-per-day") == Verdict::pass);
    s.set("tank",
          "[tank]\nvolume = \"85 gal\"\ncut_in = \"40 psi\"\ncut_out = \"60 psi\"\nprecharge = \"38 psi\"\n"
          "air_left = 0.03");
    auto const flooded = s.run();
    CHECK(check_named(flooded, "shortest-run").value ==
          Near{0.03 * check_named(sound, "shortest-run").value, 0, 0.01});
    CHECK(verdict(flooded, "shortest-run") == Verdict::fail);
    CHECK(verdict(flooded, "starts-per-day") == Verdict::fail);
}

// 1440 gal a day at even hours are 60 gal an hour. Pump 10 gpm, 30 gal between cut-in and cut-out. Taps of 12
// gpm: 30 gal leave the tank in 2.5 min, the pump starts, and with the taps open another 2.5 min the tank
// only falls; shut, it fills in one go: 24 starts. Of 9.9 gpm: the tank would take 300 min to fill beside the
// taps, so again one start an hour: 24. The old figure was 1440 gal over a cycle of 30 x 10 / 0.1 gal: 0.5
// starts, "0", PASS. Of 5 gpm: 6 min to cut-in, 6 min to cut-out at 5 gpm net, and the 60 gal are through: 1
// start an hour. Of 1 gpm, all day long: 30 min to cut-in and 30 / 9 min to cut-out are a cycle, 1440 / 33.3
// of them a day.
TEST_CASE("taps at or above the pump's flow start it once an hour, and the check says so") {
    constexpr double gallon_m3 = 3.785411784e-3, gpm_m3_s = gallon_m3 / 60;
    auto const starts = [&](double tap_gpm) {
        sim::check_detail::DayOfUse use;
        use.volume_m3.fill(60 * gallon_m3);
        use.tap_flow_m3_s = tap_gpm * gpm_m3_s;
        return sim::check_detail::starts_of_day({use}, 30 * gallon_m3, 10 * gallon_m3, 10 * gpm_m3_s);
    };
    CHECK(starts(12) == 24);
    CHECK(starts(10) == 24);
    CHECK(starts(9.9) == 24);
    CHECK(starts(5) == 24);
    CHECK(starts(1) == Near{1440 / (30 + 30 / 9.), 1, 0});
    // Two uses of 30 gal at 6 gpm are one of 60 at 12.
    sim::check_detail::DayOfUse half;
    half.volume_m3.fill(30 * gallon_m3);
    half.tap_flow_m3_s = 6 * gpm_m3_s;
    CHECK(sim::check_detail::starts_of_day({half, half}, 30 * gallon_m3, 10 * gallon_m3, 10 * gpm_m3_s) ==
          24);
    // As a whole design, against the year: an even day of 60 gal an hour at taps about the pump's flow.
    for (std::string const tap : {"3 gpm", "6 gpm", "9 gpm", "10 gpm", "11 gpm", "14 gpm"}) {
        CAPTURE(tap);
        CheckScenario s;
        s.set("demand",
              "[demand]\ndaily = \"1440 gal/day\"\ntap_flow = \"" + tap +
                  "\"\nprofile = [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]");
        s.set("battery",
              "[battery]\ncapacity = \"500 kWh\"\nusable_fraction = 0.9\ncharge_efficiency = 0.97\n"
              "discharge_efficiency = 0.97\ncharge_limit = \"250 kW\"\ndischarge_limit = \"500 kW\"");
        s.set("inverter",
              "[inverter]\nrated_power = \"20 kW\"\noutput_voltage = \"230 V\"\nsplit_phase = false\n"
              "efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]");
        auto const scenario = s.read();
        auto const system = sim::make_system(scenario);
        auto in = test::steady_inputs(0, 0, 60 * gallon_m3, scenario.demand.tap_flow_m3_s);
        auto const year = sim::simulate(system, in, {0, 48});
        double const second_day = year.days.at(1).pump_starts;
        CHECK(check_named(s.run(), "starts-per-day").value == Near{second_day, 2, 0});
    }
}

// Winter, 2.5 sun hours, factor 0.77; PV 1.2 kW gives 2.31 kWh, 2.4 kW twice that (recomputed).
TEST_CASE("an array under the load never refills the battery") {
    CheckScenario s;
    s.set("load", "[[load]]\nname = \"house\"\npower = \"60 W\"");
    auto const with = [&](std::string const& kw) {
        s.set("array",
              "[array]\nrated_power = \"" + kw +
                  " kW\"\ntilt = \"45 deg\"\nazimuth = \"180 deg\"\n[controller]\npower_limit = \"4 kW\"");
        s.set("wiring", "[check]\nsun_hours = 2.5");
        return s.run();
    };
    auto const small = with("1.2"), large = with("2.4");
    CHECK(verdict(small, "array-to-load") == Verdict::fail);
    CHECK(contains(check_named(small, "array-to-load").detail, "2.31 kWh a day"));
    CHECK(contains(check_named(small, "array-to-load").detail, "PV alone never fills it again."));
    CHECK(verdict(large, "array-to-load") != Verdict::fail);
    CHECK(check_named(large, "array-to-load").value ==
          Near{2 * check_named(small, "array-to-load").value, 0, 1e-3});
    // Days without sun: 8.73 kWh usable; a stated requirement gives FAIL, the usual figure only a remark.
    CHECK(verdict(small, "autonomy") != Verdict::fail);
    s.set("wiring", "[check]\nleast_autonomy_days = 10");
    CHECK(verdict(s.run(), "autonomy") == Verdict::fail);
    CheckScenario idle;
    idle.set("demand", "[demand]\ndaily = \"0 gal/day\"");
    CHECK(std::isfinite(check_named(idle.run(), "autonomy").value));
}

TEST_SUITE_END();
