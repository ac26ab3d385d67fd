// `holdwater region`: its outputs, its shards, and what a killed run leaves. Places are invented, weather is
// made.
#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/faint_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text, test::one_line, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

std::string const household = "'" HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml' ";
std::string const shipped = "'" HOLDWATER_SOURCE "/scenarios/weather' ";

void put(fs::path const& path, std::string const& text) { std::ofstream(path, std::ios::binary) << text; }

// Stations from the shipped weather (made), each with a state, one that is too far north and one that is no
// weather file.
void make_stations(ScratchFolder const& folder) {
    fs::create_directory(folder / "stations");
    auto const station = [&](std::string const& from, std::string const& to, std::string const& state) {
        auto text = file_text(fs::path(HOLDWATER_SOURCE) / "scenarios/weather" / (from + ".csv"));
        auto const at = text.find("latitude_deg,");
        REQUIRE(at != std::string::npos);
        put(folder / ("stations/" + to + ".csv"), text.insert(at, "state," + state + "\n"));
    };
    station("juniper-bend", "a", "Northland");
    station("alder-flat", "b", "Northland");
    station("saltbush-wells", "c", "\"South & <Co>\"");
    test::put_faint_weather(folder / "stations/d.csv", 70, "Farland");
    put(folder / "stations/e.csv", "this is no weather\n");
}

std::string const question =
    "--array '2.2 kW,4 kW' --demand '100 gal/day,225 gal/day' --battery '5 kWh..60 kWh/12' --years 4 ";

std::vector<std::vector<std::string>> cells_of(std::string const& csv) {
    std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
    bool quoted = false;
    for (char const c : csv) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            rows.back().emplace_back();
        } else if (c == '\n' && !quoted) {
            rows.emplace_back(1);
        } else if (c != '\r') {
            rows.back().back() += c;
        }
    }
    rows.pop_back();
    return rows;
}

std::size_t column(std::vector<std::vector<std::string>> const& rows, std::string const& name) {
    for (std::size_t i = 0; i < rows[0].size(); ++i)
        if (rows[0][i].starts_with(name)) return i;
    FAIL("no column " << name);
    return 0;
}

}  // namespace

TEST_SUITE_BEGIN("tools/region");

TEST_CASE("table, CSV, GeoJSON and page of a region say the same") {
    ScratchFolder folder;
    make_stations(folder);
    auto const run =
        run_holdwater(folder, "region " + household + "--stations stations " + question +
                                  "--units us --out r.csv --out r.geojson --out r.html --out r.h5");
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    auto const json = Json::parse(
        run_holdwater(folder, "region " + household + "--stations stations " + question + "--json").out);
    REQUIRE(json["stations"].size() == 5);
    auto const rows = cells_of(file_text(folder / "r.csv"));
    REQUIRE(rows.size() == 1 + 5 * 4 * 3);
    auto const battery = column(rows, "battery_kwh"), reason = column(rows, "reason"),
               share = column(rows, "share"), state = column(rows, "state");
    auto const map = Json::parse(file_text(folder / "r.geojson"));
    CHECK(map["type"] == "FeatureCollection");
    REQUIRE(map["features"].size() == 20);
    std::size_t line = 1, feature = 0, served = 0;
    for (auto const& station : json["stations"])
        for (auto const& answer : station["answers"]) {
            auto const& point = map["features"][feature++];
            CHECK(point["type"] == "Feature");
            if (station["latitude_deg"].is_null()) {
                CHECK(point["geometry"].is_null());
            } else {
                CHECK(point["geometry"]["type"] == "Point");
                CHECK(point["geometry"]["coordinates"] ==
                      Json{station["longitude_deg"], station["latitude_deg"], station["elevation_m"]});
            }
            for (auto const* key : {"90", "95", "99"}) {
                auto const name = std::string("battery_kwh_") + key;
                auto const& cells = rows[line++];
                CHECK(cells[share] == std::string("0.") + (key[1] == '0' ? "9" : key));
                CHECK(cells[state] == station["state"]);
                CHECK(point["properties"][name] == answer[name]);
                if (answer[name].is_null()) {
                    CHECK(cells[battery].empty());
                    CHECK_FALSE(cells[reason].empty());
                    CHECK(answer["reason"].is_string());
                } else {
                    CHECK(std::stod(cells[battery]) == answer[name].get<double>());
                    CHECK(cells[reason].empty());
                    ++served;
                }
            }
        }
    CHECK(served > 12);
    // Nothing is left out: neither the station that is too far north nor the file that is none.
    CHECK(json["stations"][3]["answers"][0]["reason"] ==
          "latitude 70.0: no years can be made above 66 degrees");
    CHECK(json["stations"][4]["answers"][0]["reason"].get<std::string>().find("e.csv") != std::string::npos);
    auto const words = one_line(run.out);
    CHECK(words.find("- e: stations/e.csv") != std::string::npos);
    CHECK(words.find("Faint (made, invented place): latitude 70.0") != std::string::npos);
    CHECK(words.find("Northland, 2 stations at 2.2 kW and 100 gal/day: ") != std::string::npos);
    CHECK(words.find("These figures are for first quotes.") != std::string::npos);
    CHECK(words.find("No file has a ground reflectance: the scenario's 0.2 is used.") != std::string::npos);
    std::istringstream lines(run.out);
    for (std::string l; std::getline(lines, l);) {
        CAPTURE(l);
        auto const letters = std::count_if(l.begin(), l.end(), [](char c) { return (c & 0xc0) != 0x80; });
        CHECK(letters <= 100);
    }
    auto const page = file_text(folder / "r.html");
    CHECK(page.find("http://") == std::string::npos);
    CHECK(page.find("https://") == std::string::npos);
    CHECK(page.find("South &amp; &lt;Co&gt;") != std::string::npos);
    CHECK(page.find("<Co>") == std::string::npos);
    CHECK(page.find("default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-") !=
          std::string::npos);
    for (auto const* part : {"id=\"station-1-0\"", "id=\"station-5-3\"", "id=\"card-1\"", "#mark-unserved"})
        CHECK(page.find(part) != std::string::npos);
}

// `simulate` on the station's weather, with the battery of the answer and with the next smaller one.
TEST_CASE("the battery of a region is the smallest with which simulate says that the winters hold") {
    ScratchFolder folder;
    make_stations(folder);
    auto const json =
        Json::parse(run_holdwater(folder, "region " + household +
                                              "--stations stations/c.csv --array '2.2 kW' --battery '2 "
                                              "kWh..60 kWh/30' --years 20 --json")
                        .out);
    double const kwh = json["stations"][0]["answers"][0]["battery_kwh_95"].get<double>();
    // The scenario as the region sees it: the well at the station, no generator.
    auto text = file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const change = [&](std::string const& from, std::string const& to) {
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    };
    change("elevation = \"1100 m\"", "elevation = \"640 m\"");
    change("rated_power = \"1.6 kW\"", "rated_power = \"2.2 kW\"");
    change("power_limit = \"1.8 kW\"", "power_limit = \"2475 W\"");
    change("weather/juniper-bend.csv", "stations/c.csv");
    auto const water = json["stations"][0]["water_temperature_c"].get<double>();
    change("water_temperature = \"9 degC\"", "water_temperature = \"" + std::to_string(water) + " degC\"");
    auto const begin = text.find("[backup]"), end = text.find("[well]");
    text.erase(begin, end - begin);
    auto const held = [&](double capacity) {
        auto design = text;
        auto const set = [&](std::string const& from, std::string const& to) {
            auto const at = design.find(from);
            REQUIRE(at != std::string::npos);
            design.replace(at, from.size(), to);
        };
        set("capacity        = \"10.2 kWh\"", "capacity = \"" + std::to_string(capacity) + " kWh\"");
        set("charge_limit    = \"5 kW\"",
            "charge_limit = \"" + std::to_string(5 * capacity / 10.2) + " kW\"");
        set("discharge_limit = \"10 kW\"",
            "discharge_limit = \"" + std::to_string(10 * capacity / 10.2) + " kW\"");
        put(folder / "design.toml", design);
        auto const run = run_holdwater(folder, "simulate design.toml --years 20 --json");
        CAPTURE(run.err);
        REQUIRE(run.exit_code <= 1);
        return Json::parse(run.out)["verdict"]["end_of_life"]["made"]["met"].get<bool>();
    };
    CHECK(held(kwh));
    CHECK_FALSE(held(kwh - 2));
}

TEST_CASE("stations are named as a folder, a pattern, a list or one by one") {
    ScratchFolder folder;
    make_stations(folder);
    put(folder / "stations/list.txt", "# the plain\n\nc.csv\n  a.csv  \r\n");
    auto const names = [&](std::string const& stations) {
        auto const run = run_holdwater(folder, "region " + household + "--stations " + stations +
                                                   " --battery '30 kWh,60 kWh' --years 1 --json");
        CAPTURE(run.err);
        REQUIRE(run.exit_code == 0);
        std::string all;
        auto const json = Json::parse(run.out);
        for (auto const& s : json["stations"]) all += fs::path(s["file"].get<std::string>()).stem().string();
        return all;
    };
    CHECK(names("stations") == "abcde");
    CHECK(names("'stations/[ab].csv'") == "ab");
    CHECK(names("stations/list.txt") == "ca");
    CHECK(names("stations/b.csv stations/a.csv stations/b.csv") == "ba");
    // A link whose file is gone is no station less, but one that is not served.
    fs::create_symlink("gone.csv", folder / "stations/f.csv");
    CHECK(names("stations") == "abcdef");
    auto const json = Json::parse(run_holdwater(folder, "region " + household +
                                                            "--stations stations --battery '30 kWh' "
                                                            "--years 1 --json")
                                      .out);
    auto const& answer = json["stations"][5]["answers"][0];
    CHECK(answer["battery_kwh_90"].is_null());
    CHECK(answer["reason"].get<std::string>().find(
              "stations/f.csv: cannot be opened: No such file or directory") != std::string::npos);
}

TEST_CASE("shards of a region, merged, are the bytes of the whole run") {
    ScratchFolder folder;
    make_stations(folder);
    std::string const region = "region " + household + "--stations stations " + question;
    REQUIRE(run_holdwater(
                folder,
                region + "--out whole.h5 --out whole.csv --out whole.geojson --out whole.html --threads 1")
                .exit_code == 0);
    for (char const* shard : {"1", "2", "3"}) {
        auto const run =
            run_holdwater(folder, region + "--shard " + shard + "/3 --out part-" + shard + ".h5");
        CAPTURE(run.err);
        REQUIRE(run.exit_code == 0);
        REQUIRE(run_holdwater(folder, region + "--manifest done.csv --resume --shard " + shard +
                                          "/3 --out part-" + shard + ".h5")
                    .exit_code == 0);
    }
    auto const joined = run_holdwater(folder,
                                      "region --merge part-3.h5 part-1.h5 part-2.h5 --out all.h5 --out "
                                      "all.csv --out all.geojson --out all.html");
    CAPTURE(joined.err);
    REQUIRE(joined.exit_code == 0);
    for (std::string const ending : {".h5", ".csv", ".geojson", ".html"}) {
        CAPTURE(ending);
        CHECK(file_text(folder / ("whole" + ending)) == file_text(folder / ("all" + ending)));
    }
    // The manifest: a line for each shard, not again for one that was finished already.
    std::string const manifest = file_text(folder / "done.csv");
    CHECK(
        manifest.starts_with("file,command,shard,first_row,end_row,inputs_hash,file_hash,version,host\r\n"));
    CHECK(std::count(manifest.begin(), manifest.end(), '\n') == 4);
    CHECK(manifest.find("\npart-2.h5,region,2/3,7,13,") != std::string::npos);
    REQUIRE(run_holdwater(folder, region + "--manifest done.csv --resume --shard 2/3 --out part-2.h5")
                .exit_code == 0);
    CHECK(file_text(folder / "done.csv") == manifest);
    auto const with_manifest = run_holdwater(
        folder, "region --merge part-1.h5 part-2.h5 part-3.h5 --manifest done.csv --out listed.h5");
    CAPTURE(with_manifest.err);
    CHECK(with_manifest.exit_code == 0);
    CHECK(file_text(folder / "done.csv").find("\nlisted.h5,region,1/1,1,20,") != std::string::npos);
    put(folder / "short.csv", manifest.substr(0, manifest.find("\npart-3") + 1));
    auto const unlisted =
        run_holdwater(folder, "region --merge part-1.h5 part-2.h5 part-3.h5 --manifest short.csv");
    CHECK(unlisted.exit_code == 2);
    CHECK(unlisted.err.find("part-3.h5: is not in the manifest short.csv") != std::string::npos);
    auto const missing = run_holdwater(folder, "region --merge part-3.h5 part-1.h5");
    CHECK(missing.exit_code == 2);
    CHECK(missing.err.find("shard 2/3 is missing") != std::string::npos);
    // Rows of another question do not fit.
    std::string const other =
        "region " + household +
        "--stations stations --array '2.2 kW,4 kW' --demand '100 gal/day,225 gal/day' --battery '5 "
        "kWh..60 kWh/12' --years 5 ";
    REQUIRE(run_holdwater(folder, other + "--shard 2/3 --out other.h5").exit_code == 0);
    auto const mixed = run_holdwater(folder, "region --merge part-1.h5 other.h5 part-3.h5");
    CHECK(mixed.exit_code == 2);
    CHECK(mixed.err.find("the settings differ: made years = 4 in part-1.h5, made years = 5 in other.h5") !=
          std::string::npos);
    auto const sweep = run_holdwater(folder, "sweep --merge part-1.h5 part-2.h5 part-3.h5");
    CHECK(sweep.exit_code == 2);
    CHECK(sweep.err.find("part-1.h5: holds rows of `region`; join them with region --merge") !=
          std::string::npos);
}

// Killed at once, then at moments from a seed, and started again each time.
TEST_CASE("a region that is killed again and again ends with the bytes of one that is not") {
    ScratchFolder folder;
    make_stations(folder);
    for (int copy = 0; copy < 6; ++copy)
        fs::copy_file(folder / "stations/c.csv", folder / ("stations/c" + std::to_string(copy) + ".csv"));
    std::string const region = "region " + household + "--stations stations " + question + "--threads 1 ";
    auto const began = std::chrono::steady_clock::now();
    REQUIRE(run_holdwater(folder, region + "--out whole.h5").exit_code == 0);
    double const whole_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    std::mt19937 random(7);
    int killed = 0;
    for (int attempt = 0; attempt < 4; ++attempt) {
        double const after_s =
            attempt == 0 ? 0.05 : whole_s * (0.15 + 0.6 * static_cast<double>(random() % 1000) / 1000);
        auto const run =
            run_shell(folder, "'" HOLDWATER_COMMAND "' " + region + "--resume --out r.h5 & pid=$!; sleep " +
                                  std::to_string(after_s) + "; kill -9 $pid; wait $pid");
        killed += run.exit_code == 128 + 9 ? 1 : 0;
    }
    CHECK(killed >= 1);
    auto const last = run_holdwater(folder, region + "--resume --out r.h5");
    CAPTURE(last.err);
    REQUIRE(last.exit_code == 0);
    CHECK(file_text(folder / "r.h5") == file_text(folder / "whole.h5"));
    for (auto const& entry : fs::directory_iterator(folder.text())) {
        auto const name = entry.path().filename().string();
        if (!name.ends_with(".tmp")) CHECK(name.find("r.h5.part") == std::string::npos);
    }
}

TEST_CASE("what cannot be a region is refused with exit code 2") {
    ScratchFolder folder;
    make_stations(folder);
    fs::create_directory(folder / "empty");
    put(folder / "empty.txt", "# none\n");
    put(folder / "large.txt", std::string(std::size_t{1} << 21, '\n'));
    fs::create_symlink("/dev/zero", folder / "endless.txt");
    std::string const well = household + "--stations stations/c.csv ";
    for (auto const& [arguments, part] : std::vector<std::pair<std::string, std::string>>{
             {household, "--stations is required"},
             {"--stations stations", "SCENARIO is required"},
             {household + "--stations empty", "the folder holds no weather file"},
             {household + "--stations empty.txt", "empty.txt: names no weather file"},
             {household + "--stations none.txt", "none.txt: cannot be opened"},
             {household + "--stations large.txt", "large.txt: is larger than 1 MiB"},
             {household + "--stations endless.txt",
              "endless.txt: is a pipe or device that gives more than 1 MiB"},
             {household + "--stations 'x*.csv'", "no file has a name like this"},
             {household + "--stations stations/e.csv",
              "no station could be served; the first one: e: stations/e.csv"},
             {well + "--array '2 gal'", "--array \"2 gal\": "},
             {well + "--demand '2 kW'", "--demand \"2 kW\": "},
             {well + "--battery '5 kWh,5 kWh'", "stands in it twice"},
             {well + "--years 0", "--years"},
             {well + "--shard 1/2", "--shard: needs --out FILE.h5"},
             {well + "--resume", "--resume: needs --out FILE.h5"},
             {well + "--shard 3/2 --out a.h5", "is not K/N"},
             {well + "--out a.xls", "'a.xls' must end in .csv, .geojson, .html or .h5"},
             {well + "--out a.csv --out b.csv", "one file of each kind can be written"},
             {well + "--out none/a.csv", "there is no such folder"},
             {well + "--out stations/c.csv", "is a file that this command reads"},
             {well + "--units imperial", "--units"},
             {"--merge stations/c.csv", "damaged or changed"},
             {well + "--merge a.h5", "joins finished files"}}) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "region " + arguments);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(one_line(run.err).find(part) != std::string::npos);
        CHECK(run.out == "");
    }
    put(folder / "kept.html", "<p>mine</p>");
    CHECK(run_holdwater(folder, "region " + well + "--out kept.html").exit_code == 2);
    CHECK(file_text(folder / "kept.html") == "<p>mine</p>");
}

TEST_SUITE_END();
