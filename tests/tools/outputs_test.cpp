#include <doctest/doctest.h>
#include <sys/stat.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/command.hpp"

using namespace holdwater;
namespace fs = std::filesystem;

namespace {

std::string demo(std::string const& name) {
    return std::string("'") + HOLDWATER_SOURCE "/scenarios/" + name + ".toml'";
}

std::string const stations = std::string(" --years 1 --battery '10 kWh,60 kWh' --stations '") +
                             HOLDWATER_SOURCE "/scenarios/weather' ";

// Every command that writes a file, with a run that takes a second or less. OUT stands for the file.
struct Writing {
    std::string name, command, ending;
};

std::vector<Writing> const writings{
    {"simulate", "simulate " + demo("saltbush-livestock") + " --days 2 --out OUT", ".h5"},
    {"cloudy_period", "autonomy --period " + demo("saltbush-livestock") + " --days 1 --start 01-05 --out OUT",
     ".h5"},
    {"autonomy", "autonomy " + demo("saltbush-livestock") + " --days 1 --every 90 --years 0 --out OUT",
     ".h5"},
    {"sensitivity",
     "sensitivity --years 2 " + demo("saltbush-livestock") + " --input 'inverter.idle=20 W,60 W' --out OUT",
     ".h5"},
    {"compare h5", "compare " + demo("thorn-gully-options") + " --years 0 --out OUT", ".h5"},
    {"compare", "compare " + demo("thorn-gully-options") + " --years 0 --out OUT", ".csv"},
    {"years h5", "years " + demo("saltbush-livestock") + " --years 1 --out OUT", ".h5"},
    {"years", "years " + demo("saltbush-livestock") + " --years 1 --out OUT", ".csv"},
    {"size",
     "size " + demo("saltbush-livestock") +
         " --years 2 --vary 'battery.capacity=5 kWh,10 kWh' --require demand_met=0.5 --out OUT",
     ".csv"},
    {"years-rows", "years " + demo("saltbush-livestock") + " --years 1 --resume --out OUT", ".h5"},
    {"size-rows",
     "size " + demo("saltbush-livestock") +
         " --years 2 --vary 'battery.capacity=5 kWh,10 kWh' --require demand_met=0.5 --resume --out OUT",
     ".h5"},
    {"sweep h5", "sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5 kWh,10 kWh' --out OUT",
     ".h5"},
    {"sweep", "sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5 kWh,10 kWh' --out OUT",
     ".csv"},
    {"region h5", "region " + demo("saltbush-livestock") + stations + "--out OUT", ".h5"},
    {"region", "region " + demo("saltbush-livestock") + stations + "--out OUT", ".csv"},
    {"region map", "region " + demo("saltbush-livestock") + stations + "--out OUT", ".geojson"},
    {"region page", "region " + demo("saltbush-livestock") + stations + "--out OUT", ".html"},
    {"report", "report --years 2 " + demo("saltbush-livestock") + " --out OUT", ".html"},
    {"weather",
     "weather --make --place X --latitude 44 --longitude -114 --utc-offset-h -7 --clearness 0.4 0.4 0.4 0.4 "
     "0.4 0.4 "
     "0.4 0.4 0.4 0.4 0.4 0.4 --temperature-c 1 2 3 4 5 6 7 8 9 10 11 12 --out OUT",
     ".csv"},
};

std::string to(Writing const& w, std::string const& out) {
    std::string command = w.command;
    return command.replace(command.find("OUT"), 3, out);
}

}  // namespace

TEST_SUITE_BEGIN("tools/outputs");

// Before: the commands for the report, the comparison and the years, `sweep` and `weather --make` could
// replace a scenario or a weather file with their output and end with 0.
TEST_CASE("no command writes over what is no result of its own") {
    test::ScratchFolder folder;
    // A scenario, weather file, page and table of the user; by their names, with ./ and through a symbolic
    // link.
    std::string const scenario = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"),
                      weather = test::file_text(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv");
    for (auto const& w : writings)
        for (auto const& text :
             {scenario, weather.substr(weather.find("station")), std::string("row\n1\n"),
              std::string("<!doctype html><title>x</title>"), std::string("\x89HDF\r\n\x1a\nxx")}) {
            auto const file = "mine" + w.ending, link = "link" + w.ending;
            for (auto const& name : {file, "./" + file, link}) {
                std::ofstream(folder / file, std::ios::binary) << text;
                fs::remove(folder / link);
                fs::create_symlink(file, folder / link);
                auto const run = test::run_holdwater(folder, to(w, name));
                CAPTURE(w.name);
                CAPTURE(name);
                CAPTURE(run.err);
                CHECK(run.exit_code == 2);
                CHECK(run.err.find("it is left alone") != std::string::npos);
                CHECK(test::file_text(folder / file) == text);
                CHECK(fs::is_symlink(folder / link));
            }
        }
}

// Before: a pipe that nobody writes to held simulate, sweep, years and region for ever.
TEST_CASE("an output that is a pipe, a device or a folder is refused at once") {
    test::ScratchFolder folder;
    for (auto const& w : writings) {
        auto const pipe = "pipe" + w.ending, device = "device" + w.ending, place = "folder" + w.ending;
        if (!fs::exists(folder / pipe)) {
            REQUIRE(::mkfifo((folder / pipe).c_str(), 0600) == 0);
            fs::create_symlink("/dev/full", folder / device);
            fs::create_directory(folder / place);
        }
        for (auto const& [name, why] : {std::pair{pipe, "it is not an ordinary file"},
                                        {device, "it is not an ordinary file"},
                                        {place, "it is a folder"}}) {
            auto const run = test::run_shell(folder, "timeout 5 '" HOLDWATER_COMMAND "' " + to(w, name));
            CAPTURE(w.name);
            CAPTURE(run.err);
            CHECK(run.exit_code == 2);
            CHECK(run.err == name + ": cannot be written (" + why + ")\n");
        }
        CHECK(fs::is_fifo(folder / pipe));
        CHECK(fs::is_symlink(folder / device));
    }
}

// The user has a link to a file elsewhere: it stays, and the file to which it points is written.
TEST_CASE("every command follows a symbolic link to its output") {
    test::ScratchFolder folder;
    fs::create_directory(folder / "elsewhere");
    for (auto const& w : writings) {
        auto const there = folder / ("elsewhere/there" + w.ending), link = folder / ("link" + w.ending);
        for (bool const is_there : {false, true}) {
            if (!is_there) fs::remove(there);
            fs::remove(link);
            fs::create_symlink("elsewhere/there" + w.ending, link);
            auto const run = test::run_holdwater(folder, to(w, "link" + w.ending));
            CAPTURE(w.name);
            CAPTURE(is_there);
            CAPTURE(run.err);
            CHECK(run.exit_code <= 1);
            CHECK(fs::is_symlink(link));
            CHECK(fs::is_regular_file(there));
        }
        fs::remove(there);
        fs::remove(link);
        CHECK(fs::is_empty(folder / "elsewhere"));  // nothing unfinished is left there
    }
}

TEST_CASE("a table is refused where a command writes HDF5, with a name that would do") {
    test::ScratchFolder folder;
    for (auto const& w : writings) {
        bool const also_csv = std::any_of(writings.begin(), writings.end(), [&](auto const& other) {
            return other.ending == ".csv" && w.command.starts_with(other.command.substr(0, 8));
        });
        if (w.ending != ".h5" || also_csv) continue;
        for (std::string const ending : {".csv", ".CSV", ".json"}) {
            auto const run = test::run_holdwater(folder, to(w, "year" + ending));
            CAPTURE(w.name);
            CAPTURE(run.err);
            CHECK(run.exit_code == 2);
            CHECK(run.err.find("is an HDF5 file and cannot be") != std::string::npos);
            CHECK(run.err.find("such as year.h5") != std::string::npos);
            CHECK(fs::is_empty(folder.text()));
        }
    }
}

TEST_CASE("a result of its own kind is written over, that of another command is not") {
    test::ScratchFolder folder;
    for (auto const& w : writings) {
        CAPTURE(w.name);
        for (int i = 0; i < 2; ++i) {
            auto const run =
                test::run_holdwater(folder, to(w, w.name.substr(0, w.name.find(' ')) + w.ending));
            CAPTURE(run.err);
            CHECK(run.exit_code <= 1);  // 1: no design of the demo's lists does, which is no concern here
            CHECK(fs::exists(folder / (w.name.substr(0, w.name.find(' ')) + w.ending)));
        }
    }
    for (auto const& w : writings)
        for (auto const& other : writings) {
            if (other.ending != w.ending || other.name == w.name) continue;
            auto const name = other.name.substr(0, other.name.find(' ')) + w.ending;
            auto const before = test::file_text(folder / name);
            auto const run = test::run_holdwater(folder, to(w, name));
            CAPTURE(w.name);
            CAPTURE(name);
            CHECK(run.exit_code == 2);
            CHECK(run.err.find(name + ": is there already and is not ") != std::string::npos);
            CHECK(test::file_text(folder / name) == before);
        }
}

TEST_CASE("a file that a command reads is never its output, under whatever name") {
    test::ScratchFolder folder;
    fs::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::ofstream(folder / "well.toml")
        << test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    REQUIRE(test::run_holdwater(folder, "simulate well.toml --days 2").exit_code == 0);
    REQUIRE(
        test::run_holdwater(folder, "sweep well.toml --vary 'battery.capacity=5 kWh,10 kWh' --out sweep.h5")
            .exit_code == 0);
    fs::create_symlink("well.h5", folder / "link.h5");
    fs::create_symlink("sweep.h5", folder / "link-sweep.h5");
    for (auto const& [command, file] : std::vector<std::pair<std::string, std::string>>{
             {"simulate --from-result well.h5 --out well.h5", "well.h5"},
             {"simulate --from-result well.h5 --out ./well.h5", "well.h5"},
             {"simulate --from-result well.h5 --out link.h5", "well.h5"},
             {"simulate --from-result link.h5 --out well.h5", "well.h5"},
             {"sweep --merge sweep.h5 --out ./sweep.h5", "sweep.h5"},
             {"sweep --merge link-sweep.h5 --out sweep.h5", "sweep.h5"},
             {"report well.toml --out ./well.toml", "well.toml"},
             {"init weather-of-mine.csv --force --weather weather-of-mine.csv", "weather-of-mine.csv"}}) {
        std::string const arguments = command;
        CAPTURE(arguments);
        if (file == "weather-of-mine.csv")
            fs::copy_file(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv", folder / file);
        auto const before = test::file_text(folder / file);
        auto const run = test::run_holdwater(folder, command);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.err.find("is a file that this command reads; it is left alone") != std::string::npos);
        CHECK(test::file_text(folder / file) == before);
    }
}

TEST_SUITE_END();
