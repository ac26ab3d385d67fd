#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "sim/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text, test::Near, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const demo = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' ";

std::vector<std::vector<std::string>> csv_rows(std::string const& text) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        rows.emplace_back();
        std::istringstream cells(line);
        for (std::string cell; std::getline(cells, cell, ',');) rows.back().push_back(cell);
    }
    return rows;
}

std::size_t column(std::vector<std::vector<std::string>> const& rows, std::string const& name) {
    auto const at = std::find(rows[0].begin(), rows[0].end(), name);
    REQUIRE(at != rows[0].end());
    return static_cast<std::size_t>(at - rows[0].begin());
}

}  // namespace

TEST_SUITE_BEGIN("tools/sweep");

TEST_CASE("the rows are the same bytes for any number of threads, in both formats") {
    ScratchFolder folder;
    std::string const arguments =
        "sweep " + demo +
        "--sample 70 --seed 9 --vary 'bank.capacity=3 kWh..9 kWh/2' --vary 'array.tilt=20 deg..60 "
        "deg/2' --vary 'array.sky_model=perez,isotropic' ";
    for (char const* const threads : {"1", "2", "7"})
        REQUIRE(run_holdwater(folder, arguments + "--threads " + threads + " --out " + threads +
                                          ".csv --out " + threads + ".h5")
                    .exit_code == 0);
    auto const one = file_text(folder / "1.csv");
    CHECK(one == file_text(folder / "2.csv"));
    CHECK(one == file_text(folder / "7.csv"));
    CHECK(csv_rows(one).size() == 71);
    CHECK(sim::read_column(folder / "1.h5", "sweep", "dry_hours") ==
          sim::read_column(folder / "7.h5", "sweep", "dry_hours"));
    auto const capacity = sim::read_column(folder / "1.h5", "sweep", "bank.capacity");
    CHECK(*std::min_element(capacity.begin(), capacity.end()) < 3.1);
    CHECK(*std::max_element(capacity.begin(), capacity.end()) > 8.9);
}

TEST_CASE("a row is what simulate says of the same design") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "sweep " + demo +
                    "--vary 'bank.capacity=5 kWh,10 kWh' --vary 'load.pressure switch and level "
                    "radio.power=8 W,30 W'");
    REQUIRE(run.exit_code == 0);
    auto const rows = csv_rows(run.out);
    REQUIRE(rows.size() == 5);
    CHECK(rows[0][1] == "bank.capacity (kWh)");
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string text = file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    for (auto const& [from, to] : {std::pair<std::string, std::string>{"\"5.0 kWh\"", "\"10 kWh\""},
                                   {"power = \"8 W\"", "power = \"30 W\""}}) {
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    std::ofstream(folder / "last.toml") << text;
    auto const alone = nlohmann::json::parse(run_holdwater(folder, "simulate last.toml --json").out);
    for (char const* key :
         {"water_delivered_m3", "dry_hours", "soc_min", "pump_energy_kwh", "battery_loss_kwh"})
        CHECK(std::stod(rows[4][column(rows, key)]) == alone[key].get<double>());
}

TEST_CASE("one at a time shows what moves the figure most first") {
    ScratchFolder folder;
    auto const run = run_holdwater(
        folder, "sweep " + demo +
                    "--one-at-a-time --plain --figure dry_hours --vary 'array.tilt=25 deg,35 deg' --vary "
                    "'bank.capacity=3 kWh,9 kWh' --vary 'weather.long_gaps=fill' --out one.csv");
    REQUIRE(run.exit_code == 0);
    auto const bank = run.out.find("  bank.capacity "), tilt = run.out.find("  array.tilt "),
               gaps = run.out.find("  weather.long_gaps");
    CHECK(bank < tilt);
    CHECK(tilt < gaps);
    CHECK(run.out.find("changes nothing", gaps) != std::string::npos);
    auto const rows = csv_rows(file_text(folder / "one.csv"));
    REQUIRE(rows.size() == 7);
    CHECK(rows[1][1] == "");  // as written
    CHECK(rows[1][2] == "");
    std::size_t const dry = column(rows, "dry_hours");
    CHECK(std::stod(rows[4][dry]) > std::stod(rows[1][dry]));  // 3 kWh
    CHECK(std::stod(rows[5][dry]) < std::stod(rows[1][dry]));  // 9 kWh
    CHECK(rows[6][dry] == rows[1][dry]);
}

TEST_CASE("a combination the scenario refuses has its reason, the others are run") {
    ScratchFolder folder;
    auto const run =
        run_holdwater(folder, "sweep " + demo + "--vary 'bank.restart_above=0.4,0.65' --out a.csv");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("1 runs, 1 combinations refused") != std::string::npos);
    auto const text = file_text(folder / "a.csv");
    CHECK(text.find("0.4 is not above the bank's floor 0.5") != std::string::npos);
}

TEST_CASE("an option can be varied") {
    ScratchFolder folder;
    std::string const options = "'" HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml' ";
    auto const base = csv_rows(run_holdwater(folder, "sweep " + options + "--vary 'array.tilt=30 deg'").out),
               more = csv_rows(run_holdwater(folder, "sweep " + options +
                                                         "--option 'more bank' --vary 'array.tilt=30 deg'")
                                   .out);
    std::size_t const dry = column(base, "dry_hours");
    CHECK(std::stod(more[1][dry]) < std::stod(base[1][dry]));
    auto const unknown = run_holdwater(folder, "sweep " + options + "--option X --vary 'array.tilt=30 deg'");
    CHECK(unknown.exit_code == 2);
    CHECK(unknown.err.find("there is no option \"X\"") != std::string::npos);
}

TEST_CASE("what cannot be swept is refused in words, with nothing written") {
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"", "--vary"},
             {"--vary bank.capacity", "an equals sign"},
             {"--vary 'bank.capcity=5 kWh,6 kWh' --out a.csv", "the nearest known key is 'capacity'"},
             {"--vary 'bank.capacity=5 m,6 m' --out a.csv", "key 'bank.capacity'"},
             {"--one-at-a-time --vary 'bank.capacity=5 kWh' --vary 'bank.capcity=5 kWh' --out a.csv",
              "no row that varies 'bank.capcity' could be run"},
             {"--vary 'bank.capacity=5 kWh' --vary 'bank.capacity=6 kWh'", "varied twice"},
             {"--vary 'bank.capacity=5 kWh' --figure beauty", "'beauty' is not a figure of a run"},
             {"--vary 'bank.capacity=5 kWh' --out a.txt", "must end in .csv or .h5"},
             {"--vary 'bank.capacity=5 kWh' --out nowhere/a.csv", "nowhere/a.csv: cannot be written"},
             {"--vary 'bank.capacity=5 kWh' --sample 0", "--sample"},
             {"--vary 'weather.file=none.csv'", "none.csv"},
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
