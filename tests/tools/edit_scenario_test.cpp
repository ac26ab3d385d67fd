#include "tools/desk/edit_scenario.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>

#include "tools/desk/typed_value.hpp"

using namespace holdwater::tools;
using holdwater::scenarios::UnitSystem;

namespace {

std::string const text = R"(title = "x"   # a title

[battery]      # two boxes
capacity = "10 kWh"   # nameplate
standby  = "3 W"
[battery.life]
depths = [0.5,
          0.8]
cycles = [6000, 3000]

# what runs beside the pump
[[load]]
name  = "radio"
power = "12 W"

[[load]]
name  = "refrigerator"
power = "130 W"

[cistern]
capacity = "900 gal"
)";

std::string without(std::string from, std::string const& part) {
    auto const at = from.find(part);
    REQUIRE(at != std::string::npos);
    return from.erase(at, part.size());
}

}  // namespace

TEST_SUITE_BEGIN("tools/edit_scenario");

TEST_CASE("a key is taken out with its comment and nothing else") {
    CHECK(without_key(text, "battery.capacity") == without(text, "capacity = \"10 kWh\"   # nameplate\n"));
    CHECK(without_key(text, "battery.life.depths") == without(text, "depths = [0.5,\n          0.8]\n"));
    CHECK(without_key(text, "title") == without(text, "title = \"x\"   # a title\n"));
    CHECK(without_key(text, "load.radio.power") == without(text, "power = \"12 W\"\n"));
    for (auto const* const key : {"battery.capacty", "load.3.power", "nothing", "title.x"})
        CHECK_THROWS_AS((void)without_key(text, key), std::invalid_argument);
}

TEST_CASE("an entry and a table are taken out whole, with the tables below") {
    CHECK(without_key(text, "load.1") == without(text, "[[load]]\nname  = \"radio\"\npower = \"12 W\"\n"));
    CHECK(without_key(text, "load.refrigerator") ==
          without(text, "[[load]]\nname  = \"refrigerator\"\npower = \"130 W\"\n"));
    auto const left = without_key(text, "battery");
    CHECK(left.find("battery") == std::string::npos);
    CHECK(left.find("cycles") == std::string::npos);
    CHECK(left.find("# what runs beside the pump\n[[load]]") != std::string::npos);
    CHECK(without_key(text, "cistern") == without(text, "[cistern]\ncapacity = \"900 gal\"\n"));
}

TEST_CASE("an entry is added behind the last one of its list") {
    auto const added = with_entry_added(text, "load", "name = \"fan\"\npower = \"9 W\"\n");
    CHECK(added.find("power = \"130 W\"\n\n[[load]]\nname = \"fan\"\npower = \"9 W\"\n\n[cistern]") !=
          std::string::npos);
    CHECK(scenario_keys(added).back().key == "cistern.capacity");
    auto const first = with_entry_added(text, "pipe", "length = \"9 ft\"\n");
    CHECK(first.ends_with("[[pipe]]\nlength = \"9 ft\"\n"));
    CHECK(scenario_keys(without_key(added, "load.3")).size() == scenario_keys(text).size());
}

TEST_CASE("a key with dots in it is in quotation marks") {
    auto const set = with_key_set(text, "provenance.\"battery.capacity\"", "\"nameplate\"");
    CHECK(set == text + "\n[provenance]\n\"battery.capacity\" = \"nameplate\"\n");
    CHECK(scenario_keys(set).back().key == "provenance.\"battery.capacity\"");
    auto const other = with_key_set(set, "provenance.\"battery.capacity\"", "\"measured\"");
    CHECK(other.ends_with("\"battery.capacity\" = \"measured\"\n"));
    CHECK(without_key(set, "provenance.\"battery.capacity\"") == text + "\n[provenance]\n");
}

TEST_CASE("what is typed becomes TOML as its key wants it") {
    auto const us = [](char const* key, char const* typed) {
        return typed_as_toml(key, typed, UnitSystem::us);
    };
    auto const metric = [](char const* key, char const* typed) {
        return typed_as_toml(key, typed, UnitSystem::metric);
    };
    CHECK(us("tank.cut_in", "40psi") == "\"40psi\"");
    CHECK(us("tank.cut_in", " 40 ") == "\"40 psi\"");
    CHECK(metric("tank.cut_in", "2,8") == "\"2.8 bar\"");
    CHECK(metric("tank.cut_in", "2,8 bar") == "\"2.8 bar\"");
    CHECK(us("cistern.capacity", "1,500") == "\"1,500 gal\"");
    CHECK(us("motor.rated_power", "1/2 hp") == "\"1/2 hp\"");
    CHECK(us("motor.rated_power", "1 1/2") == "\"1 1/2 hp\"");
    CHECK(metric("motor.rated_power", "0,75") == "\"0.75 kW\"");
    CHECK(us("cable.2.size", "6 AWG") == "\"6 AWG\"");
    CHECK(us("cable.2.size", "10") == "\"10\"");
    CHECK(us("cable.2.size", "2.5 mm2") == "\"2.5 mm2\"");
    CHECK(us("battery.usable_fraction", "0,9") == "0.9");
    CHECK(us("battery.usable_fraction", "90 %") == "'90 %'");
    CHECK(us("prices.purchase", "13,300") == "13300");
    CHECK(us("battery.voltage_model", "yes") == "true");
    CHECK(us("pump.flow", "0, 2 gpm; 4") == "[\"0 gpm\", \"2 gpm\", \"4 gpm\"]");
    CHECK(us("array.soiling_by_month", "0.1, 0,2") == "[0.1, 0.2]");
    CHECK(us("title", "12") == "\"12\"");
    CHECK(us("title", "say \"x\"") == "'say \"x\"'");
    CHECK(us("nothing.known", "5 kWh") == "\"5 kWh\"");
}

TEST_CASE("a value is shown in the units that are asked for, and goes back as it is") {
    CHECK(shown_value("well.static_level", "\"120 ft\"", UnitSystem::us) == "120 ft");
    CHECK(shown_value("well.static_level", "\"120 ft\"", UnitSystem::metric) == "36.58 m");
    CHECK(shown_value("pipe.2.inside_diameter", "\"1.049 in\"", UnitSystem::metric) == "26.64 mm");
    CHECK(shown_value("well.water_temperature", "\"9 degC\"", UnitSystem::us) == "48.2 degF");
    CHECK(shown_value("battery.capacity", "\"10.2 kWh\"", UnitSystem::us) == "10.2 kWh");
    CHECK(shown_value("battery.voltage_model", "true", UnitSystem::us) == "yes");
    CHECK(shown_value("pump.flow", "[\"0 gpm\", \"2 gpm\"]", UnitSystem::us) == "0 gpm, 2 gpm");
    CHECK(shown_value("nothing.known", "[1, 2]", UnitSystem::us) == "[1, 2]");
    CHECK(shown_range("well.static_level", UnitSystem::metric) == "0 to 400 m");
    CHECK(shown_range("well.static_level", UnitSystem::us) == "0 to 1312 ft");
    CHECK(shown_range("weather.shift", UnitSystem::us) == "-1440 to 1440 min, whole");
    CHECK(shown_range("cable.size", UnitSystem::us) == "14 to 4/0 AWG, 0.5-1000 mm2");
    CHECK(shown_range("battery.chemistry", UnitSystem::us).empty());
    for (auto const& k : scenario_keys(text))
        CHECK(typed_as_toml(k.key, shown_value(k.key, k.value, UnitSystem::us), UnitSystem::us)
                  .find(k.value.substr(0, 3)) == 0);
}

TEST_SUITE_END();
