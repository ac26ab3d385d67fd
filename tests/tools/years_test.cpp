#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "models/numeric/statistics.hpp"
#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {
std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'";
std::string const weather = "'" HOLDWATER_SOURCE "/scenarios/weather/";
}  // namespace

TEST_SUITE_BEGIN("tools/years");

TEST_CASE("the ranges are those of the years in the table, and the number of years is said") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "years " + well + " --years 12 --seed 5 --json --out y.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["years"] == 12);
    for (std::string const name : {"shortage_hours", "demand_met_fraction", "pv_available_kwh"}) {
        CAPTURE(name);
        auto const values = sim::read_column((folder / "y.h5").string(), "years", name);
        REQUIRE(values.size() == 12);
        auto const& f = json["figures"][name];
        CHECK(f["low"] == models::quantile(values, 0.1));
        CHECK(f["high"] == models::quantile(values, 0.9));
        CHECK(f["median"] == models::quantile(values, 0.5));
        CHECK(f["low"] <= f["high"]);
    }
    auto const dry = sim::read_column((folder / "y.h5").string(), "years", "shortage_hours");
    CHECK(json["figures"]["shortage_hours"]["worst"] == *std::max_element(dry.begin(), dry.end()));
    CHECK(json["figures"]["shortage_hours"]["one_in_ten"] == json["figures"]["shortage_hours"]["high"]);
    auto const wet = static_cast<int>(std::count(dry.begin(), dry.end(), 0.0));
    CHECK(json["no_shortage"]["years"] == wet);
    CHECK(json["no_shortage"]["share_high"] == models::clopper_pearson_interval(wet, 12).high);
    // The column of the file is the year that `simulate` runs.
    auto const simulate = nlohmann::json::parse(run_holdwater(folder, "simulate " + well + " --json").out);
    CHECK(json["figures"]["shortage_hours"]["typical_year"] == simulate["shortage_hours"]);
    // The same bytes again, for any number of threads.
    auto const again = run_holdwater(folder, "years " + well + " --years 12 --seed 5 --json --threads 1");
    CHECK(again.out == run.out);
}

// The demo's own year, weaker by a factor, under another calendar year: recorded years of one place.
std::string recorded(std::vector<std::pair<int, double>> const& years) {
    std::istringstream demo(test::file_text(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv"));
    std::string text, rows, line;
    while (std::getline(demo, line)) (line.starts_with("2023,") ? rows : text) += line + "\n";
    for (auto const& [year, factor] : years) {
        std::istringstream in(rows);
        while (std::getline(in, line)) {
            std::array<double, 8> v{};
            int used = 0;
            REQUIRE(std::sscanf(line.c_str(), "2023,%lf,%lf,%lf,%lf,%lf,%lf%n", &v[0], &v[1], &v[2], &v[3],
                                &v[4], &v[5], &used) == 6);
            text += fmt::format("{},{},{},{},{:.2f},{:.2f},{:.2f}{}\n", year, v[0], v[1], v[2], factor * v[3],
                                factor * v[4], factor * v[5], line.substr(static_cast<std::size_t>(used)));
        }
    }
    return text;
}

TEST_CASE("recorded years stand in for made ones, with the calendar year in which each begins") {
    ScratchFolder folder;
    std::ofstream(folder / "a.csv") << recorded({{2001, 1.0}, {2002, 0.8}});
    std::ofstream(folder / "b.csv") << recorded({{2004, 0.6}});
    auto const run = run_holdwater(folder, "years " + well + " --weather '*.csv' --out y.csv --units us");
    REQUIRE(run.exit_code == 0);
    // Two consecutive years give one year from start month to start month; 2004 has no year after it and
    // gives none.
    CHECK(run.out.find("1 recorded year") != std::string::npos);
    CHECK(run.out.find("first year") != std::string::npos);
    CHECK(run.out.find("Made years") == std::string::npos);
    CHECK(run.out.find("of 1 years") != std::string::npos);
    CHECK(run.out.find("2003: a year is missing between 2002 and 2004") != std::string::npos);
    auto const csv = test::file_text(folder / "y.csv");
    CHECK(csv.starts_with("year,water_demand_m3 [m3]"));
    CHECK(csv.find(",source,calendar_year\r\n") != std::string::npos);
    CHECK(csv.find("recorded,2001\r\n") != std::string::npos);
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 2);
    // A file of many years alone is recorded years too.
    auto const alone = run_holdwater(folder, "years " + well + " --weather a.csv --json");
    REQUIRE(alone.exit_code == 0);
    auto const json = nlohmann::json::parse(alone.out);
    CHECK(json["recorded"][0]["recorded_years"] == std::vector<int>{2001});
    CHECK(json["record"]["lights"][0]["verdict_years"] == 1);
    // One file of one year replaces the scenario's own: made years are like it.
    auto const one =
        run_holdwater(folder, "years " + well + " --years 2 --weather " + weather + "alder-flat.csv'");
    REQUIRE(one.exit_code == 0);
    CHECK(one.out.find("2 made years like the weather file") != std::string::npos);
    // Files of two places are not a record.
    auto const two = run_holdwater(folder, "years " + well + " --weather " + weather +
                                               "saltbush-wells.csv' " + weather + "alder-flat.csv'");
    CHECK(two.exit_code == 2);
    CHECK(two.err.find("recorded years must be of one place") != std::string::npos);
}

// The station archive's layout in short, from the same rows: METSTAT 20 % below SUNY.
TEST_CASE("two models of the light stand side by side, apart from the made years of the scenario") {
    ScratchFolder folder;
    std::ofstream(folder / "typical.csv") << recorded({{2023, 1.0}});
    std::istringstream in(recorded({{2003, 1.0}, {2004, 1.0}}));
    std::map<int, std::ofstream> archive;  // a file a year
    for (int const year : {2003, 2004}) {
        archive[year].open(folder / fmt::format("999999_{}_solar.csv", year));
        archive[year]
            << "YYYY-MM-DD,HH:MM (LST),SUNY Glo (Wh/m^2),SUNY Dir (Wh/m^2),SUNY Dif (Wh/m^2),METSTAT Glo "
               "(Wh/m^2),METSTAT Dir (Wh/m^2),METSTAT Dif (Wh/m^2)\n";
    }
    for (std::string line; std::getline(in, line);) {
        int year = 0, month = 0, day = 0, hour = 0;
        double g = 0, b = 0, d = 0;
        if (std::sscanf(line.c_str(), "%d,%d,%d,%d,%lf,%lf,%lf", &year, &month, &day, &hour, &g, &b, &d) != 7)
            continue;
        archive[year] << fmt::format("{}-{:02}-{:02},{}:00,{},{},{},{:.2f},{:.2f},{:.2f}\n", year, month, day,
                                     hour + 1, g, b, d, 0.8 * g, 0.8 * b, 0.8 * d);
    }
    archive.clear();
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const at = text.find("file = \"weather/saltbush-wells.csv\"");
    REQUIRE(at != std::string::npos);
    auto const end = text.find('\n', at);
    text.replace(at, end - at,
                 "file = \"typical.csv\"\nyears = [\"*_solar.csv\"]\ntemperature_file = \"typical.csv\"");
    std::ofstream(folder / "d.toml") << text;
    auto const run = run_holdwater(folder, "years d.toml --years 3 --json");
    std::string const err = run.err;
    CAPTURE(err);
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    CHECK(json["years"] == 3);
    REQUIRE(json["recorded"].size() == 2);
    CHECK(json["recorded"][0]["source"] == "SUNY");
    CHECK(json["recorded"][1]["source"] == "METSTAT");
    auto const pv = [&](std::size_t i) {
        return json["recorded"][i]["figures"]["pv_available_kwh"]["mean"].get<double>();
    };
    CHECK(pv(1) < 0.85 * pv(0));
    auto const table = run_holdwater(folder, "years d.toml --years 3").out;
    CHECK(table.find("Side by side, years without a shortage:\n  made years") != std::string::npos);
    CHECK(table.find("\n  METSTAT ") != std::string::npos);
    CHECK(table.find(" h, 2003, 2004: temperature was missing and was taken from typical.csv") !=
          std::string::npos);
    auto const one = run_holdwater(folder, "years d.toml --years 3 --light-model suny --json");
    CHECK(nlohmann::json::parse(one.out)["recorded"].size() == 1);
    // The verdict of `simulate` says both beside the made years; of two calendar years there is one verdict
    // year.
    auto const verdict = run_holdwater(folder, "simulate d.toml --years 3").out;
    for (char const* light : {"SUNY", "METSTAT"})
        CHECK(verdict.find(fmt::format("  Recorded, {} light: ", light)) != std::string::npos);
    CHECK(verdict.find(" of 1 ") != std::string::npos);
    auto const said = nlohmann::json::parse(run_holdwater(folder, "simulate d.toml --years 3 --json").out);
    CHECK(said["verdict"]["new"]["made"]["years"] == 3);
    CHECK(said["verdict"]["new"]["SUNY"]["years"] == 1);
    CHECK(said["verdict"]["end_of_life"]["METSTAT"]["years"] == 1);
    // The same from the command line, and with one model.
    auto const given = run_holdwater(
        folder, "simulate '" HOLDWATER_SOURCE
                "/scenarios/saltbush-livestock.toml' --years 3 --weather '*_solar.csv' --light-model metstat "
                "--temperature-file typical.csv --out s.h5");
    std::string const given_err = given.err;
    CAPTURE(given_err);
    CHECK(given.exit_code == 0);
    CHECK(given.out.find("  Recorded, METSTAT light: ") != std::string::npos);
    CHECK(given.out.find("SUNY") == std::string::npos);
    std::ofstream(folder / "c.toml") << text
                                     << "\n[[option]]\nname = \"large\"\n\"battery.capacity\" = \"90 kWh\"\n";
    auto const compared = run_holdwater(folder, "compare c.toml --years 3").out;
    CHECK(compared.find("  recorded, SUNY light ") != std::string::npos);
    CHECK(compared.find(" of 1") != std::string::npos);
    // Listed by `weather`, with the files alone.
    auto const listed = run_holdwater(folder, "weather 999999_2003_solar.csv --temperature-file typical.csv");
    REQUIRE(listed.exit_code == 0);
    CHECK(listed.out.find("SUNY: 2003; 1 year, 0 of them with the next year recorded too") !=
          std::string::npos);
    auto const none = run_holdwater(folder, "weather 999999_2003_solar.csv");
    CHECK(none.exit_code == 2);
    CHECK(none.err.find("--temperature-file") != std::string::npos);
}

TEST_CASE("a share of years can be required, and bad input is refused") {
    ScratchFolder folder;
    auto const missed = run_holdwater(folder, "years " + well + " --years 2 --require 0.9");
    CHECK(missed.exit_code == 1);
    CHECK(missed.err.find("requirement failed: the whole demand was met in 0.0000 of the years") !=
          std::string::npos);
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"--years 0", "--years"},
             {"--years x", "--years"},
             {"--require 2", "--require"},
             {"--weather no.csv", "no.csv"},
             {"--out x.txt", "must end in .csv or .h5"},
             {"--option B", "there is no option \"B\""},
         }) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "years " + well + " " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CHECK(err.find(message) != std::string::npos);
    }
}

TEST_CASE(
    "a file from the far north: no made years, and the message names file, latitude and what is accepted") {
    ScratchFolder folder;
    {
        std::ifstream in(HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv");
        std::ofstream north(folder / "north.csv");
        for (std::string line; std::getline(in, line);) {
            if (line.starts_with("latitude_deg,")) line = "latitude_deg,70.5";
            // Without light, because that of another latitude would be refused.
            std::istringstream cells(line);
            std::vector<std::string> row;
            for (std::string cell; std::getline(cells, cell, ',');) row.push_back(cell);
            if (row.size() == 9 && row[0].starts_with("20"))
                line = fmt::format("{},{},{},{},0,0,0,{},{}", row[0], row[1], row[2], row[3], row[7], row[8]);
            north << line << '\n';
        }
    }
    std::string const design =
        " '" HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml' --weather north.csv ";
    for (std::string const command :
         {"simulate", "years", "report", "size --vary='battery.capacity=5 kWh,10 kWh'"}) {
        CAPTURE(command);
        auto const run = run_holdwater(folder, command + design);
        CHECK(run.exit_code == 2);
        CHECK(run.out.empty());
        CHECK(test::one_line(run.err).find(
                  "north.csv: latitude 70.5 deg: no years can be made from a file above 66 degrees north or "
                  "south, because its winter months have hardly any light; accepted: -66 to 66, or a run of "
                  "the "
                  "file alone, without made years (made_years = 0 in [weather], or --years 0)") !=
              std::string::npos);
    }
    CHECK(run_holdwater(folder, "simulate" + design + "--years 0").exit_code < 2);
}

TEST_SUITE_END();
