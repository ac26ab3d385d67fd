#include <doctest/doctest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <iostream>
#include <string>
#include <thread>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

// Harmful input: the command refuses it with a message, quickly and with little memory, and no control
// character of it reaches the terminal. Also streams and signals: the exit code is right, whatever happens to
// them.

using namespace holdwater;
using test::file_text, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string const command = "'" HOLDWATER_COMMAND "' ";
std::string const demo = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' ";

struct Measured {
    int exit_code = 0;
    long memory_kib = 0;
    double seconds = 0;
    std::string err;
};

// A shell that is no terminal starts a command in the background with SIGINT ignored, until the command
// catches it itself: a slow machine needs more than a second for that.
std::string const until_caught = " & until grep -q 'SigCgt:.*a$' /proc/$!/status; do sleep 0.01; done; ";

// Runs the command alone, so that the memory is its own.
Measured measure(ScratchFolder const& folder, std::string const& arguments) {
    auto const err = folder / ".err";
    auto const began = std::chrono::steady_clock::now();
    pid_t const child = ::fork();
    if (child == 0) {
        std::string const line = "cd '" + folder.text() + "' && exec " + command + arguments +
                                 " > /dev/null 2> '" + err.string() + "'";
        ::execl("/bin/sh", "sh", "-c", line.c_str(), nullptr);
        ::_exit(127);
    }
    int status = 0;
    rusage usage{};
    ::wait4(child, &status, 0, &usage);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), usage.ru_maxrss,
            std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(), file_text(err)};
}

void refused(ScratchFolder const& folder, std::string const& arguments, std::string const& says,
             [[maybe_unused]] std::size_t file_kib = 0, [[maybe_unused]] double most_s = 10) {
    auto const run = measure(folder, arguments);
    CAPTURE(arguments);
    std::string const err = run.err.substr(0, 400);
    CAPTURE(err);
    CHECK(run.exit_code == 2);
    CHECK(run.err.find(says) != std::string::npos);
#ifndef __SANITIZE_ADDRESS__
    CHECK(run.memory_kib < static_cast<long>(200 * 1024 + file_kib));
    CHECK(run.seconds < most_s);
#endif
}

std::string repeated(std::string const& piece, std::size_t times) {
    std::string out;
    out.reserve(piece.size() * times);
    for (std::size_t i = 0; i < times; ++i) out += piece;
    return out;
}

// A demo with its text changed, beside its weather.
void write_demo(ScratchFolder const& folder, std::string const& name, std::string const& from,
                std::string const& to) {
    std::string text = file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    std::ofstream(folder / name) << text;
    std::error_code there;
    std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather",
                                              there);
}

}  // namespace

TEST_SUITE_BEGIN("tools/hostile");

TEST_CASE("keys thousands of levels deep are refused in scenario, parts list and options") {
    ScratchFolder folder;
    std::string const key = repeated("a.", 31092) + "a";
    std::ofstream(folder / "deep.toml") << key << " = 1\n";
    std::string const says = "deep.toml:1: not a TOML file: tables lie within one another more than 32 deep";
    for (std::string const verb : {"simulate", "check", "parts", "compare"})
        refused(folder, verb + " deep.toml", says);
    write_demo(folder, "lists.toml", "title ", "parts = [\"deep.toml\"]\ntitle ");
    refused(folder, "simulate --years 0 lists.toml", says);
    refused(folder, "sweep " + demo + "--vary '" + key + "=1,2'", "parts; at most 32 are accepted");
    refused(folder, "size " + demo + "--vary 'battery.capacity=1 kWh,2 kWh' --require '" + key + "=1'",
            "--require");
}

TEST_CASE("devices, FIFOs and files of nothing but newlines are refused in little memory") {
    ScratchFolder folder;
    REQUIRE(::mkfifo((folder / "fifo").c_str(), 0600) == 0);
    std::ofstream(folder / "newlines") << std::string(100000000, '\n');
    std::ofstream(folder / "commas.csv") << repeated("a,", 50000000);
    std::ofstream(folder / "lines.csv") << repeated("1,2\n", 25000000);
    constexpr std::size_t file_kib = 100000;
    for (std::string const verb : {"simulate", "check", "parts"}) {
        refused(folder, verb + " /dev/zero", "is a pipe or device that gives more than");
        refused(folder, verb + " newlines", "the most that is accepted", file_kib);
    }
    refused(folder, "weather /dev/zero", "is a pipe or device that gives more than 256 MiB", 256 * 1024);
    refused(folder, "weather newlines", "has more than 1000000 lines", file_kib);
    refused(folder, "weather lines.csv", "has more than 1000000 lines", file_kib);
    refused(folder, "weather commas.csv", "the line is longer than 65536 characters", file_kib);
    refused(folder, "simulate --years 0 " + demo + "--weather newlines", "has more than 1000000 lines",
            file_kib);
    refused(folder, "simulate --years 0 fifo", "is a pipe or device that gave nothing for 10 s", 0, 20);
    for (std::string const name : {"/dev/zero", "fifo"})
        refused(folder, "simulate --from-result " + name, "there is no such file");
    refused(folder, "simulate --from-result newlines", "damaged or changed");
    refused(folder, "sweep --merge fifo --out m.h5", "damaged or changed");
    refused(folder, "sweep --merge /dev/zero --out m.h5", "damaged or changed");
    // A manifest: of a shard, before it is run, and of files that are joined.
    std::string const rows = "sweep " + demo + "--vary 'battery.capacity=5 kWh,10 kWh' ";
    REQUIRE(run_holdwater(folder, rows + "--out whole.h5").exit_code == 0);
    for (auto const& [name, says] :
         {std::pair<std::string, std::string>{"/dev/zero", "is not an ordinary file"},
          {"fifo", "is not an ordinary file"},
          {"newlines", "is larger than 32 MiB, the most that is accepted"}})
        for (auto const& [work, out] : {std::pair<std::string, std::string>{rows + "--shard 1/2", "s.h5"},
                                        {"sweep --merge whole.h5", "m.h5"}}) {
            refused(folder, work + " --out " + out + " --manifest " + name, name + ": " + says, 0, 5);
            CHECK(!std::filesystem::exists(folder / out));
        }
    // The weather of rows that are kept: read more than once, so it cannot be a pipe.
    std::string const once = ": is a pipe or device; what is read more than once must be an ordinary file";
    refused(folder, rows + "--out w.h5 --weather /dev/zero", "/dev/zero" + once, 0, 5);
    std::string const size = "size " + demo + "--years 0 --require demand_met=0.1 --resume ";
    for (std::string const name : {"/dev/zero", "fifo"}) {
        std::filesystem::path const there = folder / name;  // "/dev/zero" stays as it is
        std::string const vary = "--vary 'weather.file=" + there.string() +
                                 "," HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv' --out w.h5";
        refused(folder, "sweep " + demo + vary, there.string() + once, 0, 5);
        refused(folder, size + vary, there.string() + once, 0, 5);
    }
    // What ends is read.
    CHECK(run_shell(folder, "cat " + demo +
                                " | sed 's|\"weather/|\"" HOLDWATER_SOURCE "/scenarios/weather/|' | " +
                                command + "check /dev/stdin")
              .exit_code == 0);
}

TEST_CASE("the largest list of parts is looked through in little memory and time") {
    ScratchFolder folder;
    std::string text;
    for (int i = 0; i < 2000; ++i)
        text +=
            "[[module]]\nname = \"m" + std::to_string(i) + "\"\nrated_power = \"1 W\"\n" + repeated("\n", 7);
    std::ofstream(folder / "many.toml") << text;
    std::ofstream(folder / "numbers.toml")
        << "[[module]]\nname = \"m\"\nx = [" << repeated("1,", 520000) << "1]\n";
    refused(folder, "parts many.toml", "many.toml:1: ", 0, 60);
    refused(folder, "parts numbers.toml", "numbers.toml:1: ", 0, 60);
    std::ofstream(folder / "large.toml") << repeated("# a line\n", 200000);
    refused(folder, "parts large.toml", "large.toml: is larger than 1 MiB");
}

TEST_CASE("a message quotes no more of what was given than a person can read") {
    ScratchFolder folder;
    // Characters of two bytes; one of the two texts would be cut in the middle of a character.
    for (std::string const begin : {"", "x"}) {
        write_demo(folder, "long.toml",
                   "elevation = ", "elevation = \"1 " + begin + repeated("\xc3\xbc", 40000) + "\" # ");
        auto const err = run_holdwater(folder, "check long.toml").err;
        CAPTURE(err.substr(0, 100));
        CHECK(err.starts_with("long.toml:"));
        CHECK(err.size() < 2100);
        CHECK(err.ends_with(" more characters)\n"));
        CHECK(err.find("\xbc ... (") != std::string::npos);
    }
    // What is short enough is printed as it is, every line of it.
    write_demo(folder, "two.toml", "elevation = ", "elevation = 5 # ");
    std::string text = file_text(folder / "two.toml") + "\n[nothing]\n";
    std::ofstream(folder / "two.toml") << text;
    auto const two = run_holdwater(folder, "check two.toml").err;
    CHECK(std::count(two.begin(), two.end(), '\n') == 2);
    CHECK(two.find("more characters") == std::string::npos);
}

TEST_CASE("a changed byte in a result: --resume runs a sweep again, replay believes nothing") {
    ScratchFolder folder;
    auto const change = [&](std::string const& name) {
        auto bytes = file_text(folder / name);
        REQUIRE(bytes.size() > 1000);
        bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 1);
        std::ofstream(folder / name, std::ios::binary | std::ios::trunc) << bytes;
    };
    std::string const sweep = "sweep " + demo + "--vary 'battery.capacity=5 kWh,10 kWh' --out a.h5";
    REQUIRE(run_holdwater(folder, sweep).exit_code == 0);
    auto const good = file_text(folder / "a.h5");
    change("a.h5");
    CHECK(run_holdwater(folder, sweep).err.find("a.h5: is there already and is not a table of sweep") == 0);
    auto const resumed = run_holdwater(folder, sweep + " --resume");
    CHECK(resumed.exit_code == 0);
    CHECK(resumed.err == "warning: a.h5: is damaged; all of its rows are run again\n");
    CHECK(file_text(folder / "a.h5") == good);
    // Nor does --resume replace the result of another command.
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + demo + "--out r.h5").exit_code == 0);
    change("r.h5");
    CHECK(run_holdwater(folder, "sweep " + demo + "--vary 'battery.capacity=5 kWh' --out r.h5 --resume")
              .exit_code == 2);
    std::string log = "time,soc (%)\n";
    for (int hour = 0; hour < 72; ++hour)
        log += "2026-03-0" + std::to_string(1 + hour / 24) + (hour % 24 < 10 ? " 0" : " ") +
               std::to_string(hour % 24) + ":00,50\n";
    std::ofstream(folder / "log.csv") << log;
    REQUIRE(run_holdwater(folder, "replay " + demo + "log.csv").exit_code == 0);
    auto const replay = run_holdwater(folder, "replay " + demo + "log.csv --result r.h5");
    CHECK(replay.exit_code == 2);
    CHECK(replay.err.find("r.h5: cannot be read as a result of \"simulate\" (another file, or damaged") == 0);
}

TEST_CASE("exit codes stand when standard error is closed, full or read by nobody") {
    ScratchFolder folder;
    write_demo(folder, "warned.toml", "elevation = ", "elevation = \"6000 m\" #");
    auto const warned = run_holdwater(folder, "check warned.toml");
    CAPTURE(warned.err);
    struct Row {
        std::string arguments;
        int exit_code;
    };
    std::vector<Row> const rows{{"simulate --years 0 nowhere.toml", 2},
                                {"simulate", 2},
                                {"simulate --years 0 " + demo + "--days 3 --require 2", 2},
                                {"years " + demo + "--years 2 --require 1", 1},
                                {"simulate --years 0 warned.toml --days 3", 0},
                                {"--help", 0}};
    // Whether the warned run warns at all.
    CHECK(run_holdwater(folder, "simulate --years 0 warned.toml --days 3").err.find("warning: ") !=
          std::string::npos);
    for (auto const& row : rows)
        for (std::string const where : {" 2>&-", " 2> /dev/full", " 2>&1 >/dev/null | true", " 2>&- <&-"}) {
            auto const line = command + row.arguments;
            CAPTURE(line);
            CAPTURE(where);
            // Of a pipe the shell says the last command's code: the first one's is written beside.
            auto const run =
                where.find('|') == std::string::npos
                    ? run_shell(folder, line + where).exit_code
                    : std::stoi(run_shell(folder, "{ { sleep 0.2; " + line +
                                                      "; echo $? >&3; } 2>&1 >/dev/null | true; } 3>&1")
                                    .out);
            CHECK(run == row.exit_code);
        }
    // A run that is stopped: 128 and the number of the signal.
    for (std::string const where : {"", " 2>&-", " 2> /dev/full", " 2> unread", " 2>&- <&-"}) {
        CAPTURE(where);
        ScratchFolder stopping;
        // Whoever opened the pipe to read it has closed it again.
        std::string const reader = where == " 2> unread" ? "mkfifo unread; : < unread & " : "";
        auto const run = run_shell(stopping, reader + command + "years " + demo + "--years 100000" + where +
                                                 until_caught + "sleep 1; kill -INT $!; wait $!");
        CHECK(run.exit_code == 128 + SIGINT);
    }
    // Standard output: if nobody receives it, that is an error; a refusal stays a refusal.
    for (std::string const where : {" >&-", " > /dev/full", " >&- 2>&-", " > /dev/full 2> /dev/full"}) {
        CAPTURE(where);
        for (auto const& row : rows) {
            CAPTURE(row.arguments);
            CHECK(run_shell(folder, command + row.arguments + where).exit_code == 2);
        }
        // The file that is written does not take the place of the stream that is closed.
        run_shell(folder, command + "simulate --years 0 " + demo + "--days 3 --out r.h5" + where);
        CHECK(run_holdwater(folder, "simulate --from-result r.h5").exit_code == 0);
        std::filesystem::remove(folder / "r.h5");
    }
}

TEST_CASE("control characters of titles, names and paths do not reach the terminal") {
    ScratchFolder folder;
    write_demo(folder, "title.toml", "title    = \"", "title = \"\\u001b[2J\\u009b");
    write_demo(folder, "key.toml", "title ", "\"\\u001b[2J\" = 1\ntitle ");
    std::string weather = file_text(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv");
    auto const station = weather.find("station,");
    REQUIRE(station != std::string::npos);
    weather.insert(station + 8, "\x1b[2J\xc2\x9b\x07");
    std::ofstream(folder / "station.csv") << weather;
    // Names of files that the user did not type himself.
    std::filesystem::create_directory(folder / "st");
    std::filesystem::copy_file(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv",
                               folder / "st/b\x1b[2J\xc2\x9b.csv");
    std::string const region = "region " + demo + "--stations st --years 1 --battery '10 kWh,60 kWh' ";
    std::string const make =
        "weather --make --latitude 44 --longitude -114 --utc-offset-h -7 --clearness .4 .4 .4 .4 .4 .4 .4 .4 "
        ".4 .4 .4 .4 --temperature-c 1 2 3 4 5 6 7 8 9 10 11 12 --place ";
    for (std::string const& arguments :
         {std::string("simulate --years 0 title.toml"), std::string("check title.toml"),
          std::string("simulate --years 0 key.toml"), std::string("weather station.csv"),
          "simulate --years 0 " + demo + "--weather station.csv --days 2",
          std::string("simulate --years 0 \"$(printf 'no\\033[2Jwhere\\302\\233.toml')\""),
          std::string("simulate --years 0 --\"$(printf 'x\\033[2J\\r\\177')\""),
          "sweep " + demo + "--vary \"$(printf 'array.\\033[2J=1,2')\"",
          "sweep " + demo + "--vary \"$(printf 'title=a,b\\033[2J')\"",
          "sensitivity " + demo + "--input \"$(printf 'title=a,b\\302\\233')\"",
          "size " + demo + "--vary \"$(printf 'title=a,b\\007')\" --require demand_met=0.1 --least size",
          "simulate --years 0 " + demo + "--option \"$(printf '\\033[2J')\"",
          // Outputs, and names that are written into them.
          "simulate --years 0 " + demo + "--days 2 --out \"$(printf 'x\\033')\"",
          "simulate --years 0 " + demo + "--days 2 --out \"$(printf 'x\\033[2J.h5')\"",
          "sweep " + demo + "--vary 'battery.capacity=5 kWh' --out \"$(printf 'x\\033[2J\\302\\233.csv')\"",
          "report --years 2 " + demo + "--out \"$(printf 'p\\033[2J\\r.html')\"",
          std::string("desk --out \"$(printf 'd\\033[2J.html')\""), std::string("weather st/*.csv"),
          std::string("weather st"), region, region + "--json", region + "--out r.csv",
          region + "--out r.html", region + "--out r.geojson", make + "\"$(printf 'X\\033[2J')\"",
          make + "\"$(printf 'X\\302\\233')\" --out m.csv",
          "report --years 2 " + demo + "--out f.html --firm \"$(printf 'F\\033[2J')\"",
          "report --years 2 " + demo + "--out f.html --customer \"$(printf 'C\\nD')\"",
          std::string("init i.toml --latitude 44 --longitude -114 --title \"$(printf 'T\\302\\233')\"")}) {
        auto const run = run_holdwater(folder, arguments);
        CAPTURE(arguments);
        std::string const all = run.out + run.err;
        CAPTURE(all);
        CHECK(!all.empty());
        for (char const raw : {'\x1b', '\x07', '\r', '\x7f'}) CHECK(all.find(raw) == std::string::npos);
        CHECK(all.find("\xc2\x9b") == std::string::npos);
    }
    // Nor do they get into what is written to be looked at.
    for (auto const& name : {"r.csv", "r.html", "r.geojson"}) {
        auto const text = file_text(folder / name);
        CAPTURE(name);
        CHECK(text.size() > 200);
        CHECK(text.find('\x1b') == std::string::npos);
        CHECK(text.find("\xc2\x9b") == std::string::npos);
    }
    for (auto const& name : {"m.csv", "f.html", "i.toml"}) CHECK(!std::filesystem::exists(folder / name));
    CHECK(run_holdwater(folder, make + "\"$(printf 'X\\033[2J')\"").err ==
          "--place: the control character U+001B stands in it; take it out\nRun with --help for more "
          "information.\n");
    CHECK(run_holdwater(folder, "simulate --years 0 title.toml").err.find("the control character U+001B") !=
          std::string::npos);
}

// What the program writes itself passes: the line ends of CSV, whatever the blocks in which they are written.
TEST_CASE("on standard output is every byte that is in the file") {
    ScratchFolder folder;
    std::string const sweep = "sweep " + demo + "--vary 'array.tilt=10 deg..60 deg/300' ";
    auto const printed = run_holdwater(folder, sweep);
    REQUIRE(run_holdwater(folder, sweep + "--out s.csv").exit_code == 0);
    CHECK(printed.exit_code == 0);
    CHECK(printed.out.size() > 3 * 65536);
    CHECK(printed.out == file_text(folder / "s.csv"));
}

TEST_CASE("a weather file that is not there is reported at the key that names it") {
    ScratchFolder folder;
    write_demo(folder, "s.toml", "file = \"weather/", "file = \"nowhere/");
    std::string const text = file_text(folder / "s.toml");
    auto const at = text.find("file = \"nowhere/");
    auto const line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
    std::string const place = "s.toml:" + std::to_string(line) + ": key 'weather.file': ";
    for (std::string const verb : {"simulate --years 0 s.toml", "autonomy s.toml", "years s.toml",
                                   "report s.toml --out p.html", "autonomy --period s.toml"}) {
        auto const run = run_holdwater(folder, verb);
        CAPTURE(verb);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.err.starts_with(place + "nowhere/"));
        CHECK(run.err.find(": cannot be opened: No such file or directory") != std::string::npos);
    }
    // On site there may be no weather file yet: check then works without sun hours.
    auto const check = run_holdwater(folder, "check s.toml");
    CHECK(check.exit_code == 0);
    CHECK(check.err.find("warning: no sun for array-to-load: " + place) != std::string::npos);
    // The same for the files of temperature and wind and of recorded years.
    struct Row {
        std::string key, value, says;
    };
    for (auto const& [key, value, says] :
         {Row{"temperature_file", "\"nowhere/t.csv\"", "nowhere/t.csv: cannot be opened: No such file"},
          Row{"years", "[\"weather/saltbush-wells.csv\", \"nowhere/y.csv\"]",
              "nowhere/y.csv: cannot be opened: No such file"},
          Row{"years", "[\"nowhere/*.csv\"]", "nowhere/*.csv: no file has a name like this"},
          Row{"years", "[\".\"]", "the folder holds no weather file"}}) {
        write_demo(folder, "more.toml", "[weather]\n", "[weather]\n" + key + " = " + value + "\n");
        std::string const changed = file_text(folder / "more.toml");
        auto const key_at = static_cast<std::ptrdiff_t>(changed.find("\n" + key + " = ")) + 1;
        auto const here =
            "more.toml:" + std::to_string(1 + std::count(changed.begin(), changed.begin() + key_at, '\n')) +
            ": key 'weather." + key + "': ";
        auto const run = run_holdwater(folder, "years more.toml --years 2");
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.err.starts_with(here));
        CHECK(run.err.find(says) != std::string::npos);
    }
    write_demo(folder, "series.toml", "[demand]\ndaily ",
               "[demand]\nseries = {file = \"nowhere/d.csv\", volume = \"v\", volume_unit = \"gal\", time = "
               "\"t\"}\n# ");
    std::string const series = file_text(folder / "series.toml");
    auto const series_at = static_cast<std::ptrdiff_t>(series.find("series = "));
    CHECK(run_holdwater(folder, "check series.toml")
              .err.find("series.toml:" +
                        std::to_string(1 + std::count(series.begin(), series.begin() + series_at, '\n')) +
                        ": key 'demand.series.file': nowhere/d.csv: cannot be opened: No such file") !=
          std::string::npos);
    CHECK(run_holdwater(folder, "years " + demo + "--years 2 --temperature-file t.csv")
              .err.starts_with("t.csv: cannot be opened"));
    // One given at the command line is that option's.
    CHECK(run_holdwater(folder, "simulate --years 0 " + demo + "--weather none.csv")
              .err.starts_with("none.csv: cannot be"));
}

TEST_CASE(
    "size, years, compare, sensitivity and autonomy end in order on Ctrl-C and SIGTERM, with what is "
    "finished") {
    struct Row {
        std::string arguments, says;
    };
    std::vector<Row> const rows{
        {"years " + demo + "--years 100000 --out table.csv", " of 100000 years"},
        {"size " + demo +
             "--least size --all-up-to 100000 --require demand_met=0.9 --threads 1 --vary "
             "'battery.capacity=1 kWh..90 kWh/200' --vary 'array.tilt=10 deg..60 deg/100' --out "
             "table.csv",
         " of 20000 combinations were run"}};
    for (auto const& row : rows)
        for (auto const& [name, number] : {std::pair{"INT", SIGINT}, {"TERM", SIGTERM}}) {
            ScratchFolder folder;
            auto const run = run_shell(
                folder, command + row.arguments + until_caught + "sleep 2; kill -" + name + " $!; wait $!");
            CAPTURE(row.arguments);
            CAPTURE(run.err);
            CHECK(run.exit_code == 128 + number);
            CHECK(run.err.find("stopped: ") != std::string::npos);
            CHECK(run.err.find(row.says) != std::string::npos);
            // The rows of what was finished, and no temporary file.
            auto const table = file_text(folder / "table.csv");
            if (run.err.find("stopped: none") == std::string::npos)
                CHECK(std::count(table.begin(), table.end(), '\n') > 1);
            for (auto const& entry : std::filesystem::directory_iterator(folder.text()))
                CHECK(entry.path().extension() != ".tmp");
        }
    // A comparison needs all designs; of the years, those that are finished are enough. An input of
    // sensitivity needs both ends of its range.
    ScratchFolder designs;
    write_demo(designs, "options.toml", "title ", "title ");
    std::ofstream(designs / "options.toml", std::ios::app)
        << "\n[[option]]\nname = \"larger\"\n\"battery.capacity\" = \"30 kWh\"\n";
    auto const stopped_after = [&](std::string const& arguments, double wait_s) {
        std::filesystem::remove(designs / "table.csv");
        auto const run = run_shell(designs, command + arguments + until_caught + "sleep " +
                                                std::to_string(wait_s) + "; kill -INT $!; wait $!");
        for (auto const& entry : std::filesystem::directory_iterator(designs.text()))
            CHECK(entry.path().extension() != ".tmp");
        return run;
    };
    auto compared = stopped_after("compare options.toml --years 100000 --out table.csv", 1.5);
    CAPTURE(compared.err);
    CHECK(compared.exit_code == 130);
    CHECK(compared.err.find("of 2 designs are finished; a comparison needs all of them\n") !=
          std::string::npos);
    CHECK(compared.out.empty());
    CHECK(!std::filesystem::exists(designs / "table.csv"));
    // The signal may arrive when the typical years are run and no other year is finished: then wait longer.
    auto const years_finished = [](std::string const& text) {
        return text.find("all designs and ") != std::string::npos &&
               text.find("all designs and 0 of") == std::string::npos;
    };
    for (double wait_s = 3; wait_s < 30 && !years_finished(compared.err); wait_s += 1.5)
        compared = stopped_after("compare options.toml --years 3000 --out table.csv", wait_s);
    CHECK(compared.exit_code == 130);
    CHECK(compared.err.find(" of 3000 years are finished; the answer is of these\n") != std::string::npos);
    CHECK(test::one_line(compared.out).find(" like the weather file") != std::string::npos);
    CHECK(file_text(designs / "table.csv").find("larger") != std::string::npos);
    auto const tried =
        stopped_after("sensitivity options.toml --years 100000 --input 'inverter.idle=20 W,60 W'", 1.5);
    CAPTURE(tried.err);
    CHECK(tried.exit_code == 130);
    CHECK(tried.err.find("stopped: 0 of 1 inputs were tried at both ends\n") != std::string::npos);
    CHECK(tried.out.empty());
    // autonomy says how much was finished; if it is stopped at once, nothing is finished.
    ScratchFolder folder;
    auto const run = run_shell(folder, command + "autonomy " + demo + until_caught + "kill -INT $!; wait $!");
    CAPTURE(run.err);
    CHECK(run.exit_code == 130);
    CHECK(run.err.find("stopped: ") != std::string::npos);
    CHECK(run.err.find(" of 2 columns are finished") != std::string::npos);
}

TEST_SUITE_END();
