#include "scenarios/design/design.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::DesignFile, scenarios::Override, test::Near;

namespace {

std::string const demo_path = HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml";

std::string demo_text() { return test::file_text(demo_path); }

// The demo with lines appended; the first of them is line `first_added`.
std::size_t first_added() {
    auto const text = demo_text();
    return 1 + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}
DesignFile with(std::string const& lines) {
    return scenarios::read_design_text(demo_text() + lines, demo_path);
}

std::size_t line_of(std::string const& text, std::string const& what) {
    auto const at = text.find(what);
    REQUIRE(at != std::string::npos);
    return 1 + static_cast<std::size_t>(
                   std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/design");

TEST_CASE("without options the design is the scenario, for every demo") {
    for (std::string const name : {"juniper-bend-household", "alder-flat-outages", "saltbush-livestock"}) {
        CAPTURE(name);
        std::string const path = HOLDWATER_SOURCE "/scenarios/" + name + ".toml";
        auto const file = scenarios::read_design_file(path);
        auto const base = scenarios::base_design(file);
        auto const plain = scenarios::read_scenario(path);
        CHECK(base.scenario.text == plain.text);
        CHECK(base.scenario.path == plain.path);
        CHECK(base.scenario.weather_path == plain.weather_path);
        CHECK(base.scenario.battery.capacity_kwh == plain.battery.capacity_kwh);
        CHECK(base.scenario.battery.min_soc == plain.battery.min_soc);
        CHECK(base.scenario.array.soiling_by_month == plain.array.soiling_by_month);
        CHECK(base.scenario.outages.size() == plain.outages.size());
        CHECK(base.scenario.loads.size() == plain.loads.size());
        CHECK(base.scenario.tank.total_volume_m3 == plain.tank.total_volume_m3);
        CHECK(base.scenario.demand.daily_m3 == plain.demand.daily_m3);
        CHECK(!base.prices);
    }
}

TEST_CASE("an option changes what it names and nothing else") {
    auto const file = with(R"(
[[option]]
name = "B"
"battery.capacity" = "14 kWh"
array.tilt = "40 deg"
"load.refrigerator.power" = "200 W"
"pipe.2.length" = "100 ft"
"motor.volts" = "240 V"

[[option]]
name = "C"
remove = ["generator", "load.modem and radio link", "charger.efficiency"]
"backup.kind" = "none"
"battery.self_discharge_per_month" = 0.05
)");
    REQUIRE(file.options.size() == 2);
    auto const base = scenarios::base_design(file), b = scenarios::named_design(file, "B"),
               c = scenarios::named_design(file, "C");
    CHECK(base.scenario.battery.capacity_kwh == Near{10.2, 1e-12, 0});
    CHECK(b.name == "B");
    CHECK(b.scenario.battery.capacity_kwh == Near{14, 1e-12, 0});
    CHECK(b.scenario.plane.tilt_deg == Near{40, 1e-12, 0});
    CHECK(b.scenario.loads[2].load.power_w == Near{200, 1e-12, 0});
    CHECK(b.scenario.loads[1].load.power_w == base.scenario.loads[1].load.power_w);
    CHECK(b.scenario.piping.segments[1].length_m == Near{30.48, 1e-9, 0});
    CHECK(b.scenario.piping.segments[0].length_m == base.scenario.piping.segments[0].length_m);
    CHECK(b.scenario.demand.daily_m3 == base.scenario.demand.daily_m3);
    CHECK(c.scenario.rules.backup == scenarios::Backup::none);
    CHECK(!c.scenario.generator);
    CHECK(c.scenario.loads.size() == base.scenario.loads.size() - 1);
    CHECK(c.scenario.battery.self_discharge_per_h > base.scenario.battery.self_discharge_per_h);
    // The text of an option is a scenario of its own and says the same.
    auto const again = scenarios::read_scenario_text(b.scenario.text, demo_path);
    CHECK(again.battery.capacity_kwh == b.scenario.battery.capacity_kwh);
    CHECK(again.array.soiling_by_month == base.scenario.array.soiling_by_month);
    CHECK(again.array.dc_loss_fraction == base.scenario.array.dc_loss_fraction);
}

TEST_CASE("an option adds a table, an outage or a price the scenario does not have") {
    auto const file = with(R"(
[prices]
currency = "EUR"
purchase = 12000
fuel_per_liter = 1.1
years = 20
discount_rate = "4 %"

[[option]]
name = "snow"
"array.snow.days_by_month" = [5, 2, 0, 0, 0, 0, 0, 0, 0, 0, 1, 4]
"prices.purchase" = 13500
"prices.battery_replacement" = 4000
"prices.battery_life_years" = 12
)");
    auto const base = scenarios::base_design(file), snow = scenarios::named_design(file, "snow");
    CHECK(base.scenario.snow.days.none());
    CHECK(snow.scenario.snow.days.count() == 12);
    REQUIRE(base.prices);
    REQUIRE(snow.prices);
    CHECK(base.prices->purchase == 12000);
    CHECK(base.prices->discount_rate == Near{0.04, 1e-15, 0});
    CHECK(snow.prices->purchase == 13500);
    CHECK(snow.prices->fuel_per_liter == 1.1);
    CHECK(snow.prices->battery_life_y == 12);
}

// Before, [[option.use]] replaced the whole list with its one entry, and the use of the house was silently
// gone.
TEST_CASE("an option adds entries to lists of tables, and replaces a list that it removes first") {
    std::string const path = HOLDWATER_SOURCE "/scenarios/saltbush-low-yield.toml";
    auto const text = test::file_text(path) + R"(
[[option]]
name = "garden"
[[option.use]]
name = "garden"
kind = "other"
daily = "40 gal/day"

[[option.use]]
name = "hydrant drip"
kind = "leak"
flow = "0.02 gpm"
[[option.load]]
name  = "radio"
power = "9 W"

[[option]]
name = "herd alone"
remove = ["use", "demand.seed"]
[[option.use]]
name = "cattle"
kind = "livestock"
heads = 20
animal = "beef_nursing"
)";
    auto const file = scenarios::read_design_text(text, path);
    auto const base = scenarios::base_design(file), garden = scenarios::named_design(file, "garden"),
               herd = scenarios::named_design(file, "herd alone");
    REQUIRE(base.scenario.demand.uses.size() == 3);
    auto const& uses = garden.scenario.demand.uses;
    REQUIRE(uses.size() == 5);
    for (std::size_t i = 0; i < 3; ++i) CHECK(uses[i] == base.scenario.demand.uses[i]);
    CHECK(uses[3].name == "garden");
    CHECK(uses[3].daily_m3 == Near{40 * 3.785411784e-3, 1e-12, 0});
    CHECK(uses[4].name == "hydrant drip");
    CHECK(garden.scenario.loads.size() == base.scenario.loads.size() + 1);
    REQUIRE(herd.scenario.demand.uses.size() == 1);
    CHECK(herd.scenario.demand.uses[0].heads == 20);
    // The text of an option is a scenario of its own and says the same.
    CHECK(scenarios::read_scenario_text(garden.scenario.text, path).demand.uses == uses);

    auto const n = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1;
    for (auto const& [lines, message] : {
             std::pair<std::string, std::string>{
                 "[[option]]\nname = \"X\"\n[[option.use]]\nname = \"house\"\nkind = \"other\"\n",
                 ":" + std::to_string(n + 2) +
                     ": key 'use': the list has a 'house' already; change its keys as "
                     "\"use.house.KEY\" or take it out first with remove = [\"use.house\"]"},
             {"[[option]]\nname = \"X\"\n[[option.battery]]\ncapacity = \"5 kWh\"\n",
              ":" + std::to_string(n + 2) + ": key 'battery': is not a list of tables to add to"},
             {"[[option]]\nname = \"X\"\n[[option.use]]\nname = \"garden\"\nkind = \"other\"\n\n"
              "daily = \"40 kg/day\"\n",
              ":" + std::to_string(n + 6) + ": option \"X\": key 'use.daily'"},
             {"[[option]]\nname = \"X\"\noption = \"garden\"\n",
              ":" + std::to_string(n + 2) + ": key 'option.option': an option cannot take another one"},
         }) {
        CAPTURE(message);
        auto const said = test::message_of<scenarios::ScenarioError>([&, &lines = lines] {
            scenarios::named_design(scenarios::read_design_text(text + lines, path), "X");
        });
        CAPTURE(said);
        CHECK(said.find(message) != said.npos);
    }
}

// A list with no entry left counts as not there: before, it was refused as one without a table.
TEST_CASE("an option takes out the last entry of a list") {
    auto const design = [](std::string const& lines) {
        return scenarios::named_design(
                   with("\n[[cable]]\nname = \"drop\"\nlength = \"30 m\"\nsize = \"10\"\n" + lines), "none")
            .scenario;
    };
    auto const plain = scenarios::read_scenario(demo_path);
    auto const cables = plain.wiring.cables.size();
    std::string remove;
    for (std::size_t i = 0; i <= cables; ++i) remove += std::string(i > 0 ? ", " : "") + "\"cable.1\"";
    CHECK(design("[[option]]\nname = \"none\"\nremove = [" + remove + "]\n").wiring.cables.empty());
    auto const other = design("[[option]]\nname = \"none\"\nremove = [" + remove +
                              "]\n[[option.cable]]\nname = \"yard\"\nlength = \"20 m\"\nsize = \"8\"\n");
    REQUIRE(other.wiring.cables.size() == 1);
    CHECK(other.wiring.cables[0].name == "yard");
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)design("[[option]]\nname = \"none\"\nremove = [" + remove + ", \"cable.1\"]\n");
          }).find("cannot be removed: the scenario does not have it") != std::string::npos);
}

// The tank of alder-flat-store against its larger battery; they differ in whole tables.
TEST_CASE("an option as one change among others: what an axis of options runs") {
    std::string const path = HOLDWATER_SOURCE "/scenarios/alder-flat-store.toml";
    auto const file = scenarios::read_design_file(path);
    scenarios::VariantReader const variants(file, {});
    auto const large = scenarios::named_design(file, "large battery").scenario;
    // In any order of the keys, the option is applied first, and then the other keys change it.
    for (bool const first : {true, false}) {
        std::vector<Override> changes{{"option", "\"large battery\"", 0},
                                      {"battery.capacity", "\"12 kWh\"", 0}};
        if (!first) std::swap(changes[0], changes[1]);
        auto const s = variants.scenario(changes);
        CHECK(!s.cistern);
        CHECK(s.battery.capacity_kwh == Near{12, 1e-12, 0});
        CHECK(s.battery.charge_limit_kw == large.battery.charge_limit_kw);
    }
    CHECK(variants.scenario({{"option", "\"base design\"", 0}}).cistern);
    CHECK(
        test::message_of<scenarios::ScenarioError>([&] {
            (void)variants.scenario({{"option", "\"bigger\"", 0}});
        }) ==
        path +
            ": key 'option': there is no option \"bigger\"; there are \"large battery\", \"small battery\", "
            "\"pump by day\"");
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)variants.scenario({{"option", "3", 0}});
          }) == path + ": key 'option': 3 is not the name of an option, a text in quotes");
    // A key of a table that the option has removed is an error of that combination, and is not silently
    // ignored.
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              (void)variants.scenario(
                  {{"option", "\"large battery\"", 0}, {"cistern.fill_stop", "\"900 gal\"", 0}});
          }).find("'capacity' is missing in the table [cistern]") != std::string::npos);
}

TEST_CASE("what is wrong in an option is said with option, key and line") {
    std::size_t const n = first_added();
    std::string const at = demo_path + ":";
    struct Row {
        std::string lines, message;
    };
    for (auto const& [lines, message] : {
             // the line of the option itself, for every message
             Row{"[[option]]\nname = \"B\"\n\"battery.capacity\" = \"14 kg\"\n",
                 at + std::to_string(n + 2) + ": option \"B\": key 'battery.capacity': "},
             Row{"[[option]]\nname = \"B\"\n\n\"battery.capacty\" = \"14 kWh\"\n",
                 at + std::to_string(n + 3) +
                     ": option \"B\": key 'battery.capacty': no such key; the nearest known key is "
                     "'capacity'"},
             Row{"[[option]]\nname = \"B\"\nbattery.usable_fraction = 1.5\n",
                 at + std::to_string(n + 2) +
                     ": option \"B\": key 'battery.usable_fraction': 1.5 is out of range"},
             // an error that the option causes in another place is reported there
             Row{"[[option]]\nname = \"B\"\n\"battery.usable_fraction\" = 0.5\n",
                 at + std::to_string(line_of(demo_text(), "transfer_below = ")) +
                     ": option \"B\": key 'backup.transfer_below': 0.25 is not above the battery's minimum "
                     "SOC "
                     "0.5"},
             Row{"[[option]]\nname = \"B\"\n\"load.kettle.power\" = \"2 kW\"\n",
                 at + std::to_string(n + 2) +
                     ": key 'load.kettle.power': there is no [[load]] 'kettle'; there are 'pressure switch"},
             Row{"[[option]]\nname = \"B\"\n\"title.short\" = \"x\"\n",
                 at + std::to_string(n + 2) + ": key 'title.short': 'title' is a value"},
             Row{"[[option]]\nname = \"B\"\nremove = [\"turbine\"]\n",
                 at + std::to_string(n + 2) + ": key 'turbine': cannot be removed"},
             Row{"[[option]]\nname = \"B\"\nremove = [\"battery\"]\n",
                 ": option \"B\": the table [battery] is missing"},
             Row{"[[option]]\n\"battery.capacity\" = \"14 kWh\"\n",
                 at + std::to_string(n) + ": key 'option.name'"},
             Row{"[[option]]\n\nname = \"B\\nYES\"\n",
                 at + std::to_string(n + 2) + ": key 'option.name': must be one line of text"},
             Row{"[[option]]\nname = \"B\"\n[[option]]\nname = \"B\"\n", "\"B\" is taken"},
             Row{"[option]\nname = \"B\"\n", "[[option]]"},
             Row{"[prices]\npurchase = 1\nyears = 20\ndiscount_rate = 0.04\n[[option]]\nname = \"B\"\n",
                 "the key 'fuel_per_liter' is missing in the table [prices]"},
             Row{"[prices]\npurchase = 1\nfuel_per_liter = 1\nyears = 20\ndiscount_rate = "
                 "0.04\n[[option]]\nname "
                 "= \"B\"\n\n\"prices.years\" = 0\n",
                 at + std::to_string(n + 8) + ": option \"B\": key 'prices.years': 0 is out of range"},
         }) {
        CAPTURE(lines);
        std::string const said = test::message_of<scenarios::ScenarioError>(
            [&, text = lines] { scenarios::named_design(with(text), "B"); });
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
    }
    CHECK(test::message_of<scenarios::ScenarioError>([&] {
              scenarios::named_design(with("[[option]]\nname = \"B\"\n"), "X");
          }).find("there is no option \"X\"; there are \"B\"") != std::string::npos);
}

TEST_CASE("a value typed at the command line is TOML when it can be, else a text") {
    CHECK(scenarios::as_toml_value("0.8") == "0.8");
    CHECK(scenarios::as_toml_value("true") == "true");
    CHECK(scenarios::as_toml_value("\"a\"") == "\"a\"");
    auto const file = with("");
    for (auto const& [key, typed] : {std::pair<std::string, std::string>{"battery.capacity", "5 kWh"},
                                     {"battery.usable_fraction", "0.85"},
                                     {"array.azimuth", "170 deg"}})
        CHECK_NOTHROW(
            scenarios::option_design(file, {"", {{key, scenarios::as_toml_value(typed), 0}}, {}, 0}));
    std::string const said = test::message_of<scenarios::ScenarioError>([&] {
        scenarios::option_design(file,
                                 {"", {{"battery.capacity", scenarios::as_toml_value("5 m"), 0}}, {}, 0});
    });
    CAPTURE(said);
    CHECK(said.find(demo_path + ": key 'battery.capacity': ") == 0);
    CHECK(said.find("5 m") != std::string::npos);
}

TEST_CASE("variants are what an option with the same changes gives, errors with their lines as well") {
    auto const file = with("\n[[option]]\nname = \"B\"\nbattery.capacity = \"9 kWh\"\n");
    scenarios::VariantReader const variants(file, file.options[0]);
    auto const changed = [&](std::vector<Override> const& changes) {
        auto option = file.options[0];
        option.overrides.insert(option.overrides.end(), changes.begin(), changes.end());
        return scenarios::option_design(file, option).scenario;
    };
    std::vector<Override> const changes{{"array.azimuth", "\"170 deg\"", 0},
                                        {"battery.usable_fraction", "0.85", 0}};
    auto const one = variants.scenario(changes), other = changed(changes);
    CHECK(one.battery.capacity_kwh == Near{9, 0, 1e-12});
    CHECK(one.battery.capacity_kwh == other.battery.capacity_kwh);
    CHECK(one.battery.min_soc == other.battery.min_soc);
    CHECK(one.plane.azimuth_deg == 170);
    CHECK(one.warnings == other.warnings);
    CHECK(one.demand.daily_m3 == other.demand.daily_m3);
    CHECK(variants.scenario({}).battery.min_soc ==
          changed({}).battery.min_soc);  // the reading before it has left nothing behind

    // A wrong value in the option itself, and one that makes a line of the file wrong.
    for (auto const& wrong :
         {Override{"battery.capacity", "\"5 m\"", 0}, Override{"tank.cut_out", "\"10 psi\"", 0},
          Override{"battery.capasity", "\"5 kWh\"", 0}}) {
        CAPTURE(wrong.key);
        std::string const said =
            test::message_of<scenarios::ScenarioError>([&] { (void)variants.scenario({wrong}); });
        CHECK(said == test::message_of<scenarios::ScenarioError>([&] { (void)changed({wrong}); }));
        CHECK(said != "was accepted");
    }
}

TEST_SUITE_END();
