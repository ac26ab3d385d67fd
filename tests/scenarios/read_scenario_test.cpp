#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/settings/scenario.hpp"
#include "tests/support/error_of.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::read_scenario_text, test::error_of, test::Near;

namespace {

std::string demo_text(std::string const& name) {
    std::ifstream in(HOLDWATER_SOURCE "/scenarios/" + name);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

// The text with its first `from` replaced; fails when there is none, so that a row cannot go stale.
std::string changed(std::string text, std::string const& from, std::string const& to) {
    auto const at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/read_scenario");

TEST_CASE("every demo is read, without warnings, and says that its place is invented") {
    int demos = 0;
    for (auto const& entry :
         std::filesystem::directory_iterator(std::string(HOLDWATER_SOURCE) + "/scenarios")) {
        if (entry.path().extension() != ".toml") continue;
        std::string const file = entry.path().string();
        CAPTURE(file);
        auto const scenario = scenarios::base_design(scenarios::read_design_file(file)).scenario;
        CHECK(scenario.warnings.empty());
        CHECK(scenario.place.find("invented") != std::string::npos);
        CHECK(std::filesystem::exists(scenario.weather_path));
        ++demos;
    }
    CHECK(demos >= 3);
}

TEST_CASE("quantities arrive in SI") {
    auto const s = scenarios::read_scenario_text(demo_text("juniper-bend-household.toml"), "test.toml");
    CHECK(s.lift.static_level_m == Near{36.576, 1e-12, 0});
    CHECK(s.tank.total_volume_m3 == Near{85 * 3.785411784e-3, 0, 1e-12});
    CHECK(s.tank.cut_in_kpa == Near{275.790291726734, 1e-9, 0});
    CHECK(s.pump.curve[5].flow_m3_s == Near{10 * 3.785411784e-3 / 60, 0, 1e-12});
    CHECK(s.pump.curve[5].head_m == Near{12 * 20.6 * 0.3048, 0, 1e-12});
    CHECK(s.demand.daily_m3 == Near{225 * 3.785411784e-3, 0, 1e-12});
    CHECK(s.battery.min_soc == Near{0.1, 1e-12, 0});
    // Fuel line through 2.9 L/h at 3.5 kW and 4.8 L/h at 7 kW.
    CHECK(models::fuel_l_per_h(*s.generator, 3500) == Near{2.9, 1e-12, 0});
    CHECK(models::fuel_l_per_h(*s.generator, 7000) == Near{4.8, 1e-12, 0});
    auto const o = scenarios::read_scenario_text(demo_text("alder-flat-outages.toml"), "test.toml");
    REQUIRE(o.outages.size() == 4);
    CHECK(o.outages[0].start_h == Near{13 * 24 + 16.5, 1e-9, 0});
    CHECK(o.outages[0].end_h == Near{13 * 24 + 16.5 + 84, 1e-9, 0});
}

// Before: a title of two lines, the second of which reads like the answer, was printed as these two lines.
TEST_CASE("a text that is printed among the answer's lines is one line itself") {
    std::string const text = demo_text("juniper-bend-household.toml"),
                      forged = "\"\"\"T\nDoes it hold water?  YES\"\"\"";
    struct Row {
        std::string from, to, key;
    };
    for (auto const& row : std::vector<Row>{
             {"title ", "title = " + forged + " #", "title"},
             {"place ", "place = " + forged + " #", "place"},
             {"question ", "question = " + forged + " #", "question"},
             {"[[load]]\n", "[[load]]\nname = " + forged + "\npower = \"1 W\"\n[[load]]\n", "load.name"},
             {"[demand]\n",
              "[[use]]\nname = " + forged + "\nkind = \"other\"\ndaily = \"5 gal/day\"\n[demand]\n",
              "use.name"},
             {"[[cable]]\n", "[[cable]]\nname = " + forged + "\n#", "cable.name"},
             {"[weather]\n", "[weather]\nyears = [\"a\\nb\"]\n", "weather.years"},
             {"[weather]\n", "[[waiver]]\ncheck = \"start\"\nreason = \"a\\r\\nb\"\n[weather]\n",
              "waiver.reason"}}) {
        CAPTURE(row.key);
        auto const given = changed(text, row.from, row.to);
        auto const error = error_of(given);
        CAPTURE(error);
        // The line at which the key stands.
        auto const word = row.key.substr(row.key.rfind('.') + 1) + " = ";
        auto const at = given.find(word, given.find(row.to));
        auto const line =
            1 + std::count(given.begin(), given.begin() + static_cast<std::ptrdiff_t>(at), '\n');
        CHECK(error.find("test.toml:" + std::to_string(line) + ": key '" + row.key +
                         "': must be one line of text, without a line break") != std::string::npos);
    }
}

TEST_CASE("what is wrong is named with line, key, value and what is accepted") {
    std::string const text = demo_text("juniper-bend-household.toml");
    struct Row {
        std::string from, to, message;
    };
    for (auto const& [from, to, message] : std::vector<Row>{
             {"rated_power = \"6 kW\"", "rated_powr = \"6 kW\"",
              "the key 'rated_power' is missing in the table [inverter]"},
             {"usable_fraction = 0.9", "usable_fracton = 0.9",
              "key 'battery.usable_fracton': no such key; the nearest known key is 'usable_fraction'"},
             {"standby         = \"3 W\"", "standbye = \"3 W\"",
              "key 'battery.standbye': no such key; the nearest known key is 'standby'"},
             {"[tank]", "[tnk]",
              "key 'tnk': no such table, and the table [tank] is missing: is [tank] meant?"},
             {"\"40 psi\"", "\"40 gal\"", "key 'tank.cut_in': \"40 gal\" is not the right kind of quantity"},
             {"\"40 psi\"", "40",
              "key 'tank.cut_in': \"40\" has no unit; expected a pressure such as \"40 psi\""},
             {"\"40 psi\"", "\"40\"", "key 'tank.cut_in': \"40\" has no unit"},
             {"\"40 psi\"", "\"40 psy\"", "\"psy\" is not a known unit"},
             {"\"40 psi\"", "\"10000 psi\"",
              "key 'tank.cut_in': \"10000 psi\" is out of range; accepted: 8.703 to 101.5 psi"},
             {"\"60 psi\"", "\"35 psi\"", "key 'tank.cut_out': \"35 psi\": must lie above cut-in"},
             {"precharge = \"38 psi\"", "precharge = \"45 psi\"",
              "key 'tank.precharge': \"45 psi\": must not lie above cut-in"},
             {"usable_fraction = 0.9", "usable_fraction = 9",
              "key 'battery.usable_fraction': 9 is out of range"},
             {"usable_fraction = 0.9", "usable_fraction = true", "must be a number, without quotes"},
             {"transfer_below = 0.25", "transfer_below = 0.05", "is not above the battery's minimum SOC"},
             {"return_above   = 0.80", "return_above = 0.2", "must be at least 0.01 above transfer_below"},
             {"charge_to      = 0.80", "charge_to = 0.1", "must be above transfer_below"},
             {"kind           = \"generator\"", "kind = \"windmill\"",
              "key 'backup.kind': \"windmill\" is not a choice; accepted: none, grid, generator"},
             {"fuel_at_full_load = \"4.8 L/h\"", "fuel_at_full_load = \"2.0 L/h\"",
              "must be more than fuel_at_half_load"},
             {"fuel_at_half_load = \"2.9 L/h\"", "fuel_at_half_load = \"1.9 L/h\"",
              "would burn nothing when idling"},
             {"tilt        = \"55 deg\"", "tilt = \"120 deg\"", "key 'array.tilt': 120 deg is out of range"},
             {"[0.90, 0.955, 0.94]", "[0.90, 0.955]", "must be a list of 3 values, not 2"},
             {"static_level      = \"120 ft\"", "static_level = \"450 ft\"",
              "key 'tank.cut_out': \"60 psi\": the pump tops out"},
             {"\"25.9 ft\"", "\"26.9 ft\"", "must fall from row to row: a rising curve has no unique"},
             {"\"27.0 ft\"", "\"-27.0 ft\"", "key 'pump.head'"},
             {"\"0.0520 hp\"", "\"0 hp\"", "must be > 0 W and < 100 kW, also at shut-off"},
             {"\"0.0867 hp\"", "\"0.0100 hp\"", "no pump gives out more than it takes in"},
             {"\"16 gpm\"]", "\"16 gpm\", \"18 gpm\"]",
              "key 'pump.head': must be a list of 10 values, not 9"},
             {"daily    = \"225 gal/day\"", "daily = \"-5 gal/day\"", "key 'demand.daily'"},
             {"title    = ", "title    = 5 # ", "key 'title': must be a text in quotes"},
             {"rated_power = \"6 kW\"", "rated_powr = \"6 kW\"",
              "key 'inverter.rated_powr': no such key, and the key 'rated_power' is missing in the table "
              "[inverter]: is 'rated_power' meant?"},
             {"[pump]", "[pmup]",
              "key 'pmup': no such table, and the table [pump] is missing: is [pump] meant?"},
             {"[wiring]", "[wirring]", "key 'wirring': no such table; the nearest known table is [wiring]"},
             {"\"40 psi\"", "40 psi", ": a quantity needs quotes: \"40 psi\""},
             {"\"40 psi\"", "\u201c40 psi\u201d",
              ": has typographic quotes (\u201c), as word processors make them; texts need straight "
              "quotes"},
             {"usable_fraction = 0.9", "usable_fraction = 0,9",
              ": has a decimal comma; write 0.9, with a point"},
             {"kind           = \"generator\"", "kind = generator", ": a text needs quotes: \"generator\""},
             {"[[load]]", "[load]", "not a TOML file"},
             {"title    = ", "title  ", "not a TOML file"},
         }) {
        std::string const wrong = to;
        CAPTURE(wrong);
        std::string const error = error_of(changed(text, from, to));
        CAPTURE(error);
        CHECK(error.find(message) != std::string::npos);
        CHECK(error.starts_with("test.toml:"));
    }
}

// Six slips in six tables, each said once, in the order of the lines; nothing else is said.
TEST_CASE("several mistakes are said in one reading") {
    std::string text = demo_text("juniper-bend-household.toml");
    struct Row {
        std::string from, to, message;
    };
    std::vector<Row> const rows{
        {"tilt        = \"55 deg\"", "tilt = \"155 deg\"", "key 'array.tilt': 155 deg is out of range"},
        {"standby         = \"3 W\"", "standbye = \"3 W\"", "key 'battery.standbye': no such key"},
        {"rated_power = \"6 kW\"", "rated_powr = \"6 kW\"", "key 'inverter.rated_powr': no such key"},
        {"kind           = \"generator\"", "kind = \"windmill\"", "key 'backup.kind': \"windmill\""},
        {"specific_capacity = \"1.0 gpm/ft\"", "specific_capacity = 1.0", "key 'well.specific_capacity'"},
        {"cut_in    = \"40 psi\"", "cut_in = \"40 gal\"", "key 'tank.cut_in': \"40 gal\""},
    };
    for (auto const& row : rows) text = changed(text, row.from, row.to);
    std::istringstream lines(error_of(text));
    std::size_t n = 0;
    for (std::string line; std::getline(lines, line); ++n) {
        CAPTURE(line);
        REQUIRE(n < rows.size());
        CHECK(line.starts_with("test.toml:"));
        CHECK(line.find(rows[n].message) != std::string::npos);
    }
    CHECK(n == rows.size());
}

TEST_CASE("one mistake is one message, also where others rest on it") {
    std::string const text = demo_text("juniper-bend-household.toml");
    struct Row {
        std::string from, to;
    };
    for (auto const& [from, to] :
         std::vector<Row>{{"chemistry       = \"lithium-iron-phosphate\"", "chemistry = \"zinc\""},
                          {"capacity        = \"10.2 kWh\"", "capacity = \"big\""},
                          {"[battery]", "[bnak]"},
                          {"[motor]", "[moter]"},
                          {"wiring               = \"three-wire\"", "wiring = \"four-wire\""},
                          {"kind           = \"generator\"", "kind = \"windmill\""},
                          {"flow        = [\"0 gpm\", \"2 gpm\"", "flow = [\"0 psi\", \"2 gpm\""},
                          {"volume    = \"85 gal\"", "volume = \"85 gallone\""}}) {
        std::string const wrong = to;
        CAPTURE(wrong);
        std::string const error = error_of(changed(text, from, to));
        CAPTURE(error);
        CHECK(error.starts_with("test.toml:"));
        CHECK(error.find('\n') == std::string::npos);
    }
    auto const empty = error_of("");
    CHECK(empty.find("holds nothing; `holdwater init FILE` writes a scenario to start from") !=
          std::string::npos);
}

TEST_CASE("the line of the error is the line of the key") {
    std::string const text = demo_text("juniper-bend-household.toml");
    auto const at = text.find("cut_in    = ");
    auto const line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
    std::string const error = error_of(changed(text, "cut_in    = \"40 psi\"", "cut_in    = \"40 m\""));
    CHECK(error.starts_with("test.toml:" + std::to_string(line) + ": key 'tank.cut_in'"));
}

TEST_CASE("a pump that cannot reach cut-out is an error a designer can act on") {
    std::string const error =
        error_of(changed(demo_text("juniper-bend-household.toml"), "static_level      = \"120 ft\"",
                         "static_level = \"200 ft\""));
    CHECK(error.find("key 'tank.cut_out': \"60 psi\": the pump tops out at ") != std::string::npos);
    // By hand: shut-off 12 x 27 = 324 ft, 200 ft down and 15 ft up leave 109 ft: 47 psi at 2.31 ft/psi.
    CHECK(error.find("47.3 psi at the tank with the water at 200 ft and would never switch off") !=
          std::string::npos);
}

TEST_CASE("unusual but possible inputs warn") {
    std::string const text = demo_text("juniper-bend-household.toml");
    auto const warnings = [&](std::string const& from, std::string const& to) {
        auto const list = read_scenario_text(changed(text, from, to), "test.toml").warnings;
        return list.empty() ? std::string() : list[0];
    };
    CHECK(warnings("idle        = \"45 W\"", "idle = \"0 W\"").find("inverter.idle") == 0);
    CHECK(warnings("return_above   = 0.80", "return_above = 0.30").find("change over often") !=
          std::string::npos);
    CHECK(warnings("kind           = \"generator\"", "kind = \"none\" # ").find("generator") !=
          std::string::npos);
    // The end of a usual range, in the unit it is stated in, is usual.
    auto const cut_in_warned = [&](std::string const& psi) {
        auto const list =
            read_scenario_text(changed(text, "\"40 psi\"", "\"" + psi + " psi\""), "test.toml").warnings;
        return std::any_of(list.begin(), list.end(),
                           [](auto const& w) { return w.starts_with("tank.cut_in"); });
    };
    CHECK(!cut_in_warned("50"));
    CHECK(cut_in_warned("51"));
}

TEST_CASE("recorded years in [weather]: paths, second file, models of the light") {
    std::string const text = demo_text("saltbush-livestock.toml");
    auto const with = [&](std::string const& keys) {
        return changed(text, "[weather]\n", "[weather]\n" + keys);
    };
    auto const plain = read_scenario_text(text, "folder/test.toml");
    CHECK(plain.recorded_paths.empty());
    CHECK(plain.temperature_path.empty());
    using weather::LightModel;
    CHECK(plain.light_models == std::vector{LightModel::suny, LightModel::metstat});
    auto const s = read_scenario_text(with("years = [\"y/*.csv\", \"more\"]\ntemperature_file = \"t.csv\"\n"
                                           "light_model = \"metstat\"\n"),
                                      "folder/test.toml");
    CHECK(s.recorded_paths == std::vector<std::string>{"y/*.csv", "more"});
    CHECK(s.temperature_path == "folder/t.csv");
    CHECK(s.light_models == std::vector{LightModel::metstat});
    CHECK(read_scenario_text(with("years = \"y.csv\"\n"), "t.toml").recorded_paths.size() == 1);
    CHECK(error_of(with("years = []\n")).find("must be a list of texts") != std::string::npos);
    CHECK(error_of(with("years = [3]\n")).find("must be a list of texts") != std::string::npos);
    CHECK(error_of(with("years = 3\n")).find("must be a text in quotes") != std::string::npos);
    CHECK(error_of(with("light_model = \"best\"\n")).find("accepted: both, suny, metstat, measured") !=
          std::string::npos);
    CHECK(error_of(changed(text, "[battery]", "[weather.years_columns]\nmonth = \"m\"\n[battery]"))
              .find("is given without years") != std::string::npos);
}

TEST_CASE("units of the answers: metric, us, or both for the report") {
    auto const of = [](std::string const& units) {
        return changed(demo_text("juniper-bend-household.toml"), "title ", units + "\ntitle ");
    };
    CHECK_FALSE(read_scenario_text(of(""), "t.toml").units.has_value());
    CHECK(read_scenario_text(of("units = \"us\""), "t.toml").units == scenarios::UnitSystem::us);
    CHECK_FALSE(read_scenario_text(of("units = \"us\""), "t.toml").report_in_both);
    auto const both = read_scenario_text(of("units = \"both\""), "t.toml");
    CHECK(both.units == scenarios::UnitSystem::metric);
    CHECK(both.report_in_both);
    CHECK(error_of(of("units = \"si\"")).find("accepted: metric, us, both") != std::string::npos);
}

TEST_SUITE_END();
