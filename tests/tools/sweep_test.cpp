#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string const demo = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' ";

std::vector<std::vector<std::string>> csv_rows(std::string const& text) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        REQUIRE(line.ends_with('\r'));  // RFC 4180
        line.pop_back();
        rows.emplace_back();
        std::istringstream cells(line);
        for (std::string cell; std::getline(cells, cell, ',');) rows.back().push_back(cell);
    }
    return rows;
}

std::size_t column(std::vector<std::vector<std::string>> const& rows, std::string const& name) {
    auto const at = std::find_if(rows[0].begin(), rows[0].end(), [&](std::string const& heading) {
        return heading == name || heading.starts_with(name + " [");
    });
    REQUIRE(at != rows[0].end());
    return static_cast<std::size_t>(at - rows[0].begin());
}

}  // namespace

TEST_SUITE_BEGIN("tools/sweep");

TEST_CASE("the rows are the same bytes for any number of threads, in both formats") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo +
        "--sample 30 --seed 9 --vary 'battery.capacity=3 kWh..9 kWh/2' --vary 'array.tilt=20 deg..60 "
        "deg/2' --vary 'array.sky_model=perez,isotropic' ";
    for (char const* const threads : {"1", "2", "7"})
        REQUIRE(run_holdwater(folder, arguments + "--threads " + threads + " --out " + threads +
                                          ".csv --out " + threads + ".h5")
                    .exit_code == 0);
    auto const one = file_text(folder / "1.csv");
    CHECK(one == file_text(folder / "2.csv"));
    CHECK(one == file_text(folder / "7.csv"));
    CHECK(csv_rows(one).size() == 31);
    auto const file = file_text(folder / "1.h5");
    CHECK(file == file_text(folder / "2.h5"));
    CHECK(file == file_text(folder / "7.h5"));
    auto const capacity = sim::read_column(folder / "1.h5", "sweep", "battery.capacity");
    CHECK(*std::min_element(capacity.begin(), capacity.end()) < 3.2);
    CHECK(*std::max_element(capacity.begin(), capacity.end()) > 8.8);
}

// Rows run side by side; they may differ by rounding only.
TEST_CASE("a row is what simulate says of the same design") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "sweep " + demo +
                    "--vary 'battery.capacity=5 kWh,10 kWh' --vary 'load.pressure switch and level "
                    "radio.power=8 W,30 W'");
    REQUIRE(run.exit_code == 0);
    auto const rows = csv_rows(run.out);
    REQUIRE(rows.size() == 5);
    CHECK(rows[0][1] == "battery.capacity [kWh]");
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    for (auto const& [from, to] : {std::pair<std::string, std::string>{"\"5.0 kWh\"", "\"10 kWh\""},
                                   {"power = \"8 W\"", "power = \"30 W\""}}) {
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    std::ofstream(folder / "last.toml") << text;
    auto const alone =
        nlohmann::json::parse(run_holdwater(folder, "simulate --years 0 last.toml --json").out);
    for (char const* key :
         {"water_delivered_m3", "shortage_hours", "soc_min", "pump_energy_kwh", "battery_loss_kwh"})
        CHECK(std::stod(rows[4][column(rows, key)]) == test::Near{alone[key].get<double>(), 1e-9, 1e-9});
}

TEST_CASE("one at a time shows what moves the figure most first") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder,
        "sweep " + demo +
            "--one-at-a-time --plain --figure shortage_hours --vary 'array.tilt=25 deg,35 deg' --vary "
            "'battery.capacity=3 kWh,9 kWh' --vary 'weather.long_gaps=fill' --out one.csv");
    REQUIRE(run.exit_code == 0);
    auto const battery = run.out.find("  battery.capacity "), tilt = run.out.find("  array.tilt "),
               gaps = run.out.find("  weather.long_gaps");
    CHECK(battery < tilt);
    CHECK(tilt < gaps);
    CHECK(run.out.find("changes nothing", gaps) != std::string::npos);
    auto const rows = csv_rows(file_text(folder / "one.csv"));
    REQUIRE(rows.size() == 7);
    CHECK(rows[1][1] == "");  // base design
    CHECK(rows[1][2] == "");
    std::size_t const dry = column(rows, "shortage_hours");
    CHECK(std::stod(rows[4][dry]) > std::stod(rows[1][dry]));  // 3 kWh
    CHECK(std::stod(rows[5][dry]) < std::stod(rows[1][dry]));  // 9 kWh
    CHECK(rows[6][dry] == rows[1][dry]);
}

TEST_CASE("a combination the scenario refuses has its reason, the others are run") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "sweep " + demo + "--vary 'battery.restart_above=0.4,0.65' --out a.csv");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("1 runs, 1 rows refused") != std::string::npos);
    auto const text = file_text(folder / "a.csv");
    CHECK(text.find("0.4 is not at least 0.01 above the battery's minimum SOC 0.5") != std::string::npos);
}

TEST_CASE("a row whose weather cannot be read has its reason, the others are run") {
    ScratchFolder folder;
    auto const weather = std::string(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv");
    REQUIRE(std::filesystem::exists(weather));
    std::ofstream(folder / "torn.csv") << file_text(weather).substr(0, 100000);
    auto const run =
        run_holdwater(folder, "sweep " + demo + "--vary 'weather.file=" + weather + "," +
                                  (folder / "torn.csv").string() + "," + (folder / "none.csv").string() +
                                  "' --vary 'battery.capacity=4 kWh,8 kWh' --json --out a.h5 --out a.csv");
    CHECK(run.exit_code == 0);
    CHECK(run.err == "");
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["rows"] == 6);
    CHECK(json["refused"] == 4);
    CHECK(json["first_problem"].get<std::string>().find("torn.csv") != std::string::npos);
    auto const rows = csv_rows(file_text(folder / "a.csv"));
    CHECK(std::stod(rows[2][column(rows, "shortage_hours")]) <
          std::stod(rows[1][column(rows, "shortage_hours")]));
    CHECK(rows[3][column(rows, "shortage_hours")] == "");
    CHECK(sim::read_column(folder / "a.h5", "sweep", "ran") == std::vector<double>{1, 1, 0, 0, 0, 0});
    CHECK(file_text(folder / "a.csv").find("none.csv") != std::string::npos);
}

TEST_CASE("Sobol indices of a design: shares, intervals, US units, JSON") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo +
        "--sobol 8 --plain --figure water_short_m3 --vary 'battery.capacity=normal(5 kWh, "
        "1 kWh, 2 kWh, 9 kWh)' --vary 'inverter.idle=20 W..60 W' --vary "
        "'weather.long_gaps=refuse,fill' ";
    auto const text = run_holdwater(folder, arguments + "--units us");
    REQUIRE(text.exit_code == 0);
    CHECK(text.out.find("Sobol design, 8 base samples, seed 1: 40 runs") == 0);
    CHECK(text.out.find(" gal, standard deviation ") != std::string::npos);
    auto const run = run_holdwater(folder, arguments + "--json --out a.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["unit"] == "m3");
    CHECK(json["base_samples"] == 8);
    REQUIRE(json["sobol"].size() == 3);
    // Largest first; a key without any effect has a share of 0.
    CHECK(json["sobol"][0]["total"] > json["sobol"][1]["total"]);
    CHECK(json["sobol"][2]["key"] == "weather.long_gaps");
    CHECK(json["sobol"][2]["total"] == 0);
    for (auto const& s : json["sobol"]) {
        CHECK(s["total_95"][0] <= s["total"]);
        CHECK(s["total_95"][1] >= s["total"]);
    }
    // A finished file shows any other figure without running again.
    auto const other = run_holdwater(folder, "sweep --merge a.h5 --figure soc_mean --json");
    REQUIRE(other.exit_code == 0);
    CHECK(nlohmann::json::parse(other.out)["figure"] == "soc_mean");
    CHECK(nlohmann::json::parse(other.out)["sobol"].size() == 3);
}

TEST_CASE("shards of a sweep merge into the file of the whole, CSV included") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo +
        "--sample 30 --vary 'battery.capacity=3 kWh..9 kWh' --vary 'array.sky_model=perez,isotropic' ";
    REQUIRE(run_holdwater(folder, arguments + "--out whole.h5 --out whole.csv").exit_code == 0);
    for (std::string const k : {"1", "2", "3", "4"}) {
        auto const shard = run_holdwater(folder, arguments + "--shard " + k + "/4 --out s" + k + ".h5");
        CHECK(shard.exit_code == 0);
        CHECK(shard.out.find("shard " + k + "/4 of 30 rows") != std::string::npos);
    }
    auto const merged =
        run_holdwater(folder, "sweep --merge s3.h5 s1.h5 s4.h5 s2.h5 --out merged.h5 --out merged.csv");
    CHECK(merged.exit_code == 0);
    CHECK(merged.out.find("30 runs") != std::string::npos);
    CHECK(file_text(folder / "merged.h5") == file_text(folder / "whole.h5"));
    CHECK(file_text(folder / "merged.csv") == file_text(folder / "whole.csv"));
    auto const less = run_holdwater(folder, "sweep --merge s3.h5 s1.h5 s4.h5 --out less.h5");
    CHECK(less.exit_code == 2);
    CHECK(less.err.find("shard 2/4 is missing") != std::string::npos);
    CHECK(!std::filesystem::exists(folder / "less.h5"));
    auto const twice = run_holdwater(folder, "sweep --merge s1.h5 s2.h5 s3.h5 s2.h5 s4.h5 --out less.h5");
    CHECK(twice.exit_code == 2);
    CHECK(twice.err.find("overlap") != std::string::npos);
}

TEST_CASE("Ctrl-C leaves the finished rows and --resume goes on, to the same bytes") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo + "--sample 200 --threads 1 --vary 'battery.capacity=3 kWh..9 kWh' --out ";
    // As soon as there is a file of rows, the signal that Ctrl-C sends.
    auto const stopped =
        run_shell(folder, "'" HOLDWATER_COMMAND "' " + arguments +
                              "a.h5 & while ! ls a.h5.part.* >/dev/null 2>&1; do sleep 0.01; "
                              "done; kill -INT $!; wait $!");
    CHECK(stopped.exit_code == 130);
    CHECK(stopped.out == "");
    CHECK(stopped.err.find("of 200 rows are finished") != std::string::npos);
    CHECK(stopped.err.find("--resume goes on") != std::string::npos);
    CHECK(!std::filesystem::exists(folder / "a.h5"));
    CHECK(std::filesystem::exists(folder / "a.h5.part"));
    auto const anew = run_holdwater(folder, arguments + "a.h5");
    CHECK(anew.exit_code == 2);
    CHECK(anew.err.find("--resume goes on from them") != std::string::npos);
    auto const other =
        run_holdwater(folder, "sweep " + demo +
                                  "--sample 200 --seed 2 --vary 'battery.capacity=3 kWh..9 kWh' "
                                  "--resume --out a.h5");
    CHECK(other.exit_code == 2);
    CHECK(other.err.find("the plan differs") != std::string::npos);
    auto const resumed = run_holdwater(folder, arguments + "a.h5 --resume");
    CHECK(resumed.exit_code == 0);
    CHECK(!std::filesystem::exists(folder / "a.h5.part"));
    CHECK(run_holdwater(folder, arguments + "b.h5").exit_code == 0);
    CHECK(file_text(folder / "a.h5") == file_text(folder / "b.h5"));
    auto const again = run_holdwater(folder, arguments + "a.h5 --resume");
    CHECK(again.exit_code == 0);
    CHECK(again.out.find("200 runs") != std::string::npos);
}

// 36 rows, more than one block: two taper, one has a gate, one is refused.
TEST_CASE("JSON says how many rows ran side by side, and what kept the others from it") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo +
        "--one-at-a-time --vary 'battery.capacity=4 kWh..9 kWh/30' --vary "
        "'battery.acceptance_per_hour=0.5,0.8' --vary 'pump_gate.battery_above=0.6' "
        "--vary 'battery.restart_above=0.4,0.65' --out a.h5 ";
    auto const json = nlohmann::json::parse(run_holdwater(folder, arguments + "--threads 4 --json").out);
    CHECK(json["this_call"]["side_by_side"] == 32);
    CHECK(json["this_call"]["alone"] == 3);
    CHECK(json["this_call"]["alone_for"]["a charge that tapers"] == 2);
    CHECK(json["this_call"]["alone_for"]["a pump gate"] == 1);
    // A table on the screen has nothing but the table.
    auto const screen = run_holdwater(folder, "sweep " + demo + "--vary 'battery.capacity=5 kWh,6 kWh'");
    CHECK(csv_rows(screen.out).size() == 3);
    CHECK(screen.err == "");
}

TEST_CASE("an option can be varied") {
    ScratchFolder folder;
    std::string const options = "'" HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml' ";
    auto const base = csv_rows(run_holdwater(folder, "sweep " + options + "--vary 'array.tilt=30 deg'").out),
               more = csv_rows(run_holdwater(folder, "sweep " + options +
                                                         "--option 'more battery' --vary 'array.tilt=30 deg'")
                                   .out);
    std::size_t const dry = column(base, "shortage_hours");
    CHECK(std::stod(more[1][dry]) < std::stod(base[1][dry]));
    auto const unknown = run_holdwater(folder, "sweep " + options + "--option X --vary 'array.tilt=30 deg'");
    CHECK(unknown.exit_code == 2);
    CHECK(unknown.err.find("there is no option \"X\"") != std::string::npos);
}

TEST_CASE("what cannot be swept is refused in words, with nothing written") {
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"", "--vary"},
             {"--vary battery.capacity", "an equals sign"},
             {"--vary 'battery.capcity=5 kWh,6 kWh' --out a.csv", "the nearest known key is 'capacity'"},
             {"--vary 'battery.capacity=5 m,6 m' --out a.csv", "key 'battery.capacity'"},
             {"--one-at-a-time --vary 'battery.capacity=5 kWh' --vary 'battery.capcity=5 kWh' --out a.csv",
              "no row that varies 'battery.capcity' could be run"},
             {"--vary 'battery.capacity=5 kWh' --vary 'battery.capacity=6 kWh'", "varied twice"},
             {"--vary 'battery.capacity=5 kWh' --figure beauty", "'beauty' is not a figure of a run"},
             {"--vary 'battery.capacity=5 kWh' --out a.txt", "must end in .csv or .h5"},
             {"--vary 'battery.capacity=5 kWh' --out nowhere/a.csv", "nowhere/a.csv: cannot be written"},
             {"--vary 'battery.capacity=5 kWh' --sample 0", "--sample"},
             {"--vary 'weather.file=none.csv'", "none.csv"},
             {"--vary 'weather.file=none.csv' --out a.h5", "none.csv"},
             {"--vary 'battery.capacity=5 kWh..6 kWh'", "needs a number of values"},
             {"--vary 'battery.capacity=normal(5 kWh)'", "normal needs mean"},
             {"--vary 'battery.capacity=5 kWh,6 kWh' --seed 3", "is for --sample and --sobol"},
             {"--vary 'battery.capacity=5 kWh,6 kWh' --resume", "needs --out FILE.h5"},
             {"--vary 'battery.capacity=5 kWh,6 kWh' --shard 1/2 --out a.csv", "needs --out FILE.h5"},
             {"--vary 'battery.capacity=5 kWh,6 kWh' --shard 3/2 --out a.h5", "'3/2' is not K/N"},
             {"--vary 'battery.capacity=5 kWh,6 kWh' --out a.h5 --out b.h5", "one .csv and one .h5"},
             {"--vary 'battery.capacity=5 kWh..6 kWh' --sobol 400000", "--sobol"},
             {"--vary 'battery.capacity=5 kWh..6 kWh' --sobol 8 --sample 8", "--sobol"},
             {"--merge a.h5 b.h5 --vary 'battery.capacity=5 kWh..6 kWh'", "joins finished files"},
         }) {
        CAPTURE(arguments);
        ScratchFolder folder;
        auto const run = run_holdwater(folder, "sweep " + demo + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
        CHECK(std::filesystem::is_empty(folder.text()));
    }
    ScratchFolder folder;
    CHECK(run_holdwater(folder, "sweep --help").out.find("Example:  holdwater sweep ") != std::string::npos);
}

TEST_SUITE_END();
