#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/files/result_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string demo(std::string const& name) { return "'" HOLDWATER_SOURCE "/scenarios/" + name + ".toml'"; }

}  // namespace

TEST_SUITE_BEGIN("tools/simulate");

// A month on 200 W of array with a charger that stops at 80 %: the battery is never full.
TEST_CASE("how often a battery should be full is said for its own chemistry") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string const household = test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const table = [&](std::string const& chemistry) {
        std::string text = household;
        for (auto const& [from, to] :
             {std::pair<std::string, std::string>{"rated_power = \"1.6 kW\"", "rated_power = \"0.2 kW\""},
              {"\"lithium-iron-phosphate\"", chemistry},
              {"low_voltage_cutout = \"44 V\"", ""},
              {"nominal_voltage = \"51.2 V\"", "nominal_voltage = \"48 V\""}}) {
            auto const at = text.find(from);
            REQUIRE(at != std::string::npos);
            text.replace(at, from.size(), to);
        }
        std::ofstream(folder / "a.toml") << text;
        return run_holdwater(folder, "simulate a.toml --from 12-01 --days 31").out;
    };
    auto const lithium = table("\"lithium-iron-phosphate\""), lead = table("\"sealed-lead-acid\"");
    CHECK(lithium.find("days at most between two") != std::string::npos);
    CHECK(lithium.find("lead-acid") == std::string::npos);
    CHECK(lithium.find("no harm to lithium cells") != std::string::npos);
    CHECK(test::one_line(lead).find("a lead-acid battery needs a full charge every one to three weeks") !=
          std::string::npos);
    CHECK(lead.find("lithium") == std::string::npos);
}

// A tenth of the air in the tank: short runs and more starts than the motor's size allows.
TEST_CASE("what to look at in the water is said with its figures, and stands in the result file") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const at = text.find("cut_in    = ");
    REQUIRE(at != std::string::npos);
    std::ofstream(folder / "a.toml") << text.insert(at, "air_left = 0.1\n");
    auto const out = run_holdwater(folder, "simulate a.toml --days 3 --out a.h5").out;
    // The failed check of the shortest run stands before it.
    auto const look = out.find("To look at:\n  - Shortest run, taps shut FAILS in `holdwater check`: "),
               begins = out.find("\n  - short cycling: ", look);
    REQUIRE(look != std::string::npos);
    REQUIRE(begins != std::string::npos);
    CHECK(out.find(" runs shorter than 60 s, the shortest ", begins) != std::string::npos);
    CHECK(test::one_line(out).find("check the tank's air charge, or take more tank") != std::string::npos);
    CHECK(run_shell(folder, "h5dump -d /findings/remarks a.h5 | grep -c 'short cycling'").out == "1\n");
}

// Before: YES, and not a word. The year counts the generator's running power, not the motor's start on it.
TEST_CASE("a generator that cannot start the pump is said beside the answer of the year") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const table = text.find("\n[generator]"), at = text.find("rated_power", table),
               end = text.find('\n', at);
    REQUIRE(table != std::string::npos);
    text.replace(at, end - at, "rated_power = \"2 kW\"");
    std::ofstream(folder / "a.toml") << text;
    auto const out = run_holdwater(folder, "simulate a.toml --years 0 --out a.h5").out;
    CAPTURE(out);
    CHECK(out.find("To look at:\n") != std::string::npos);
    CHECK(out.find("Motor start FAILS in `holdwater check`: 1.7 kW here, at least ") != std::string::npos);
    auto const report = run_holdwater(folder, "report a.toml --years 0 --json --out a.html");
    CHECK(
        report.out.find(
            "\"promise\": \"Nothing yet: what FAILS in the checks must be changed first. Then: Water for ") !=
        std::string::npos);
}

// With a booster: before, one line had the booster's starts and hours and the energy of both pumps.
TEST_CASE("well pump and booster have a line each, and the energy of the year can be added up") {
    ScratchFolder folder;
    auto const out =
        test::one_line(run_holdwater(folder, "simulate '" HOLDWATER_SOURCE
                                             "/scenarios/hollerbrook-cattle.toml' --years 0 --out a.h5")
                           .out);
    CAPTURE(out);
    CHECK(out.find(" booster 6,728 starts ") != std::string::npos);
    CHECK(out.find(" well pump 2,179 starts (6.0 a day), 646 h running; both pumps 769 kWh") !=
          std::string::npos);
    CHECK(out.find(" other losses ") != std::string::npos);
}

// A pump that fills a cistern in short runs, with taps by gravity: there is no tank to take more of.
TEST_CASE("short fillings of a cistern are not laid to a tank that is not there") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const begin = text.find("[tank]"), end = text.find("[demand]");
    REQUIRE(begin < end);
    text.replace(begin, end - begin,
                 "[cistern]\ncapacity = \"3000 gal\"\nfill_start = \"1500 gal\"\nfill_stop = \"2990 gal\"\n"
                 "fill_rule = \"surplus-only\"\nfill_sun_above = \"300 W\"\nfill_band = \"1 gal\"\n"
                 "floor_elevation = \"20 m\"\noutlet_elevation = \"0 m\"\n\n");
    std::ofstream(folder / "a.toml") << text;
    auto const out = run_holdwater(folder, "simulate a.toml --years 0 --from 06-01 --days 7").out;
    CAPTURE(out);
    CHECK(out.find("fillings of the cistern shorter than 60 s") != std::string::npos);
    CHECK(test::one_line(out).find("give the float switch a wider band (cistern.fill_band") !=
          std::string::npos);
    CHECK(out.find("air charge") == std::string::npos);
}

TEST_CASE("without a battery nothing is laid to one; a shortage up to the end of the year ends there") {
    ScratchFolder folder;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    for (auto const& [from, to] : {std::pair<std::string, std::string>{"\"5.0 kWh\"", "\"0 kWh\""},
                                   {"profile  = [0,", "profile  = [1,"},
                                   {"0, 0, 0]", "1, 1, 1]"}}) {
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    std::ofstream(folder / "a.toml") << text;
    auto const out = run_holdwater(folder, "simulate a.toml --years 0").out;
    CAPTURE(out);
    CHECK(out.find("there is no battery, and the sun was too weak for pump and loads\n") !=
          std::string::npos);
    CHECK(out.find("the battery was empty") == std::string::npos);
    CHECK(out.find("the battery's current limit") == std::string::npos);
    CHECK(out.find("full charges") == std::string::npos);
    CHECK(out.find(" to 31 Dec 24:00 ") != std::string::npos);
}

TEST_CASE("--json prints exactly the summary keys, balances closed, for every demo") {
    std::set<std::string> const expected{"water_demand_m3",
                                         "water_delivered_m3",
                                         "water_short_m3",
                                         "shortage_hours",
                                         "longest_shortage_h",
                                         "demand_met_fraction",
                                         "pump_starts",
                                         "pump_run_h",
                                         "max_starts_per_day",
                                         "shortest_run_s",
                                         "pv_available_kwh",
                                         "pv_used_kwh",
                                         "pv_curtailed_kwh",
                                         "battery_in_kwh",
                                         "battery_out_kwh",
                                         "battery_loss_kwh",
                                         "battery_equivalent_cycles",
                                         "soc_min",
                                         "soc_mean",
                                         "ac_served_kwh",
                                         "load_unserved_kwh",
                                         "pump_energy_kwh",
                                         "inverter_loss_kwh",
                                         "pass_through_loss_kwh",
                                         "grid_kwh",
                                         "grid_peak_kwh",
                                         "grid_low_kwh",
                                         "generator_kwh",
                                         "generator_run_h",
                                         "generator_starts",
                                         "generator_fuel_l",
                                         "transfers",
                                         "energy_residual_kwh",
                                         "water_residual_m3",
                                         "wall_time_s",
                                         "verdict",
                                         "shortages",
                                         "shortage_causes",
                                         "load_causes",
                                         "indices"};
    ScratchFolder folder;
    for (std::string const name :
         {"juniper-bend-household", "alder-flat-outages", "saltbush-livestock", "juniper-bend-tankless",
          "alder-flat-cistern", "saltbush-low-yield", "hollerbrook-cattle"}) {
        CAPTURE(name);
        auto const run = run_holdwater(folder, "simulate " + demo(name) + " --json --years 2");
        REQUIRE(run.exit_code == 0);
        auto const json = nlohmann::json::parse(run.out);
        std::set<std::string> keys;
        for (auto const& [key, value] : json.items()) keys.insert(key);
        auto wanted = expected;
        if (name == "alder-flat-outages") wanted.insert("outages");
        CHECK(keys == wanted);
        CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
        CHECK(std::abs(json["water_residual_m3"].get<double>()) < 1e-6);
        CHECK(json["water_delivered_m3"].get<double>() > 0);
        CHECK(std::filesystem::exists(folder / (name + ".h5")));
    }
}

// The well is dry in some hours, the battery empty in others; the list's figures are those of --json.
TEST_CASE("the answer comes first, then causes and dates, then backup, state of charge and the rest") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "simulate " + demo("saltbush-low-yield"));
    std::size_t at = 0;
    for (auto const* part :
         {"Does it hold water?  NO: 0 of 50 winters without a shortage",
          "1 in 10: ", "one mark a winter: ", "In the typical year of the file?  NO: short of ",
          " shortages from ", "Short of water, by cause", "the well was drawn down to the pump",
          "the battery was empty", "The 10 longest of ", "\n  backup ", "\n  lowest SOC ", "\n  water ",
          "\n  pump ", "\n  PV ", "\n  battery ", "\n  loads ", "To look at:", "Hour by hour: "}) {
        CAPTURE(part);
        auto const found = run.out.find(part, at);
        CHECK(found != std::string::npos);
        if (found != std::string::npos) at = found;
    }
    CHECK(run.out.find("unaccounted for") == std::string::npos);
    auto const json = nlohmann::json::parse(
        run_holdwater(folder, "simulate " + demo("saltbush-low-yield") + " --json").out);
    double hours = 0, longest_h = 0, cause_hours = 0;
    for (auto const& s : json["shortages"]) {
        hours += s["short_hours"].get<double>();
        longest_h = std::max(longest_h, s["hours"].get<double>());
    }
    for (auto const& c : json["shortage_causes"]) cause_hours += c["hours"].get<double>();
    CHECK(hours == json["shortage_hours"].get<double>());
    CHECK(cause_hours == hours);
    CHECK(longest_h == json["longest_shortage_h"].get<double>());
    CHECK(json["shortage_causes"].size() == 2);
    auto const served = run_holdwater(folder, "simulate " + demo("juniper-bend-household") + " --years 0");
    CHECK(served.out.find("YES: all of the demand was delivered.") != std::string::npos);
    CHECK(served.out.find("by cause") == std::string::npos);
    for (auto const* out : {&run.out, &served.out}) {
        std::istringstream lines(*out);
        for (std::string line; std::getline(lines, line);) {
            CAPTURE(line);
            CHECK(line.size() <= 100);
        }
    }
}

TEST_CASE("the open typical years run in place of the demo's weather") {
    for (std::string const file :
         {"boise-tmy3.csv", "bishop-tmy3.csv", "chicago-ohare.epw", "denver-intl.epw"}) {
        std::string const path = std::string(HOLDWATER_SHARED) + "/weather/" + file;
        if (!std::filesystem::exists(path)) {
            std::cout << "SKIPPED " << file << ": not found below HOLDWATER_SHARED\n";
            continue;
        }
        CAPTURE(file);
        ScratchFolder folder;
        auto const run = run_holdwater(folder, "simulate --years 0 " + demo("juniper-bend-household") +
                                                   " --json --weather '" + path + "'");
        REQUIRE(run.exit_code == 0);
        auto const json = nlohmann::json::parse(run.out);
        CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
        CHECK(std::abs(json["water_residual_m3"].get<double>()) < 1e-6);
    }
}

// Read back with the HDF5 project's own tool, which knows nothing of Holdwater.
TEST_CASE("h5dump finds inputs, series with units, daily, summary and events") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + demo("juniper-bend-household") + " --out year.h5")
                .exit_code == 0);
    auto const header = run_shell(folder, "h5dump -H year.h5");
    REQUIRE(header.exit_code == 0);
    for (std::string const part :
         {"GROUP \"inputs\"", "GROUP \"series\"", "GROUP \"daily\"", "GROUP \"summary\"",
          "GROUP \"findings\"", "ATTRIBUTE \"dry_run_trips\"", "DATASET \"events\"",
          "DATASET \"battery_soc\"", "( 8760 ) / ( 8760 )", "( 365 ) / ( 365 )", "ATTRIBUTE \"units\"",
          "ATTRIBUTE \"hour_meaning\""}) {
        CAPTURE(part);
        CHECK(header.out.find(part) != std::string::npos);
    }
    auto const unit = run_shell(folder, "h5dump -a /series/water_short_m3/units year.h5");
    CHECK(unit.out.find("\"m3\"") != std::string::npos);
    auto const scenario = run_shell(folder, "h5dump -d /inputs/scenario year.h5");
    CHECK(scenario.out.find("Juniper Bend (invented)") != std::string::npos);

    // The column h5dump prints, added up by awk, is the summary's figure.
    auto const sum =
        run_shell(folder,
                  "h5dump -y -w 1 -d /series/water_delivered_m3 year.h5 | awk '/DATA/{d=1;next} d&&/^ *[0-9]/"
                  "{s+=$1} END{printf \"%.9f\", s}'");
    auto const total = run_shell(
        folder, "h5dump -a /summary/water_delivered_m3 year.h5 | awk '/\\(0\\)/{printf \"%s\", $2}'");
    CHECK(std::stod(sum.out) == Near{std::stod(total.out), 0, 1e-6});
    CHECK(sim::read_series((folder / "year.h5").string(), "battery_soc").size() == 8760);
    // Light on the plane and cell temperature are there, so that array power can be checked from the file: in
    // each hour at most rated power (1.6 kW) x light x what cells colder than 25 C gain, and near it at noon.
    auto const series = [&](char const* name) {
        return sim::read_series((folder / "year.h5").string(), name);
    };
    auto const light = series("array_light_w_m2"), cell_c = series("array_cell_c"),
               power_kw = series("pv_available_kw");
    REQUIRE(light.size() == 8760);
    REQUIRE(cell_c.size() == 8760);
    double most_light = 0;
    for (std::size_t h = 0; h < light.size(); ++h) {
        double const by_light_kw = 1.6 * light[h] / 1000 * (1 - 0.0037 * (cell_c[h] - 25));
        REQUIRE(power_kw[h] <= by_light_kw * (1 + 1e-9) + 1e-12);
        if (light[h] > 600) CHECK(power_kw[h] > 0.85 * by_light_kw);
        most_light = std::max(most_light, light[h]);
    }
    CHECK(most_light > 800);
}

TEST_CASE("part of a year, trade units, and a requirement") {
    ScratchFolder folder;
    auto const month = run_holdwater(
        folder, "simulate " + demo("saltbush-livestock") + " --from 01-10 --days 30 --units us");
    CHECK(month.exit_code == 0);
    CHECK(month.out.find("30 days from 10 Jan") != std::string::npos);
    CHECK(month.out.find(" gal demand") != std::string::npos);
    auto const fails =
        run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --require 0.999");
    CHECK(fails.exit_code == 1);
    CHECK(fails.err.find("requirement failed") != std::string::npos);
    CHECK(run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --require 0.9")
              .exit_code == 0);
}

TEST_CASE("what cannot be run is refused with exit code 2, in words, and nothing is left behind") {
    struct Row {
        std::string arguments, message;
    };
    for (auto const& [arguments, message] : std::vector<Row>{
             {"simulate nowhere.toml",
              "nowhere.toml: cannot be opened: No such file or directory; give a scenario file"},
             {"simulate .", ".: is a folder"},
             {"simulate " + demo("saltbush-livestock") + " --weather nowhere.csv", "nowhere.csv"},
             {"simulate " + demo("saltbush-livestock") + " --days 0", "--days"},
             {"simulate " + demo("saltbush-livestock") + " --from 02-30",
              "'02-30' is not a day of a 365-day year"},
             {"simulate " + demo("saltbush-livestock") + " --units imperial", "--units"},
             {"simulate " + demo("saltbush-livestock") + " --out nowhere/x.h5",
              "nowhere/x.h5: cannot be written"},
             {"simulat", "did you mean simulate"},
             {"", "subcommand"},
             {"weather", "FILE"},
             {"weather --make --place X", "--make requires"},
         }) {
        CAPTURE(arguments);
        ScratchFolder folder;
        auto const run = run_holdwater(folder, arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
        CHECK(std::filesystem::is_empty(folder.text()));
    }
}

TEST_CASE("an earlier result survives a run that fails") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --out year.h5")
                .exit_code == 0);
    auto const before = test::file_text(folder / "year.h5");
    CHECK(run_holdwater(folder, "simulate --years 0 nowhere.toml --out year.h5").exit_code == 2);
    CHECK(test::file_text(folder / "year.h5") == before);
}

TEST_CASE("--age runs the year on end, prints a line a year and stores them") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "simulate --years 0 " + demo("tamarack-gulch-lead-acid") + " --age 3 --out y.h5");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("year  capacity") != std::string::npos);
    CHECK(run.out.find("\n     3  ") != std::string::npos);
    CHECK(run.out.find("battery life about") != std::string::npos);
    auto const dump = run_shell(folder, "h5dump -d /years/capacity_fraction y.h5");
    CHECK(dump.exit_code == 0);
    CHECK(dump.out.find("(0): 1, 0.9") != std::string::npos);
    CHECK(run.err.find("no battery life") == std::string::npos);
}

TEST_CASE("--age of a scenario without a battery life says that nothing fades") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --age 2 --out y.h5");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("The capacity does not fade: the scenario states no battery life ([battery.life]).") !=
          std::string::npos);
    CHECK(run.err.find("the scenario states no battery life, so the battery keeps its full capacity through "
                       "all 2 years; give [battery.life]") != std::string::npos);
    auto const one =
        run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --out y.h5");
    CHECK(one.err.find("battery life") == std::string::npos);
}

// 45 W of idle all year but for the outages: some 0.39 MWh of the grid's year.
TEST_CASE("the table names what the inverter draws from a grid that it passes through") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "simulate --years 0 " + demo("alder-flat-grid-first") + " --out y.h5");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find(" of it lost in the inverter)") != std::string::npos);
    auto const json = nlohmann::json::parse(
        run_holdwater(folder, "simulate --years 0 " + demo("alder-flat-grid-first") + " --out y.h5 --json")
            .out);
    double const outages_h = 84 + 52 + 9 * 4;  // two listed, some nine of four hours drawn
    CHECK(json["pass_through_loss_kwh"].get<double>() == Near{0.045 * (8760 - outages_h), 3, 0});
}

// Grid and battery alone: an array of 0 W is no array. Refused before ("accepted: 1 to 100000 W").
TEST_CASE("a design without an array goes through every command") {
    ScratchFolder folder;
    auto text = test::file_text(HOLDWATER_SOURCE "/scenarios/alder-flat-grid-first.toml");
    auto const rated = text.find("rated_power"), end = text.find('\n', rated);
    text.replace(rated, end - rated, "rated_power = \"0 W\"");
    auto const file = text.find("weather/");
    text.insert(file, HOLDWATER_SOURCE "/scenarios/");
    std::ofstream(folder / "none.toml") << text;
    auto const year = run_holdwater(folder, "simulate none.toml --years 2 --json");
    CAPTURE(year.err);
    REQUIRE(year.exit_code == 0);
    auto const json = nlohmann::json::parse(year.out);
    CHECK(json["pv_available_kwh"] == 0);
    CHECK(json["grid_kwh"].get<double>() > 0);
    CHECK(std::abs(json["energy_residual_kwh"].get<double>()) < 1e-6);
    for (std::string const command : {"simulate none.toml --years 2 --plain", "check none.toml",
                                      "autonomy none.toml --every 90 --years 5",
                                      "autonomy --period none.toml --days 2 --start 01-14 --plain",
                                      "report none.toml --years 2 --out page.html",
                                      "sweep none.toml --vary 'array.rated_power=0 W,800 W' --out two.csv"}) {
        CAPTURE(command);
        auto const run = run_holdwater(folder, command);
        CAPTURE(run.err);
        CHECK(run.exit_code <= 1);
        for (auto const* word : {" nan", " inf", "-nan"}) CHECK(run.out.find(word) == std::string::npos);
    }
}

// Each outage of the year: the scenario's own list, in order, and the shortage of the year within them.
TEST_CASE("--json and the result file name every outage of the grid and the water short in it") {
    ScratchFolder folder;
    // With a battery and an array that are too small for its storms.
    run_shell(
        folder,
        "sed 's/\"8.2 kWh\"/\"5.1 kWh\"/; s/\"1.2 kW\"        #/\"0.8 kW\" #/; s#weather/#" HOLDWATER_SOURCE
        "/scenarios/weather/#' " +
            demo("alder-flat-outages") + " > small.toml");
    auto const run = run_holdwater(folder, "simulate --years 0 small.toml --json --out y.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    REQUIRE(json["outages"].size() > 1);
    double short_m3 = 0, hours = 0;
    for (auto const& o : json["outages"]) {
        short_m3 += o["water_short_m3"].get<double>();
        hours += o["shortage_hours"].get<double>();
        CHECK((o["first_short_h"].get<double>() >= 0) == (o["shortage_hours"].get<double>() > 0));
        CHECK(o.contains("first_short") == (o["shortage_hours"].get<double>() > 0));
    }
    // It fails in one of its outages and is never short at other times.
    CHECK(short_m3 == Near{json["water_short_m3"].get<double>(), 1e-9, 1e-9});
    CHECK(hours == json["shortage_hours"].get<double>());
    CHECK(hours > 0);
    for (auto const* part : {"h5dump -d /outages/water_short_m3 y.h5", "h5dump -d /outages/start_h y.h5"})
        CHECK(run_shell(folder, part).exit_code == 0);
    auto const events = run_shell(folder, "h5dump -d /events y.h5");
    CHECK(events.out.find("grid_failed") != std::string::npos);
    CHECK(events.out.find("grid_returned") != std::string::npos);
    auto const table = run_holdwater(folder, "simulate --years 0 small.toml --plain");
    CHECK(table.out.find(" of the grid, ") != std::string::npos);
    CHECK(table.out.find("water short in 1 of them") != std::string::npos);
}

TEST_SUITE_END();
