#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "tests/tools/refusals.hpp"

using namespace holdwater;
using namespace holdwater::test;

TEST_SUITE_BEGIN("tools/bad_files");

TEST_CASE("a table that does not belong, or a file that is no TOML, is refused by file and line") {
    struct Row {
        std::string added, says;
    };
    Desk desk;
    for (auto const& [added, says] : std::vector<Row>{
             {"[[use]]\nname = \"x\"\nkind = \"party\"\n",
              "key 'use.kind': \"party\" is not a choice; accepted: household, livestock, irrigation, "
              "backwash, leak, "
              "other"},
             {"[[use]]\nname = \"x\"\nkind = \"household\"\npersons = 3\n",
              "key 'demand.daily': belongs to a [[use]] where there are any"},
             {"[[outage]]\nstart = \"02-30 06:00\"\nlength = \"5 h\"\n",
              "key 'outage.start': must be month, day and local standard time, such as \"01-14 06:00\" (29 "
              "February i"},
             {"[[outage]]\nstart = \"02-20 06:00\"\nlength = \"-5 h\"\n",
              "key 'outage.length': -5 h is out of range; accepted: 0 to 8760 h"},
             {"[[outage]]\nstart = \"tomorrow\"\nlength = \"5 h\"\n",
              "key 'outage.start': must be month, day and local standard time, such as \"01-14 06:00\" (29 "
              "February i"},
             {"[cistern]\ncapacity = \"0 gal\"\n",
              "key 'cistern.capacity': \"0 gal\" is out of range; accepted: 13.21 to 2641000 gal"},
             {"[cistern]\ncapacity = \"1000 gal\"\nfill_rule = \"whenever\"\noutlet_elevation = \"-20 m\"\n",
              "key 'cistern.fill_rule': \"whenever\" is not a choice; accepted: level, prefer-surplus, "
              "surplus-only"},
             {"[trough]\nfull = \"100 gal\"\n",
              "key 'trough': the key 'float_flow' is missing in the table [trough]"},
             {"[drive]\nefficiency = 0.95\n", "key 'drive': a motor behind a drive needs wiring = \"drive\""},
             {"[booster]\nlift_to_tank = \"1 m\"\n", "key 'booster': needs a table [cistern] to draw from"},
             {"[nonsense]\nx = 1\n", "key 'nonsense': no such table; accepted here: array"},
             {"[[waiver]]\ncheck = \"no such check\"\nreason = \"x\"\n",
              "key 'waiver.check': \"no such check\" is not a check; accepted: motor-volts, motor-wiring, "
              "soft-start,"},
             {"[[waiver]]\ncheck = \"motor start\"\n",
              "key 'waiver': the key 'reason' is missing in the table [waiver]"},
             {"[provenance]\n\"motor.locked_rotor\" = \"guessed\"\n",
              "key 'provenance.motor.locked_rotor': \"guessed\" is not a choice; accepted: nameplate, "
              "measured, table"},
             {"[provenance]\n\"motor.lokced_rotor\" = \"table\"\n",
              "key 'provenance.motor.lokced_rotor': no such key; the nearest known key is "
              "'motor.locked_rotor'"},
             {"[assumed_range]\n\"motor.locked_rotor\" = [\"40 A\"]\n",
              "key 'assumed_range.motor.locked_rotor': must be a list of 2 values, not 1"},
             {"[[option]]\n\"battery.capacity\" = \"5 kWh\"\n",
              "key 'option.name': every [[option]] needs a name, a text in quotes"},
             {"[prices]\npurchase = 5\n",
              "key 'prices': the key 'fuel_per_liter' is missing in the table [prices]"},
             {"[[outage_statistics]]\nsaifi = 3\n",
              "key 'outage_statistics': must be a table, written [outage_statistics]"},
             {"[tank]\nvolume = \"3 gal\"\n",
              "not a TOML file: Error while parsing table header: cannot redefine existing table 'tank'"},
             {"this is not toml",
              "not a TOML file: Error while parsing key-value pair: expected '=', saw 'i'"},
             {"[demand\n", "not a TOML file: Error while parsing table header: expected ']', saw '\\n'"},
             {"x = \"unfinished\n",
              "not a TOML file: Error while parsing string: unescaped control characters other than TAB "
              "(U+0009) ar"},
             {"[[cable]]\nlength = \"3 m\"\nsize = \"99\"\n",
              "key 'cable.size': \"99\" is not one of 14 12 10 8 6 4 3 2 1 1/0 2/0 3/0 4/0"},
             {"[[bypass]]\nstart = \"02-01 00:00\"\nlength = \"3 h\"\n",
              "key 'bypass': needs backup.kind = \"grid\": the pump is plugged straight to the grid"},
         }) {
        CAPTURE(added);
        std::ofstream(desk.folder / "bad.toml") << household + "\n" + added;
        refused(desk, "simulate --years 0 bad.toml --days 1 --out r.h5", {"bad.toml:", says});
    }
}

TEST_CASE("command lines that cannot be are refused with what is accepted") {
    struct Row {
        std::string arguments, says;
    };
    Desk desk;
    std::ofstream(desk.folder / "good.toml") << household;
    std::ofstream(desk.folder / "empty.toml") << "";
    std::filesystem::create_directory(desk.folder / "folder");
    for (auto const& [arguments, says] : std::vector<Row>{
             {"", "subcommand"},
             {"fly", "is not a command"},
             {"simulate", "SCENARIO"},
             {"simulate --years 0 nowhere.toml",
              "nowhere.toml: cannot be opened: No such file or directory; give a scenario file"},
             {"simulate --years 0 folder", "is a folder; give a scenario file"},
             {"simulate --years 0 empty.toml", "empty.toml"},
             {"simulate --years 0 good.toml --days 0", "--days"},
             {"simulate --years 0 good.toml --days -3", "--days"},
             {"simulate --years 0 good.toml --days many", "--days"},
             {"simulate --years 0 good.toml --from 13-01 --out r.h5", "--from"},
             {"simulate --years 0 good.toml --from 02-29 --out r.h5", "--from"},
             {"simulate --years 0 good.toml --from yesterday --out r.h5", "--from"},
             {"simulate --years 0 good.toml --units furlongs", "--units"},
             {"simulate --years 0 good.toml --units metrc", "accepted: metric, us"},
             {"simulate --years 0 good.toml --require 2", "--require"},
             {"simulate good.toml --years -1", "--years"},
             {"simulate --years 0 good.toml --age 0", "--age"},
             {"simulate --years 0 good.toml --option none --out r.h5", "none"},
             {"simulate --years 0 good.toml --weather nowhere.csv --out r.h5",
              "nowhere.csv: cannot be opened"},
             {"simulate --years 0 good.toml --weather folder --out r.h5",
              "folder: the folder holds no weather file; files that end in .csv or .epw are expected"},
             {"simulate --years 0 good.toml --weather good.toml --out r.h5", "good.toml"},
             {"simulate --years 0 good.toml --days 1 --out nowhere/r.h5", "nowhere"},
             {"simulate --years 0 good.toml --days 1 --out folder", "folder"},
             {"simulate --years 0 good.toml --speed 9", "--speed"},
             {"autonomy --period good.toml --days 99", "--days"},
             {"autonomy --period good.toml --soc 2", "--soc"},
             {"autonomy --period good.toml --outage", "no grid that could fail"},
             {"autonomy --period good.toml --cistern 0.5", "no [cistern]"},
             {"autonomy --period good.toml --hours 84 --days 3", "excludes"},
             {"autonomy --period good.toml --hours 24 --sun 0.5,0.2", "--sun"},
             {"autonomy --period good.toml --clearness 3", "--clearness"},
             {"autonomy --period good.toml --clearness 0.1 --worst", "--worst"},
             {"autonomy --period good.toml --start 02-30", "02-30"},
             {"compare good.toml", "[[option]]"},
             {"sweep good.toml", "--vary"},
             {"sweep good.toml --vary battery.capacity", "battery.capacity"},
             {"sweep good.toml --vary 'battery.capacty=5 kWh,6 kWh' --out a.csv",
              "the nearest known key is 'capacity'"},
             {"sweep good.toml --vary 'battery.capacity=5 kWh..6 kWh/0' --out a.csv", "battery.capacity"},
             {"sweep good.toml --vary 'battery.capacity=5 gal,6 gal' --out a.csv",
              "not the right kind of quantity"},
             {"sweep good.toml --vary 'battery.capacity=5 kWh,6 kWh' --figure beauty --out a.csv", "beauty"},
             {"sweep good.toml --vary 'battery.capacity=5 kWh,6 kWh' --out a.xls", ".csv"},
             {"check nowhere.toml", "nowhere.toml"},
             {"check good.toml --units furlongs", "--units"},
             {"weather", "FILE"},
             {"weather nowhere.csv", "nowhere.csv: cannot be opened"},
             {"weather good.toml", "good.toml"},
             {"weather --make --place x", "--latitude"},
             {"weather nowhere.csv --cloudy-periods --tilt 120", "--tilt"},
         }) {
        refused(desk, arguments, {says});
    }
}

TEST_CASE("weather that cannot be, or cannot belong to the place, is refused") {
    struct Row {
        std::string content, says;
    };
    Desk desk;
    std::ofstream(desk.folder / "good.toml") << household;
    std::string const made = test::file_text(HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv");
    auto const changed = [&](std::string const& from, std::string const& to) {
        std::string text = made;
        std::size_t const at = text.find(from);
        REQUIRE(at != std::string::npos);
        return text.replace(at, from.size(), to);
    };
    for (auto const& [content, says] : std::vector<Row>{
             {"", "w.csv"},
             {"hello\n", "w.csv"},
             {made.substr(0, made.size() / 2), "is the file cut off"},
             {changed("latitude_deg,44.2", "latitude_deg,144.2"), "latitude"},
             {changed("latitude_deg,44.2", "latitude_deg,north"), "latitude"},
             {changed("longitude_deg,-114.6", "longitude_deg,-514"), "longitude"},
             {changed("2023,1,1,1,", "2023,1,1,41,"), "w.csv:12:"},
             {changed("2023,1,1,1,", "2023,1,1,0,"), "w.csv:12:"},
             {changed("-9.84", "cold"), "w.csv:12:"},
             {changed("stamp,start", "stamp,sometimes"), "stamp"},
             {changed("utc_offset_h,-7", "utc_offset_h,-77"), "UTC offset"},
             {changed("year,month,day,hour,", "year,month,day,"), "hour"},
             {std::string("\xff\xfe\x00\x01", 4), "w.csv"},
         }) {
        std::string const head = content.substr(0, 60);
        CAPTURE(head);
        std::ofstream(desk.folder / "w.csv", std::ios::binary) << content;
        refused(desk, "simulate --years 0 good.toml --weather w.csv --days 1 --out r.h5", {says});
        refused(desk, "weather w.csv", {says});
    }
    // One impossible hour of a sensor is no reason to refuse a year, but it is reported.
    std::ofstream(desk.folder / "w.csv") << changed("2023,1,1,12,87.05,", "2023,1,1,12,5000,");
    auto const repaired = test::run_holdwater(desk.folder, "weather w.csv");
    CHECK(repaired.exit_code == 0);
    CHECK(repaired.out.find("impossible value") != std::string::npos);
    // A latitude without its minus sign, and a place on another continent.
    std::ofstream(desk.folder / "south.toml")
        << "latitude = \"-44.2 deg\"\nlongitude = \"-114.6 deg\"\n" + household;
    refused(desk, "simulate --years 0 south.toml --days 1 --out r.h5",
            {"south.toml: key 'latitude': the weather file is for latitude 44.2", "check the signs"});
    std::ofstream(desk.folder / "east.toml")
        << "latitude = \"44.2 deg\"\nlongitude = \"114.6 deg\"\n" + household;
    refused(desk, "simulate --years 0 east.toml --days 1 --out r.h5",
            {"key 'latitude'", "km from the place given"});
}

TEST_CASE("values that are possible but seldom right are run, with a warning that says why") {
    struct Row {
        std::string table, key, value, says;
    };
    Desk desk;
    for (auto const& [table, key, value, says] : sampled(std::vector<Row>{
             {"battery", "capacity", "\"500 kWh\"", "battery.capacity: 500 kWh is unusual (1 to 100 kWh)"},
             {"well", "static_level", "\"3 ft\"", "well.static_level: 0.9144 m is unusual"},
             {"motor", "volts", "\"115 V\"", "above 1/2 hp a 115 V motor"},
             {"motor", "locked_rotor", "\"9 A\"", "motor.locked_rotor: 1.098 x full load is unusual"},
             {"motor", "full_load", "\"14 A\"", "x the code table's current is unusual"},
             {"motor", "running_power_factor", "1", "a power factor of one would mean"},
             {"motor", "start_seconds", "\"5 s\"", "motor.start_seconds: 5 s is unusual"},
             {"array", "rated_power", "\"90 kW\"", "array: 90 kW of modules is unusual"},
             {"array", "tilt", "\"85 deg\"", "stands almost upright"},
             {"array", "azimuth", "\"10 deg\"", "faces away from the equator"},
             {"battery", "charge_efficiency", "0.6", "round trip is unusual"},
             {"inverter", "idle", "\"0 W\"", "a real inverter draws 10 to 100 W"},
             {"inverter", "idle", "\"290 W\"",
              "inverter.idle: 290 W is more than the efficiency at 10 % leaves for all losses there, 66.67 "
              "W"},
             {"inverter", "rated_power", "\"400 W\"", "inverter.rated_power: 0.4 kW is unusual"},
             {"inverter", "surge_power", "[\"60 kW\", \"9 kW\"]", "more than inverters are built for"},
             {"generator", "rated_power", "\"60 kW\"", "generator.rated_power: 60 kW is unusual"},
             {"charger", "power_limit", "\"6.9 kW\"", "leaves no room to start the pump"},
             {"load", "power", "\"4 kW\"", "more than a small load"},
             {"tank", "precharge", "\"20 psi\"", "tank.precharge"},
             {"tank", "volume", "\"3 gal\"", "tank.volume: 11.4 L is unusual"},
             {"demand", "daily", "\"9000 gal/day\"", "demand.daily: 34,069 L/day is unusual"},
             {"demand", "tap_flow", "\"90 gpm\"", "demand.tap_flow: 341 L/min is unusual"},
             {"", "elevation", "\"2400 m\"", "the weather is from 1300 m lower than the well"},
             {"backup", "return_above", "0.3", "it will change over often"},
         })) {
        std::string const label = table + "." + key + " = " + value;
        CAPTURE(label);
        std::ofstream(desk.folder / "odd.toml") << with(household, table, key, value);
        auto const run = test::run_holdwater(desk.folder, "simulate --years 0 odd.toml --days 1 --out r.h5");
        CAPTURE(run.err);
        CHECK(run.exit_code == 0);
        CHECK(run.err.find("warning: ") != std::string::npos);
        CHECK(run.err.find(says) != std::string::npos);
        CHECK(run.out.find("nan") == std::string::npos);
    }
    auto const no_battery =
        with(with(with(household, "battery", "capacity", "\"0 kWh\""), "battery", "voltage_model", "-"),
             "inverter", "low_voltage_cutout", "-");
    std::ofstream(desk.folder / "odd.toml") << no_battery;
    auto const run = test::run_holdwater(desk.folder, "simulate --years 0 odd.toml --days 1 --out r.h5");
    CHECK(run.exit_code == 0);
    CHECK(run.err.find("0 is no battery") != std::string::npos);
    std::ofstream(desk.folder / "far.toml")
        << "latitude = \"45.2 deg\"\nlongitude = \"-114.6 deg\"\n" + household;
    auto const far = test::run_holdwater(desk.folder, "simulate --years 0 far.toml --days 1 --out r.h5");
    CHECK(far.exit_code == 0);
    CHECK(far.err.find("recorded 111 km from the well") != std::string::npos);
}

TEST_SUITE_END();
