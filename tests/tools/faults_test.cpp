#include <doctest/doctest.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "sim/files/result_file.hpp"
#include "sim/files/stored_run.hpp"
#include "sim/files/whole_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

// Faults around the command: disks, memory, kills, pipes, other runs. In every case the exit code and the
// message are those of the fault, an earlier result stays as it was, and nothing half-written is left.

using namespace holdwater;
using test::CommandResult, test::file_text, test::run_holdwater, test::run_shell, test::ScratchFolder;
namespace fs = std::filesystem;

namespace {

std::string const command = "'" HOLDWATER_COMMAND "'";

std::string demo(std::string const& name) { return "'" HOLDWATER_SOURCE "/scenarios/" + name + ".toml'"; }

std::string const month = "simulate --years 0 " + demo("saltbush-livestock") + " --days 30 --out year.h5";

// Every way a file is written.
std::vector<std::string> const writers{
    month, "sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5 kWh,10 kWh' --out sweep.h5",
    "sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5 kWh,10 kWh' --out sweep.csv",
    "weather --make --place X --latitude 44 --longitude -114 --utc-offset-h -7 --clearness .44 .5 .54 .56 .6 "
    ".64 .7 .68 .65 "
    ".57 .46 .41 "
    "--temperature-c -5 -2 3 7 12 16 21 20 15 8 1 -5 --out weather.csv"};

// The files of the folder, by name.
std::vector<std::string> names(ScratchFolder const& folder, std::string const& within = "") {
    std::vector<std::string> found;
    for (auto const& entry : fs::directory_iterator(folder / within))
        found.push_back(entry.path().filename().string());
    return found;
}

// A folder with an earlier result of every name that the writers use, each of the kind that it may replace.
struct Earlier {
    ScratchFolder folder;
    std::map<std::string, std::string> files{
        {"sweep.csv", "row,battery.capacity,shortest_run_s\n"},
        {"weather.csv", "# An earlier year, which is made by a random generator.\n"}};
    explicit Earlier(std::string const& within = "") {
        fs::create_directory(folder / "first");
        REQUIRE(run_holdwater(folder, "simulate --years 0 " + demo("juniper-bend-household") +
                                          " --days 2 --out first/year.h5")
                    .exit_code == 0);
        REQUIRE(run_holdwater(folder, "sweep " + demo("saltbush-livestock") +
                                          " --vary 'battery.capacity=6 kWh' --out first/sweep.h5")
                    .exit_code == 0);
        for (std::string const name : {"year.h5", "sweep.h5"})
            files[name] = file_text(folder / ("first/" + name));
        fill(within);
    }
    void fill(std::string const& within) const {
        for (auto const& [name, bytes] : files)
            std::ofstream(folder / (within + name), std::ios::binary) << bytes;
    }
    bool intact(std::string const& within = "") const {
        for (auto const& [name, bytes] : files)
            if (file_text(folder / (within + name)) != bytes) return false;
        return true;
    }
};

void no_temporary(ScratchFolder const& folder, std::string const& within = "") {
    for (auto const& name : names(folder, within)) {
        CAPTURE(name);
        CHECK(name.find(".tmp") == std::string::npos);
    }
}

}  // namespace

TEST_SUITE_BEGIN("tools/faults");

TEST_CASE("a file that grows past the limit is an error with its reason, and the earlier one stays") {
    Earlier const earlier;
    for (auto const& writer : writers)
        for (std::string const blocks : {"0", "1", "60"}) {  // of 512 bytes
            CAPTURE(writer);
            CAPTURE(blocks);
            auto const run =
                run_shell(earlier.folder, "cd first && cp ../*.h5 ../*.csv . && ( ulimit -f " + blocks +
                                              "; exec " + command + " " + writer + " ) 2>&1 | cat >&2");
            std::string const err = run.err;
            CAPTURE(err);
            bool const small_table = writer.find("sweep") == 0 && blocks == "60";
            if (small_table) continue;  // fits
            CHECK(err.find("cannot be written (File too large)") != std::string::npos);
            CHECK(earlier.intact("first/"));
            no_temporary(earlier.folder, "first");
        }
}

TEST_CASE("a full disk is an error with its reason, and the earlier result stays") {
    Earlier earlier;
    fs::create_directory(earlier.folder / "disk");
    std::string const disk = (earlier.folder / "disk").string();
    if (run_shell(earlier.folder, "mount -t tmpfs -o size=800k none '" + disk + "'").exit_code != 0) {
        std::cout << "SKIPPED a full disk: a file system cannot be mounted here\n";
        return;
    }
    earlier.fill("disk/");
    run_shell(earlier.folder, "head -c 100000000 /dev/zero > disk/filler");
    for (auto const& writer : writers) {
        CAPTURE(writer);
        auto const run = run_shell(earlier.folder, "cd disk && " + command + " " + writer);
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(run.exit_code == 2);
        CHECK(err.find("cannot be written (No space left on device)") != std::string::npos);
        CHECK(earlier.intact("disk/"));
        no_temporary(earlier.folder, "disk");
    }
    CHECK(run_shell(earlier.folder, "umount '" + disk + "'").exit_code == 0);
}

TEST_CASE("a read-only folder is an error with its reason, and the earlier result stays") {
    Earlier earlier;
    fs::create_directory(earlier.folder / "disk");
    std::string const disk = (earlier.folder / "disk").string();
    earlier.fill("disk/");
    // Root may write anywhere, except on a file system that is mounted read-only.
    bool const root = ::getuid() == 0;
    std::string const lock =
        root ? "mount --bind '" + disk + "' '" + disk + "' && mount -o remount,bind,ro '" + disk + "'"
             : "chmod a-w '" + disk + "'";
    if (run_shell(earlier.folder, lock).exit_code != 0) {
        std::cout << "SKIPPED a read-only folder: none can be made here\n";
        return;
    }
    for (auto const& writer : writers) {
        CAPTURE(writer);
        auto const run = run_shell(earlier.folder, "cd disk && " + command + " " + writer);
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(run.exit_code == 2);
        CHECK(err.find(root ? "cannot be written (Read-only file system)"
                            : "cannot be written (Permission denied)") != std::string::npos);
        CHECK(earlier.intact("disk/"));
        no_temporary(earlier.folder, "disk");
    }
    CHECK(run_shell(earlier.folder, root ? "umount '" + disk + "'" : "chmod u+w '" + disk + "'").exit_code ==
          0);
}

TEST_CASE("a screen that takes nothing is an error, and a device is never replaced") {
    Earlier const earlier;
    for (std::string const& arguments :
         {"simulate --years 0 " + demo("saltbush-livestock") + " --days 3 --out other.h5",
          "check " + demo("saltbush-livestock"),
          "sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5 kWh'",
          std::string("weather '" HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv'"),
          std::string("--help")}) {
        CAPTURE(arguments);
        auto const full = run_shell(earlier.folder, command + " " + arguments + " > /dev/full");
        CHECK(full.exit_code == 2);
        CHECK(full.err.find("the output could not be written") != std::string::npos);
        CHECK(run_shell(earlier.folder, command + " " + arguments + " >&-").exit_code == 2);
    }
    for (std::string const target : {"/dev/null", "/dev/full", "first"}) {
        CAPTURE(target);
        CHECK_THROWS_AS(
            sim::write_whole_file(target == "first" ? (earlier.folder / target).string() : target, "x"),
            sim::ResultFileError);
    }
    CHECK(fs::is_character_file("/dev/null"));
}

TEST_CASE("a symbolic link stays one, and what it points to is replaced") {
    ScratchFolder folder;
    std::ofstream(folder / "here.csv") << "before";
    fs::create_symlink("here.csv", folder / "link.csv");
    sim::write_whole_file((folder / "link.csv").string(), "after");
    CHECK(fs::is_symlink(folder / "link.csv"));
    CHECK(file_text(folder / "here.csv") == "after");
}

TEST_CASE("killed in the middle of a write: the file is the whole old one or the whole new one") {
    ScratchFolder folder;
    std::string const path = (folder / "big").string();
    std::string const before(1 << 16, 'b'), after(std::size_t{1} << 26, 'a');
    sim::write_whole_file(path, before);
    std::mt19937 random(7);
    int interrupted = 0;
    for (int i = 0; i < 30; ++i) {
        pid_t const child = ::fork();
        if (child == 0) {
            sim::write_whole_file(path, after);
            ::_exit(0);
        }
        std::this_thread::sleep_for(
            std::chrono::microseconds(std::uniform_int_distribution(100, 20000)(random)));
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        auto const now = file_text(path);
        REQUIRE((now == before || now == after));
        bool left = false;
        for (auto const& name : names(folder))
            if (name != "big") left = true, fs::remove(folder / name);
        if (left) ++interrupted;
        if (now == after) sim::write_whole_file(path, before);
    }
    CHECK(interrupted > 0);
}

TEST_CASE("a run killed at any moment leaves the earlier result or its own, whole") {
    Earlier const earlier;
    auto const path = (earlier.folder / "year.h5").string();
    std::mt19937 random(11);
    for (int i = 0; i < 25; ++i) {
        double const delay_s = std::uniform_real_distribution(0.0, 0.08)(random);
        run_shell(earlier.folder, command + " " + month + " & sleep " + std::to_string(delay_s) +
                                      "; kill -9 $!; wait $!; true");
        auto const stored = sim::read_stored_run(path);
        CHECK((stored.clock.hours == 48 || stored.clock.hours == 30 * 24));
        if (stored.clock.hours == 48) CHECK(file_text(path) == earlier.files.at("year.h5"));
        if (stored.clock.hours != 48) earlier.fill("");
    }
}

TEST_CASE("too little memory is said in words, and the earlier result stays") {
#if defined(__SANITIZE_ADDRESS__)
    std::cout << "SKIPPED too little memory: the address sanitizer needs all address space there is\n";
#else
    // The libraries, not the command, decide with how little memory they can start, and they end with a
    // message of their own or with none. If "--version" does not run with 2 MB less, only the exit code and
    // the earlier files are checked.
    Earlier const earlier;
    auto const limited = [&](int mb, std::string const& arguments) {
        return run_shell(earlier.folder, "ulimit -c 0 && ulimit -v " + std::to_string(1024 * mb) +
                                             " && exec " + command + " " + arguments);
    };
    int refused = 0, completed = 0;
    for (auto const& writer : writers) {
        REQUIRE(run_holdwater(earlier.folder, writer).exit_code == 0);
        std::map<std::string, std::string> whole;
        for (std::string const name : {"sweep.csv", "weather.csv"})
            whole[name] = file_text(earlier.folder / name);
        earlier.fill("");
        for (int mb = 20; mb <= 80; mb += 4) {
            CAPTURE(writer);
            CAPTURE(mb);
            bool const starts = limited(mb - 2, "--version").exit_code == 0;
            auto const run = limited(mb, writer);
            std::string const err = run.err;
            CAPTURE(err);
            if (run.exit_code == 0) {
                ++completed;
                for (auto const& [name, text] : whole) CHECK(file_text(earlier.folder / name) == text);
            } else {
                CHECK(earlier.intact());
            }
            if (run.exit_code != 0 && starts) {
                ++refused;
                // 2: a sweep's file, which may also be damaged.
                CHECK((run.exit_code == 3 || run.exit_code == 2));
                CHECK((err.find("memory") != std::string::npos ||
                       err.find("pthread_create has failed") != std::string::npos));
            }
            // A sweep's finished rows stay, for --resume.
            for (std::string const& name : names(earlier.folder)) {
                CAPTURE(name);
                bool const part = name.starts_with("sweep.h5.part.");
                CHECK((part || name == "first" || earlier.files.contains(name)));
                if (part) fs::remove(earlier.folder / name);
            }
            if (run.exit_code == 0) earlier.fill("");
        }
    }
    CHECK(completed > 0);
    CHECK(refused > 0);
#endif
}

TEST_CASE("a crash is said in words, and its signal ends the command, so that there is a core dump") {
#if defined(__SANITIZE_ADDRESS__)
    std::cout << "SKIPPED a crash in words: the address sanitizer has its own\n";
#else
    Earlier const earlier;
    // Waits for a scenario that never comes, until the signal handlers are set (4, 6, 7, 8 and 11).
    auto const run = run_shell(earlier.folder, "mkfifo first/never && { " + command +
                                                   " simulate first/never --out year.h5 & } && until grep -q "
                                                   "'SigCgt:.*4e8$' /proc/$!/status; do sleep 0.01; done; "
                                                   "kill -SEGV $!; wait $!");
    CHECK(run.exit_code == 128 + 11);
    CHECK(run.err.starts_with("holdwater: internal error: crashed; files written before are whole\n"));
    CHECK(run.err.find("memory") == std::string::npos);
    CHECK(earlier.intact());
#endif
}

TEST_CASE("weather that cannot be read in the middle of a sweep spoils its own rows only") {
    ScratchFolder folder;
    std::string const good = HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv";
    fs::copy_file(good, folder / "good.csv");
    std::string const text = file_text(good);
    std::ofstream(folder / "half.csv") << text.substr(0, text.size() / 2);
    fs::create_directory(folder / "folder.csv");
    std::string const here = folder.text();
    auto const run =
        run_holdwater(folder, "sweep " + demo("saltbush-livestock") + " --vary 'weather.file=" + here +
                                  "/good.csv," + here + "/gone.csv," + here + "/half.csv," + here +
                                  "/folder.csv," + good + "' --out years.csv");
    std::string const err = run.err;
    CAPTURE(err);
    CHECK(run.exit_code == 0);
    std::vector<std::string> lines;
    std::string const table = file_text(folder / "years.csv");
    for (std::size_t at = 0, end; (end = table.find('\n', at)) != std::string::npos; at = end + 1)
        lines.push_back(table.substr(at, end - at));
    REQUIRE(lines.size() >= 6);
    auto const last = lines.end() - 5;
    CHECK(last[1].find("gone.csv") != std::string::npos);
    CHECK(last[1].find("cannot be opened: No such file") != std::string::npos);
    CHECK(last[2].find("half.csv") != std::string::npos);
    CHECK(last[3].find("folder.csv") != std::string::npos);
    // The first and the last row are the same weather.
    CHECK(last[0].substr(last[0].find(".csv")) == last[4].substr(last[4].find(".csv")));
}

TEST_CASE("neither clock nor time zone of the machine get into a result") {
    // Who reads a clock: nothing in the library except the stop-watch of wall_time_s, and the sweep, for
    // which it only decides when a part is written; the bytes of a sweep are tested elsewhere.
    for (std::string const part : {"weather", "models", "scenarios", "sim"})
        for (auto const& entry : fs::directory_iterator(HOLDWATER_SOURCE "/" + part)) {
            if (entry.path().extension() != ".cpp" && entry.path().extension() != ".hpp") continue;
            std::string const name = entry.path().string(), code = file_text(entry.path());
            CAPTURE(name);
            for (std::string const clock :
                 {"system_clock", "high_resolution_clock", "localtime", "gmtime", "mktime", "gettimeofday",
                  "clock_gettime", "std::time(", "random_device", "current_zone"})
                CHECK(code.find(clock) == std::string::npos);
            std::string const file = entry.path().filename().string();
            bool const sweep = file.starts_with("sweep_");
            bool const waits = file == "read_file_text.cpp";  // how long a pipe may take
            if (code.find("steady_clock") != std::string::npos && !sweep && !waits)
                CHECK(code.find("wall_time_s") != std::string::npos);
        }
    ScratchFolder folder;
    for (std::string const zone : {"Asia/Kathmandu", "America/St_Johns"})
        REQUIRE(run_shell(folder, "TZ=" + zone + " " + command + " simulate " + demo("alder-flat-outages") +
                                      " --out " + zone.substr(zone.find('/') + 1) + ".h5")
                    .exit_code == 0);
    auto const a = file_text(folder / "Kathmandu.h5"), b = file_text(folder / "St_Johns.h5");
    REQUIRE(a.size() == b.size());
    int differ = 0;
    for (std::size_t i = 0; i < a.size(); ++i) differ += a[i] != b[i];
    CHECK(differ <= 8 + 8);  // wall_time_s, and the digits of the check sum
}

TEST_CASE("a locale with decimal commas changes nothing") {
    ScratchFolder folder;
    if (run_shell(folder, "localedef -i de_DE -f UTF-8 ./de_DE.UTF-8").exit_code != 0) {
        std::cout << "SKIPPED decimal commas: localedef cannot make de_DE here\n";
        return;
    }
    for (auto const& [arguments, file] : std::vector<std::pair<std::string, std::string>>{
             {"simulate --years 0 " + demo("juniper-bend-household") + " --days 20 --units us --out x.h5",
              "x.h5"},
             {"check " + demo("juniper-bend-household"), ""},
             {"sweep " + demo("saltbush-livestock") + " --vary 'battery.capacity=5.5 kWh,10 kWh' --out x.csv",
              "x.csv"},
             {"weather '" HOLDWATER_SOURCE "/scenarios/weather/juniper-bend.csv' --json", ""},
         }) {
        CAPTURE(arguments);
        auto const plain = run_shell(folder, "LC_ALL=C " + command + " " + arguments);
        std::string const plain_file = file.empty() || file == "x.h5" ? "" : file_text(folder / file);
        auto const comma =
            // The C library never frees what it makes of LOCPATH; a leak check would report it as ours.
            run_shell(folder, "ASAN_OPTIONS=detect_leaks=0 LOCPATH='" + folder.text() +
                                  "' LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 " + command + " " + arguments);
        CHECK(plain.exit_code == 0);
        CHECK(comma.exit_code == plain.exit_code);
        CHECK(comma.out == plain.out);
        if (!plain_file.empty()) CHECK(file_text(folder / file) == plain_file);
    }
}

TEST_CASE("without a terminal there is no progress, without standard input nothing is missed") {
    ScratchFolder folder;
    auto const run = run_shell(folder, "setsid " + command + " sweep " + demo("saltbush-livestock") +
                                           " --vary 'battery.capacity=5 kWh,10 kWh' --out x.csv <&- ");
    CHECK(run.exit_code == 0);
    CHECK(run.err == "");
    CHECK(run.out.find('\r') == std::string::npos);
    CHECK(run.out.find('\x1b') == std::string::npos);
}

// `script` runs a command on a terminal of its own and copies what it writes.
TEST_CASE(
    "a terminal sees how far a long study is and how long it will take; the line is cleared at the end") {
    ScratchFolder folder;
    auto const run = run_shell(folder, "script -qec \"" + command + " years " + demo("saltbush-livestock") +
                                           " --years 600\" typescript < /dev/null");
    CHECK(run.exit_code == 0);
    CHECK(run.out.find(" of 600 years, about ") != std::string::npos);
    CHECK(run.out.find(" left") != std::string::npos);
    auto const last = run.out.rfind("\r\x1b[K");
    REQUIRE(last != std::string::npos);
    CHECK(run.out.substr(last + 4).starts_with("Livestock"));
}

TEST_CASE("report, size and one cloudy period tell a terminal how long it will take") {
    std::string const hardest = "'" HOLDWATER_SOURCE "/tests/bench/hardest.toml'";
    for (auto const& arguments : {" report " + demo("saltbush-low-yield") + " --years 10",
                                  " size " + demo("larkspur-rim-choice") + " --years 300 --threads 1",
                                  " autonomy " + hardest + " --period"}) {
        ScratchFolder folder;
        auto const run =
            run_shell(folder, "script -qec \"" + command + arguments + "\" typescript < /dev/null");
        CAPTURE(arguments);
        CHECK(run.exit_code == 0);
        auto const told = run.out.find(", about "), left = run.out.find(" left", told);
        REQUIRE(left != std::string::npos);
        CHECK(left - told < std::string(", about 1000 min").size());
    }
}

// Stopped as soon as it has begun to listen to the signal, or `wait_s` after that.
TEST_CASE("simulate, report and one cloudy period end in order on Ctrl-C") {
    struct Row {
        std::string arguments, says;
        double wait_s;
    };
    std::vector<Row> const rows{
        {" simulate " + demo("juniper-bend-household") + " --years 100000", "the answer is of ", 1},
        {" report " + demo("juniper-bend-household") + " --years 100000", "no page was written", 0.5},
        {" autonomy '" HOLDWATER_SOURCE "/tests/bench/hardest.toml' --period", "there is no answer yet", 0}};
    for (auto const& row : rows) {
        ScratchFolder folder;
        auto const run = run_shell(
            folder, command + row.arguments +
                        " & until grep -q 'SigCgt:.*a$' /proc/$!/status; do sleep 0.01; done; sleep " +
                        std::to_string(row.wait_s) + "; kill -INT $!; wait $!");
        CAPTURE(row.arguments);
        CAPTURE(run.err);
        CHECK(run.exit_code == 130);
        CHECK(run.err.find("stopped: ") != std::string::npos);
        CHECK(run.err.find(row.says) != std::string::npos);
        CHECK(fs::exists(folder / "juniper-bend-household.h5") == row.arguments.starts_with(" simulate"));
        CHECK(!fs::exists(folder / "juniper-bend-household.html"));
        no_temporary(folder);
        // What is finished is told: the typical year, and the winters that were run.
        if (row.wait_s == 1) {
            CHECK(run.out.find("winters without a shortage") != std::string::npos);
            CHECK(run.out.find("100000 winters") == std::string::npos);
        } else {
            CHECK(run.out.empty());
        }
    }
}

TEST_CASE("a pipe closed early ends the command quietly, with its files whole") {
    ScratchFolder folder;
    for (std::string const ignore :
         {"", "trap '' PIPE; "}) {  // as a shell starts it, and as some programs do
        CAPTURE(ignore);
        auto const run =
            run_shell(folder, ignore + "{ " + command + " simulate " + demo("saltbush-livestock") +
                                  " --days 30; echo $? > code; } | head -c 1");
        CHECK(run.out == "L");
        CHECK(sim::read_series((folder / "saltbush-livestock.h5").string(), "battery_soc").size() == 720);
        auto const make = run_shell(folder, ignore + "{ " + command + " " +
                                                writers.back().substr(0, writers.back().find(" --out")) +
                                                "; echo $? > code; } | head -n 1");
        CHECK(make.out.find('\n') == make.out.size() - 1);
        std::string const code = file_text(folder / "code");
        CHECK(code == (ignore.empty() ? "141\n" : "2\n"));
        if (ignore.empty()) CHECK(make.err == "");
        no_temporary(folder);
    }
}

TEST_CASE("paths with spaces, quotes and letters of any script, and such as are no text at all") {
    for (std::string const name : {"Tal der 3 Brunnen, \xC3\x9C"
                                   "berhang",
                                   "\xE4\xBA\x95\xE6\x88\xB8 it's", "latin \xFC"}) {
        CAPTURE(name);
        ScratchFolder folder;
        fs::create_directory(folder / name);
        std::string quoted;
        for (char const c : name) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
        fs::copy(HOLDWATER_SOURCE "/scenarios/weather", folder / (name + "/weather"));
        fs::copy(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml", folder / (name + "/the well.toml"));
        std::string const in = "'" + quoted + "/", scenario = in + "the well.toml'";
        for (auto const& arguments :
             {"simulate --years 0 " + scenario + " --days 5 --json --out " + in + "the result.h5'",
              "simulate --from-result " + in + "the result.h5'",
              "simulate --json --from-result " + in + "the result.h5'", "check --json " + scenario,
              "sweep " + scenario + " --vary 'battery.capacity=5 kWh' --out " + in + "a table.csv' --out " +
                  in + "a table.h5'",
              "weather --json " + in + "weather/saltbush-wells.csv'"}) {
            CAPTURE(arguments);
            auto const run = run_holdwater(folder, arguments);
            std::string const err = run.err;
            CAPTURE(err);
            CHECK(run.exit_code < 2);
        }
        CHECK(fs::exists(folder / (name + "/a table.h5")));
        auto const wrong = run_holdwater(folder, "simulate --years 0 " + in + "no such.toml'");
        CHECK(wrong.exit_code == 2);
        CHECK(wrong.err.find(name + "/no such.toml: cannot be opened") != std::string::npos);
    }
}

TEST_CASE("a hundred runs at once in one folder: each result is whole") {
    Earlier const earlier;
    auto const run = run_shell(
        earlier.folder, "for i in $(seq 50); do " + command + " simulate " + demo("saltbush-livestock") +
                            " --days 3 --out year.h5 > /dev/null & " + command + " simulate " +
                            demo("saltbush-livestock") + " --days 3 --out $i.h5 > /dev/null & done; wait");
    CHECK(run.err == "");
    auto const year = sim::differences(sim::read_stored_run((earlier.folder / "1.h5").string()).figures,
                                       sim::read_stored_run((earlier.folder / "year.h5").string()).figures);
    CHECK(year.empty());
    for (int i = 2; i <= 50; ++i)
        CHECK(
            sim::read_series((earlier.folder / (std::to_string(i) + ".h5")).string(), "battery_soc").size() ==
            72);
    CHECK(names(earlier.folder).size() == 50 + 5);  // the four earlier files and a folder
    no_temporary(earlier.folder);
}

TEST_SUITE_END();
