#include "scenarios/parts/parts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>

#include "scenarios/design/check_part.hpp"
#include "scenarios/design/design.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near;

namespace {

std::string const demo_path = HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml";
std::string const batteries_path = HOLDWATER_SOURCE "/scenarios/parts/batteries.toml";

// The household demo with the shipped lists and one section (header up to the next empty line) replaced.
std::string demo_with(std::string const& header, std::string const& lines) {
    std::string text = "parts = [\"parts\"]\n" + test::file_text(demo_path);
    auto const at = text.find("\n" + header);
    REQUIRE(at != std::string::npos);
    return text.replace(at + 1, text.find("\n\n", at) - at, lines);
}

scenarios::Scenario read(std::string const& text) { return scenarios::read_scenario_text(text, demo_path); }

std::string line_in(std::string const& text, std::string const& what) {
    auto const at = text.find(what);
    REQUIRE(at != std::string::npos);
    return std::to_string(1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

constexpr char const* battery = "[battery]\npart = \"lithium-5\"\nvoltage_model = true\n";

}  // namespace

TEST_SUITE_BEGIN("scenarios/parts");

TEST_CASE("a part gives the section its keys; what the section says itself stays, key by key") {
    auto const s = read(demo_with(
        "[battery]", std::string(battery) + "usable_fraction = 0.8\n[battery.life]\ncalendar_years = 9\n"));
    CHECK(s.battery.capacity_kwh == Near{5.12, 1e-12, 0});
    CHECK(s.battery.min_soc == Near{0.2, 1e-12, 0});
    CHECK(s.battery_v == Near{51.2, 1e-12, 0});
    CHECK(s.battery_life.calendar_life_y == 9);
    CHECK(s.battery_life.cycle_life);  // the part's table of cycles
    REQUIRE(s.wiring.battery_peak_a);
    CHECK(*s.wiring.battery_peak_a == 200);  // comes with the battery, for [wiring]
    REQUIRE(s.wiring.dc_fuse_a == 200);      // of the scenario's own [wiring]
    REQUIRE(s.parts.size() == 1);
    CHECK(s.parts[0].section == "battery");
    CHECK(s.parts[0].price == 1500);
}

TEST_CASE("the scenario's text with parts is a scenario of its own, without lists") {
    auto const s = read(demo_with("[battery]", battery));
    CHECK(s.text.find("part") == std::string::npos);
    auto const again = scenarios::read_scenario_text(s.text, "elsewhere/x.toml");
    CHECK(again.battery.capacity_kwh == s.battery.capacity_kwh);
    CHECK(again.battery_life.calendar_life_y == s.battery_life.calendar_life_y);
    CHECK(again.parts.empty());
}

TEST_CASE("a pump brings its motor unless the motor is another part") {
    std::string const pump = "[pump]\npart = \"submersible-10gpm-0.75hp\"\n";
    // The scenario's own [motor] stays, key by key.
    CHECK(read(demo_with("[pump]", pump)).motor.rated_power_w == Near{745.7, 0.1, 0});
    auto text = demo_with("[pump]", pump);
    auto const at = text.find("\n[motor]");
    text.replace(at + 1, text.find("\n\n", at) - at, "");
    auto const brought = read(text);
    CHECK(brought.motor.rated_power_w == Near{0.75 * 745.7, 0.1, 0});
    CHECK(brought.motor.locked_rotor_a == 32);
    CHECK(brought.pump.curve.front().head_m == Near{11 * 27.0 * 0.3048, 1e-9, 0});
    // A motor of its own: no key of the pump's motor is mixed in.
    text.insert(text.find("\n[[pipe]]") + 1, "[motor]\npart = \"two-wire-0.75hp\"\n\n");
    auto const other = read(text);
    CHECK(other.motor.wiring == models::MotorWiring::two_wire);
    CHECK(other.motor.locked_rotor_a == Near{40.7, 1e-12, 0});
}

TEST_CASE("entries of lists and the array's module take parts; prices count modules and meters") {
    auto text = demo_with("[array]",
                          "[array]\ntilt = \"55 deg\"\nazimuth = \"180 deg\"\nmodules_in_series = 2\nstrings "
                          "= 2\n[array.module]\npart = \"module-410\"\n");
    text += "\n[[cable]]\npart = \"submersible cable 12\"\nlength = \"10 m\"\n";
    text += "[[load]]\npart = \"lights\"\n";
    auto const s = read(text);
    CHECK(s.array.modules_in_series == 2);
    CHECK(s.wiring.cables.back().name == "submersible cable 12");
    CHECK(s.loads.back().load.name == "lights");
    std::string unpriced;
    CHECK(scenarios::cost_of(s.parts, unpriced) == Near{4 * 130 + 10 * 2.6, 1e-9, 0});
    CHECK(unpriced == "\"lights\"");
}

TEST_CASE("an option and a typed value change the part; the keys of the section stay") {
    auto const file =
        scenarios::read_design_text(demo_with("[battery]", std::string(battery) + "start_soc = 0.7\n") +
                                        "[[option]]\nname = \"B\"\n\"battery.part\" = \"lithium-15\"\n",
                                    demo_path);
    auto const a = scenarios::base_design(file), b = scenarios::named_design(file, "B");
    CHECK(a.scenario.battery.capacity_kwh == Near{5.12, 1e-12, 0});
    CHECK(b.scenario.battery.capacity_kwh == Near{15.36, 1e-12, 0});
    CHECK(b.scenario.start_soc == 0.7);
    auto const typed = scenarios::option_design(
        file, {"", {{"battery.part", scenarios::as_toml_value("lithium-10"), 0}}, {}, 0});
    CHECK(typed.scenario.battery.capacity_kwh == Near{10.24, 1e-12, 0});
    std::string const said = test::message_of<scenarios::ScenarioError>([&] {
        scenarios::option_design(file, {"", {{"battery.part", "\"lithium-9\"", 0}}, {}, 0});
    });
    CHECK(said.find(demo_path +
                    ": key 'battery.part': there is no battery \"lithium-9\" in the parts lists; near "
                    "it are \"lithium-") == 0);
}

TEST_CASE("what is wrong names the list, its line and the key") {
    test::ScratchFolder folder;
    auto const list = [&](std::string const& text) {
        std::ofstream(folder / "mine.toml") << text;
        return (folder / "mine.toml").string();
    };
    std::string const good =
        "[[battery]]\nname = \"mine\"\nchemistry = \"lithium-iron-phosphate\"\nnominal_voltage = \"48 V\"\n";
    auto const with_list = [&](std::string const& text) {
        std::string scenario = demo_with("[battery]", "[battery]\npart = \"mine\"\n");
        auto const path = list(text);
        return test::message_of<scenarios::ScenarioError>(
            [&] { (void)read(scenario.replace(0, scenario.find('\n'), "parts = [\"" + path + "\"]")); });
    };
    std::string const at = (folder / "mine.toml").string() + ":";
    std::string const demo_battery = line_in(demo_with("[battery]", "[battery]\n"), "\n[battery]");
    struct Row {
        std::string text, message;
    };
    for (auto const& [text, message] : {
             Row{good + "capacity = \"5 kg\"\n", at + "5: key 'battery.capacity': "},
             Row{good + "capacity = \"5000 kWh\"\n",
                 at + "5: key 'battery.capacity': 5000 kWh is out of range"},
             Row{good + "capacity = \"5 kWh\"\n\ncapacty = 1\n",
                 at + "7: key 'battery.capacty': no such key; the nearest known key is 'capacity'"},
             Row{good + "capacity = \"5 kWh\"\n" + good, at + "6: key 'battery.name': \"mine\" is taken by"},
             Row{"[[battery]]\ncapacity = \"5 kWh\"\n", at + "1: key 'battery': the key 'name' is missing"},
             Row{"[[turbine]]\nname = \"x\"\n",
                 at + "1: key 'turbine': is not a kind of part; accepted: mod"},
             Row{"battery = [{name = \"mine\"}, {name = \"yours\"}]\n",
                 at + "1: key 'battery': must be written [[battery]]"},
             Row{"[battery]\nname = \"mine\"\n", at + "1: key 'battery': must be one or more tables"},
             Row{"[[battery]]\nname = \"mien\"\n",
                 "there is no battery \"mine\" in the parts lists; near it are \"mien\""},
             Row{"[[pump]]\nname = \"mine\"\n",
                 "lists; there is a pump of that name; they have none of this kind"},
             Row{good + "price = -1\n", at + "5: key 'battery.price': -1 is out of range"},
             Row{"= 3\n", at + "1: not a TOML file"},
         }) {
        CAPTURE(text);
        std::string const said = with_list(text);
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
    }
    // An error that only the combination causes is reported where the scenario wrote it.
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)read(demo_with("[battery]", std::string(battery) + "restart_above = 0.05\n"));
          }).find(demo_path) == 0);
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)read("parts = [\"nowhere\"]\n" + test::file_text(demo_path));
          }).find(demo_path + ":1: key 'parts': there is no parts list \"nowhere\"") == 0);
    auto without = demo_with("[battery]", battery);
    without.erase(0, without.find('\n') + 1);
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)read(without);
          }).find("the scenario names no parts list") != std::string::npos);
}

TEST_CASE("prices add up from parts, and a later battery costs what this one does") {
    std::string const text = demo_with("[battery]", battery);
    auto const priced = [&](std::string const& prices) {
        return scenarios::base_design(scenarios::read_design_text(
            text + "\n[prices]\nyears = 20\ndiscount_rate = 0.04\nfuel_per_liter = 1\n" + prices, demo_path));
    };
    auto const added = priced("besides_parts = 900\nbattery_life_years = 10\n");
    REQUIRE(added.prices);
    CHECK(added.prices->purchase == 2400);
    CHECK(added.prices->battery_replacement == 1500);
    CHECK(added.prices->currency == "EUR");
    CHECK(priced("purchase = 7\n").prices->purchase == 7);
    CHECK(priced("purchase = 7\nbattery_replacement = 3\nbattery_life_years = 10\n")
              .prices->battery_replacement == 3);
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)priced("purchase = 7\nbesides_parts = 1\n");
          }).find("besides_parts") != std::string::npos);
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)priced("currency = \"USD\"\n");
          }).find("prices in USD cannot be added") != std::string::npos);
}

TEST_CASE("every shipped part is right, says that it is invented, and none is there twice") {
    std::vector<scenarios::PartsList> lists;
    std::size_t count = 0;
    for (auto const& file : scenarios::parts_files(HOLDWATER_SOURCE "/scenarios/parts")) {
        CAPTURE(file);
        auto const list = scenarios::read_parts_file(file);
        CHECK(list.about.find("invented") != std::string::npos);
        for (auto const& part : list.parts) {
            CAPTURE(part.name);
            ++count;
            auto const check = scenarios::check_part(list, part);
            for (auto const& warning : check.warnings) FAIL_CHECK(warning);
            CHECK(!check.figures.empty());
        }
        lists.push_back(list);
    }
    CHECK(scenarios::duplicates(lists).empty());
    CHECK(count > 40);
    for (auto const& kind : scenarios::part_kinds()) {
        CAPTURE(kind.kind);
        CHECK(std::any_of(lists.begin(), lists.end(), [&](scenarios::PartsList const& l) {
            return std::any_of(l.parts.begin(), l.parts.end(),
                               [&](scenarios::Part const& p) { return p.kind == kind.kind; });
        }));
    }
}

TEST_CASE("a list has at most 2000 parts and 20000 lines, a scenario 100 lists with 2000 parts in all") {
    auto const list = [](int parts, int empty_lines) {
        std::string text(static_cast<std::size_t>(empty_lines), '\n');
        for (int i = 0; i < parts; ++i) text += "[[module]]\nname = \"m" + std::to_string(i) + "\"\n";
        return text;
    };
    auto const said = [&](int parts, int empty_lines) {
        return test::message_of<scenarios::ScenarioError>(
            [&] { (void)scenarios::read_parts_text(list(parts, empty_lines), "l.toml"); });
    };
    CHECK(said(2000, 0) == "was accepted");
    CHECK(said(2001, 0) ==
          "l.toml:4001: key 'module': a parts list has at most 2000 parts; split it into several lists");
    CHECK(said(1, 19998) == "was accepted");
    CHECK(said(1, 19999) ==
          "l.toml:20001: a parts list has at most 20000 lines; split it into several lists");
    test::ScratchFolder folder;
    std::ofstream(folder / "none.toml") << "about = \"nothing\"\n";
    std::ofstream(folder / "many.toml") << list(2000, 0);
    std::ofstream(folder / "one.toml") << "[[pump]]\nname = \"p\"\n";
    auto const named = [&](std::string const& lists) {
        return test::message_of<scenarios::ScenarioError>([&] {
            (void)scenarios::read_design_text("parts = [" + lists + "]\n", (folder / "s.toml").string());
        });
    };
    std::string none;
    for (int i = 0; i < 101; ++i) none += "\"none.toml\",";
    CHECK(named(none).find(
              "key 'parts': names 101 lists with 0 parts in all; at most 100 lists with 2000 parts "
              "are accepted") != std::string::npos);
    CHECK(named("\"many.toml\", \"one.toml\"").find("names 2 lists with 2001 parts in all") !=
          std::string::npos);
}

TEST_SUITE_END();
