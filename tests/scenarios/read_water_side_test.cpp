#include <doctest/doctest.h>

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "scenarios/settings/metered_pump.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/settings/wiring_notes.hpp"
#include "tests/support/error_of.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::read_scenario_text, test::error_of, test::Near;

namespace {

std::string demo_text(std::string const& name) {
    std::ifstream in(HOLDWATER_SOURCE "/scenarios/" + name + ".toml");
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::string changed(std::string text, std::string const& from, std::string const& to) {
    auto const at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

struct Row {
    std::string from, to, message;
};

// Every message names the line of the key it is about, unless a table is missing.
void check(std::string const& demo, std::vector<Row> const& rows) {
    std::string const text = demo_text(demo);
    for (auto const& [from, to, message] : rows) {
        CAPTURE(to);
        std::string const error = error_of(changed(text, from, to));
        CAPTURE(error);
        CHECK(error.find(message) != std::string::npos);
        CHECK(error.starts_with("test.toml:"));
    }
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/read_water_side");

TEST_CASE("a well that cannot be is refused with key and physical reason") {
    check("saltbush-low-yield",
          {{"intake_depth      = \"160 ft\"", "intake_depth = \"60 ft\"",
            "key 'well.intake_depth': \"60 ft\": must lie below the static water level"},
           {"intake_depth      = \"160 ft\"", "", "key 'well.cover': needs intake_depth"},
           {"casing_inside_diameter     = \"6 in\"", "casing_inside_diameter = \"1 in\"",
            "key 'well.casing_inside_diameter'"},
           {"drop_pipe_outside_diameter = \"1.66 in\"", "drop_pipe_outside_diameter = \"7 in\"",
            "key 'well.drop_pipe_outside_diameter': \"7 in\": must be >= 0 and fit into the casing"},
           {"yield_limit       = \"0.4 gpm\"", "yield_limit = \"-1 gpm\"", "key 'well.yield_limit'"},
           {"\"60 ft\", \"60 ft\", \"60 ft\"", "\"60 ft\", \"60 ft\"", "list of 12 values, not 11"},
           {"restart_delay     = \"60 min\"", "restart_delay = \"60 gal\"", "key 'well.restart_delay'"},
           {"cover             = \"10 ft\"", "cover = \"10 ft\"\nstorativity = 0.001",
            "key 'well.storativity': needs transmissivity"},
           {"lift_to_tank      = \"6 ft\"", "lift_to_tank = \"150 ft\"", "the pump tops out"},
           {"code_letter          = \"L\"", "code_letter = \"O\"", "must be one of A..V without I, O and Q"},
           {"full_load            = \"6.8 A\"", "full_load = \"68 A\"\nlocked_rotor = \"32 A\"",
            "key 'motor.locked_rotor': \"32 A\": must exceed the full-load current"},
           {"full_load            = \"6.8 A\"", "full_load = \"6.8 A\"\nlocked_rotor = \"20 A\"",
            "read the nameplate again"},
           {"wiring               = \"three-wire\"", "wiring = \"two-wire\"\nsoft_start = 0.5",
            "cannot take a soft starter"},
           {"volts                = \"230 V\"", "volts = \"230 V\"\nphases = 3", "needs wiring = \"drive\""},
           {"open       = \"270 gal\"", "open = \"310 gal\"", "key 'trough.open'"},
           {"kind     = \"livestock\"", "kind = \"other\"", "use"},
           {"animal   = \"beef_nursing\"", "animal = \"unicorn\"", "must be one of beef_nursing"},
           {"day_variation = 0.2", "day_variation = 5", "key 'use.day_variation'"},
           {"seed = 7", "seed = 7\ndaily = \"5 gal/day\"", "key 'demand.daily': belongs to a [[use]]"},
           {"volumes   = [", "volume = \"5 gal\"\nvolumes   = [", "give volume or volumes, not both"}});
}

TEST_CASE("2-wire and 3-wire are taken, and a daily volume in gpd") {
    std::string const text = demo_text("saltbush-low-yield");
    std::string const key = "wiring               = \"three-wire\"";
    auto const wiring = [&](std::string const& name) {
        return read_scenario_text(changed(text, key, "wiring = \"" + name + "\""), "test.toml").motor.wiring;
    };
    CHECK(wiring("2-wire") == models::MotorWiring::two_wire);
    CHECK(wiring("3-wire") == models::MotorWiring::three_wire);
    std::string const house = demo_text("alder-flat-outages");
    auto const gpd = changed(house, "150 gal/day", "150 gpd");
    CHECK(read_scenario_text(gpd, "test.toml").demand.daily_m3 ==
          read_scenario_text(house, "test.toml").demand.daily_m3);
}

TEST_CASE("a drive that cannot be is refused") {
    check("juniper-bend-tankless",
          {{"wiring               = \"drive\"", "wiring = \"three-wire\"", "needs wiring = \"drive\""},
           {"[drive]", "[unused]", "wiring = \"drive\" needs a table [drive]"},
           {"shaft_power =", "input_power =", "speed scales shaft power"},
           {"min_speed  = 0.5", "min_speed = 1.1", "must be >= 0 and below the highest speed"},
           {"efficiency = 0.95", "efficiency = 1.5", "key 'drive.efficiency'"}});
}

TEST_CASE("a cistern that cannot be is refused") {
    check("alder-flat-cistern",
          {{"fill_start     = \"700 gal\"", "fill_start = \"300 gal\"",
            "key 'cistern.fill_start': \"300 gal\": must not lie below the usable band"},
           {"fill_stop      = \"1450 gal\"", "fill_stop = \"1600 gal\"",
            "key 'cistern.fill_stop': \"1600 gal\": must not lie above the overflow"},
           {"fill_stop      = \"1450 gal\"", "fill_stop = \"600 gal\"", "must lie above the level at which"},
           {"reserve        = \"500 gal\"", "reserve = \"1500 gal\"", "must leave something usable"},
           {"\"prefer-surplus\"", "\"level\"", "changes nothing with fill_rule = \"level\""},
           {"fill_enough    =", "resume = \"500 gal\"\nfill_enough =", "out of range"},
           {"fill_enough    =", "fill_band = \"0 gal\"\nfill_enough =", "glass of water"},
           {"lift_to_tank = \"-4 ft\"", "lift_to_tank = \"80 ft\"",
            "key 'tank.cut_out': \"50 psi\": the pump tops out"},
           {"static_level      = \"120 ft\"", "static_level = \"350 ft\"",
            "does not lift the water to the cistern"},
           {"[booster]", "[drive]\n\n[booster]", "drive"},
           {"[booster.motor]", "[booster.mtor]", "the table [booster.motor] is missing"},
           {"cut_in    = \"30 psi\"", "cut_in = \"55 psi\"",
            "key 'tank.cut_out': \"50 psi\": must lie above cut-in"},
           {"precharge = \"28 psi\"", "precharge = \"35 psi\"", "must not lie above cut-in"},
           {"\"163 ft\"", "\"167 ft\"", "head"},
           {"\"163 ft\"", "\"-163 ft\"", "key 'booster.pump.head'"}});
}

TEST_CASE("water quantities arrive in SI") {
    constexpr double gallon_m3 = 3.785411784e-3;
    auto const well = read_scenario_text(demo_text("saltbush-low-yield"), "test.toml");
    REQUIRE(well.well.casing.has_value());
    CHECK(well.well.casing->yield_limit_m3_s == Near{0.4 * gallon_m3 / 60, 0, 1e-12});
    CHECK(well.well.casing->static_level_m[7] == Near{80 * 0.3048, 1e-12, 0});
    CHECK(well.lift.static_level_m == Near{80 * 0.3048, 1e-12, 0});
    CHECK(well.tank.total_volume_m3 == Near{130 * gallon_m3, 0, 1e-12});
    CHECK(well.motor.code_letter == 'L');
    REQUIRE(well.demand.uses.size() == 3);
    CHECK(well.demand.uses[0].daily_m3 == Near{225 * gallon_m3, 0, 1e-12});
    CHECK(well.demand.from_trough[1]);
    auto const cistern = read_scenario_text(demo_text("alder-flat-cistern"), "test.toml");
    REQUIRE(cistern.cistern.has_value());
    CHECK(models::usable_from_m3(cistern.cistern->cistern) == Near{560 * gallon_m3, 0, 1e-12});
    CHECK(cistern.cistern->booster->motor.volts == 230);
    auto const two = read_scenario_text(changed(demo_text("juniper-bend-household"), "volume    = \"85 gal\"",
                                                "count = 2\nvolume = \"44 gal\""),
                                        "test.toml");
    CHECK(two.tank.total_volume_m3 == Near{88 * gallon_m3, 0, 1e-12});
}

TEST_CASE("how the days of a single demand differ arrives with it, and only then") {
    std::string const text = demo_text("juniper-bend-household"), from = "tap_flow = \"3 gpm\"";
    CHECK(!read_scenario_text(text, "test.toml").demand.varying.has_value());
    auto const s =
        read_scenario_text(changed(text, from,
                                   from + "\nweekend_factor = 1.2\nday_variation = 0.25\nseed = 9\n"
                                          "calendar_year = 2024\n"
                                          "month_factor = [1, 1, 1, 1, 1, 1.5, 1.5, 1.5, 1, 1, 1, 1]"),
                           "test.toml");
    REQUIRE(s.demand.varying.has_value());
    CHECK(s.demand.varying->daily_m3 == s.demand.daily_m3);
    CHECK(s.demand.varying->tap_flow_m3_s == s.demand.tap_flow_m3_s);
    CHECK(s.demand.varying->weekend == models::household_profile);
    CHECK(s.demand.varying->weekend_factor == 1.2);
    CHECK(s.demand.varying->month_factor[5] == 1.5);
    CHECK(s.demand.varying->day_variation == 0.25);
    CHECK(s.demand.seed == 9);
    CHECK(s.demand.calendar_year == 2024);
    check("juniper-bend-household", {{from, from + "\nday_variation = 4", "key 'demand.day_variation'"},
                                     {from, from + "\nweekend_factor = -1", "key 'demand.weekend_factor'"}});
    check("saltbush-low-yield", {{"seed = 7", "seed = 7\nday_variation = 0.1",
                                  "key 'demand.day_variation': belongs to a [[use]]"}});
}

TEST_CASE("the multiplier changes every use and no leak, and the pump's bill is compared without it") {
    std::string const text = demo_text("saltbush-low-yield");
    auto const base = read_scenario_text(text, "test.toml").demand;
    auto const more =
        read_scenario_text(changed(text, "seed = 7", "seed = 7\nmultiplier = 1.3"), "test.toml").demand;
    REQUIRE(base.uses.size() == 3);  // house, animals, leak
    CHECK(more.uses[0].daily_m3 == Near{1.3 * base.uses[0].daily_m3, 1e-12, 0});
    CHECK(more.uses[1].heads == Near{1.3 * base.uses[1].heads, 1e-12, 0});
    CHECK(more.uses[2] == base.uses[2]);
    std::string const single = demo_text("juniper-bend-household"), tap = "tap_flow = \"3 gpm\"";
    std::string const bill = tap + "\nmetered_pump_energy = \"12 kWh/month\"";
    auto const once = read_scenario_text(changed(single, tap, bill), "test.toml");
    auto const tripled = read_scenario_text(changed(single, tap, bill + "\nmultiplier = 3"), "test.toml");
    CHECK(tripled.demand.daily_m3 == Near{3 * once.demand.daily_m3, 1e-12, 0});
    CHECK(scenarios::metered_pump_warning(tripled) == scenarios::metered_pump_warning(once));
    check("juniper-bend-household", {{tap, tap + "\nmultiplier = 0", "key 'demand.multiplier'"},
                                     {tap, tap + "\nmultiplier = 130", "key 'demand.multiplier'"}});
    // Single uses by the thousand are refused with the multiplier counted.
    std::string const daily = "daily    = \"225 gal/day\"",
                      many = "daily = \"3000 gal/day\"\ndrawn_as = \"events\"";
    CHECK(error_of(changed(single, daily, many)).empty());
    check("juniper-bend-household", {{daily, many + "\nmultiplier = 10", "key 'demand.drawn_as'"}});
}

// Watts told from volt-amperes by the bill. Recomputed: 10 A x 240 V is 2400 VA, at a power factor of 0.75
// 1800 W; 7 kWh a month is 7.8 minutes a day of that, 78 gal at 10 gpm, what one or two persons use at 50 to
// 100 gal each (common practice, no source), not four. The month here is a twelfth of a year, 30.44 days, so
// that 76.7 gal and 7.67 minutes come out where a month of 30 days was counted.
TEST_CASE("the metered energy of the pump against the persons entered") {
    // An invented pump that gives all but exactly 10 gpm at any pressure, at 1800 W.
    std::string text = demo_text("juniper-bend-household");
    auto const cut = [&](std::string const& from, std::string const& to, std::string const& with) {
        auto const a = text.find(from), b = text.find(to, a);
        REQUIRE(b != std::string::npos);
        text.replace(a, b - a, with);
    };
    cut("stages      = 12", "[motor]",
        "flow = [\"0 gpm\", \"9.99 gpm\", \"10 gpm\", \"10.01 gpm\"]\n"
        "head = [\"700 ft\", \"650 ft\", \"290 ft\", \"1 ft\"]\n"
        "input_power = [\"1800 W\", \"1800 W\", \"1800 W\", \"1800 W\"]\n\n");
    auto const warnings = [&](std::string const& keys, std::string const& daily) {
        std::string all;
        for (auto const& w : read_scenario_text(changed(text, "daily    = \"225 gal/day\"",
                                                        "daily = \"" + daily + "\"\n" + keys),
                                                "test.toml")
                                 .warnings)
            if (w.starts_with("demand")) all += w;
        return all;
    };
    std::string const metered = "metered_pump_energy = \"7 kWh/month\"";
    CHECK(warnings("", "300 gal/day").empty());
    CHECK(warnings(metered, "75 gal/day").empty());   // one person
    CHECK(warnings(metered, "150 gal/day").empty());  // two
    std::string const four = warnings(metered, "300 gal/day");
    CHECK(
        four.find("runs this pump 8 minutes a day, which brings 290 L, as 0.8 to 1.5 persons use, but 1136 L "
                  "a day are entered") != std::string::npos);
    CHECK(warnings(metered, "30 gal/day").find("demand.metered_pump_energy") == 0);
    auto const s = read_scenario_text(
        changed(text, "daily    = \"225 gal/day\"", "daily = \"75 gal/day\"\n" + metered), "test.toml");
    double const gal_day = scenarios::metered_water_m3_per_day(s) / 3.785411784e-3;
    CHECK(gal_day == Near{7e3 / 1800 * 600 / 30.436849, 0.05, 0});
    CHECK(gal_day * 30.436849 / 30 == Near{78, 0.5, 0});
    check("juniper-bend-household",
          {{"daily    =", "metered_pump_energy = \"7 kWh\"\ndaily =", "such as \"7 kWh/month\""}});
    check("alder-flat-cistern",
          {{"[[use]]", "[demand]\nmetered_pump_energy = \"7 kWh/month\"\n\n[[use]]", "belongs to one pump"}});
}

// A nameplate with service factor 1 may print its one input in both columns.
TEST_CASE("a service factor of 1 takes its input once or twice, not two different ones") {
    std::string const demo = "juniper-bend-household", factor = "service_factor       = 1.4",
                      input = "service_factor_input = \"1600 W\"";
    auto const with = [&](std::string const& of_service) {
        return changed(changed(demo_text(demo), factor, "service_factor = 1.0"), input, of_service);
    };
    auto const once = read_scenario_text(with(""), "test.toml"),
               twice = read_scenario_text(with("service_factor_input = \"1210 W\""), "test.toml");
    // 1210 W for 745.7 W at the shaft.
    CHECK(twice.motor.input_slope == Near{1210 / 745.69987, 0, 1e-6});
    CHECK(twice.motor.input_slope == once.motor.input_slope);
    CHECK(twice.motor.input_intercept_w == 0);
    auto const error = error_of(with(input));
    CAPTURE(error);
    CHECK(error.find("key 'motor.service_factor_input': \"1600 W\"") == std::string::npos);
    CHECK(
        error.find("key 'motor.service_factor_input': differs from rated_input = 1210 W, but service_factor "
                   "is 1: give the nameplate's service_factor, or leave service_factor_input out") !=
        std::string::npos);
}

TEST_CASE("unusual water inputs warn") {
    auto const first = [](std::string const& demo, std::string const& from, std::string const& to) {
        auto const list = read_scenario_text(changed(demo_text(demo), from, to), "test.toml").warnings;
        return list.empty() ? std::string() : list[0];
    };
    CHECK(first("juniper-bend-household", "\"38 psi\"", "\"20 psi\"").starts_with("tank.precharge"));
    // The nameplate's 8.2 A x 230 V = 1886 VA entered as watts (recomputed).
    CHECK(first("juniper-bend-household",
                "rated_input          = \"1210 W\"\nservice_factor_input = \"1600 W\"",
                "rated_input = \"1886 W\"\nservice_factor_input = \"2500 W\"")
              .find("volts times amps") != std::string::npos);
}

// Common practice, no source.
TEST_CASE("wiring notes: control box and switch stay, a 240 V pump has no neutral") {
    auto const notes = [](std::string const& demo) {
        std::string all;
        for (auto const& note : scenarios::wiring_notes(read_scenario_text(demo_text(demo), "test.toml")))
            all += note + "\n";
        return all;
    };
    CHECK(notes("juniper-bend-household") ==
          "well pump: three-wire, its control box and the pressure switch stay between supply and motor\n"
          "well pump: 240 V class, both lines switched, the neutral is not used\n");
    CHECK(notes("juniper-bend-tankless") ==
          "well pump: fed by the drive alone, no pressure switch or control box behind it\n");
    CHECK(notes("alder-flat-cistern") ==
          "well pump: three-wire, its control box and the float switch stay between supply and motor\n"
          "well pump: 240 V class, both lines switched, the neutral is not used\n"
          "booster: two-wire, no control box; the pressure switch stays between supply and motor\n"
          "booster: 240 V class, both lines switched, the neutral is not used\n");
}

TEST_SUITE_END();
