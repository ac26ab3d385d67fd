// The shards of `years` and `size`: joined, they say what the command says without them. Those of sweep and
// region are in their own files.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text, test::one_line, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

namespace fs = std::filesystem;

std::string const livestock = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' ";
std::string const household = "'" HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml' ";
std::string const years_question = "years " + livestock + "--years 6 ";
std::string const lists =
    "--vary 'battery.capacity=5 kWh,8 kWh,0 parsecs' --vary 'array.rated_power=1.2 kW,2.4 kW' --years 6 ";
std::string const size_question = "size " + livestock + lists + "--require shortage_hours=40 ";
// Prices, parts of a cost, six requirements, 48 combinations, and an answer.
std::string const priced = "size '" HOLDWATER_SOURCE "/scenarios/larkspur-rim-choice.toml' --years 4 ";

std::string merged(std::string const& question) { return question + "--merge p3.h5 p1.h5 p2.h5 "; }

// Runs three shards of the question into p1.h5, p2.h5 and p3.h5, each a second time with --resume.
void run_shards(ScratchFolder const& folder, std::string const& question) {
    for (std::string const k : {"1", "2", "3"})
        for (std::string const again : {"", "--resume "}) {
            auto const run = run_holdwater(
                folder, question + again + "--manifest done.csv --shard " + k + "/3 --out p" + k + ".h5");
            CAPTURE(run.err);
            REQUIRE(run.exit_code == 0);
            CHECK(run.out.starts_with("Shard " + k + "/3: "));
        }
}

// What the command says without shards is what it says with them, in words and as JSON; exit code
// `exit_code`.
void check_same_answer(ScratchFolder const& folder, std::string const& question, int exit_code) {
    for (std::string const form : {"", "--json "}) {
        auto const whole = run_holdwater(folder, question + form),
                   joined = run_holdwater(folder, merged(question) + "--manifest done.csv " + form);
        CAPTURE(joined.err);
        CHECK(whole.exit_code == exit_code);
        CHECK(joined.exit_code == exit_code);
        CHECK(joined.out == whole.out);
        CHECK(joined.err == whole.err);
        CHECK(joined.out.size() > 100);
    }
    auto const manifest = file_text(folder / "done.csv");
    CHECK(std::count(manifest.begin(), manifest.end(), '\n') == 4);  // no file twice
}

// The same table as without shards, and the joined rows are those of a run that was not divided.
void check_same_files(ScratchFolder const& folder, std::string const& question, int exit_code) {
    for (auto const& [arguments, code] : std::vector<std::pair<std::string, int>>{
             {question + "--out whole.csv", exit_code},
             {merged(question) + "--out joined.csv", exit_code},
             {question + "--resume --out whole.h5", exit_code},
             {merged(question) + "--manifest done.csv --out joined.h5", exit_code}}) {
        auto const run = run_holdwater(folder, arguments);
        CAPTURE(run.err);
        CHECK(run.exit_code == code);
    }
    CHECK(file_text(folder / "joined.csv") == file_text(folder / "whole.csv"));
    CHECK(file_text(folder / "joined.h5") == file_text(folder / "whole.h5"));
    CHECK(file_text(folder / "joined.h5").size() > 1000);
    CHECK(file_text(folder / "done.csv").find("\njoined.h5,") != std::string::npos);
}

// Stopped by Ctrl-C as soon as there is a file of rows; the file of rows is then damaged; --resume ends with
// the bytes of a run without interruption.
void check_resumes(std::string const& question) {
    ScratchFolder folder;
    auto const stopped =
        run_shell(folder, "'" HOLDWATER_COMMAND "' " + question +
                              "--threads 1 --shard 1/2 --out a.h5 & while ! ls a.h5.part.* >/dev/null 2>&1; "
                              "do sleep 0.01; done; kill -INT $!; wait $!");
    CAPTURE(stopped.err);
    CHECK(stopped.exit_code == 130);
    CHECK(stopped.out.empty());
    CHECK(
        stopped.err.find(" rows are finished and lie in a.h5.part; the same command with --resume goes on") !=
        std::string::npos);
    REQUIRE(fs::exists(folder / "a.h5.part"));
    fs::copy_file(folder / "a.h5.part", folder / "d.h5.part");
    auto bytes = file_text(folder / "d.h5.part");
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 1);
    std::ofstream(folder / "d.h5.part", std::ios::binary) << bytes;
    REQUIRE(run_holdwater(folder, question + "--shard 1/2 --out once.h5").exit_code == 0);
    for (std::string const name : {"a", "d"}) {
        auto const run = run_holdwater(folder, question + "--resume --shard 1/2 --out " + name + ".h5");
        CAPTURE(run.err);
        CHECK(run.exit_code == 0);
        CHECK((run.err.find("are damaged") != std::string::npos) == (name == "d"));
        CHECK(file_text(folder / (name + ".h5")) == file_text(folder / "once.h5"));
        CHECK(!fs::exists(folder / (name + ".h5.part")));
    }
}

struct Refusal {
    std::string arguments, says;
};
void check_refused(ScratchFolder const& folder, std::vector<Refusal> const& refusals) {
    for (auto const& [arguments, says] : refusals) {
        auto const run = run_holdwater(folder, arguments);
        CAPTURE(arguments);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.out.empty());
        CHECK(one_line(run.err).find(says) != std::string::npos);
    }
}

}  // namespace

TEST_SUITE_BEGIN("tools/shards");

TEST_CASE("three shards of years are the answer without shards") {
    ScratchFolder folder;
    run_shards(folder, years_question);
    check_same_answer(folder, years_question, 0);
    check_same_files(folder, years_question, 0);
    // The table of the plain file has the same figures.
    REQUIRE(run_holdwater(folder, years_question + "--out table.h5").exit_code == 0);
    for (auto const& [name, in_rows] :
         std::vector<std::pair<std::string, std::string>>{{"year", "made_year"},
                                                          {"shortage_hours", "shortage_hours"},
                                                          {"battery_life_y", "battery_life_y"}})
        CHECK(sim::read_column((folder / "table.h5").string(), "years", name) ==
              sim::read_column((folder / "joined.h5").string(), "years", in_rows));
    // A share that is required is judged on all years.
    CHECK(run_holdwater(folder, merged(years_question) + "--require 0.999").exit_code ==
          run_holdwater(folder, years_question + "--require 0.999").exit_code);
    REQUIRE(run_holdwater(folder, years_question + "--seed 2 --shard 2/3 --out other.h5").exit_code == 0);
    check_refused(
        folder,
        {{years_question + "--merge p1.h5 other.h5 p3.h5",
          "other.h5: of another run: the settings differ: seed = 1 in p1.h5, seed = 2 in other.h5"},
         {years_question + "--seed 2 --merge p1.h5 p2.h5 p3.h5",
          "p1.h5: is not a shard of this command: the settings differ: seed = 2 in this command, seed = 1"},
         {"years " + livestock + "--years 7 --merge p1.h5 p2.h5 p3.h5",
          "7 rows in this command, 6 rows in p1.h5"},
         {"years " + livestock +
              "--years 6 --weather '" HOLDWATER_SOURCE
              "/scenarios/weather/alder-flat.csv' --merge p1.h5 p2.h5 p3.h5",
          "the weather or a parts list differs"},
         {years_question + "--merge p1.h5 p3.h5", "shard 2/3 is missing: rows 3 to 4 of 6"},
         {years_question + "--merge table.h5", "table.h5: is a table or a result, not a file of rows"},
         {years_question + "--shard 1/3", "--shard: needs --out FILE.h5"},
         {years_question + "--resume --out y.csv", "--resume: needs --out FILE.h5"},
         {years_question + "--shard 1/3 --merge p1.h5", "--shard and --resume do not go with it"},
         {size_question + "--merge p1.h5", "p1.h5: holds rows of `years`; join them with years --merge"},
         {"years " + livestock +
              "--weather '" HOLDWATER_SOURCE "/scenarios/weather/*.csv' --shard 1/2 --out y.h5",
          "are for made years: recorded years are few and are run at once"}});
}

TEST_CASE("three shards of size are the answer without shards, where nothing meets all that is required") {
    ScratchFolder folder;
    run_shards(folder, size_question);
    check_same_answer(folder, size_question, 1);
    check_same_files(folder, size_question, 1);
    CHECK(one_line(run_holdwater(folder, merged(size_question)).out).find("2 cannot be built, such as") !=
          std::string::npos);
    check_refused(folder,
                  {{"size " + livestock + lists + "--require shortage_hours=30 --merge p1.h5 p2.h5 p3.h5",
                    "the settings differ: require = shortage_hours=30 in this command, require = "
                    "shortage_hours=40 in p1.h5"},
                   {size_question + "--merge p1.h5 p2.h5", "shard 3/3 is missing: rows 5 to 6 of 6"},
                   {size_question + "--manifest done.csv", "--manifest: needs --out FILE.h5"},
                   {size_question + "--shard 1/3 --out whole.csv", "--shard: needs --out FILE.h5"}});
}

TEST_CASE("three shards of size are the answer without shards, with prices and a choice") {
    ScratchFolder folder;
    run_shards(folder, priced);
    check_same_answer(folder, priced, 0);  // 0: there is a choice
    // From the same rows, another choice.
    std::string const smallest = "--least size ";
    CHECK(run_holdwater(folder, merged(priced) + smallest).out ==
          run_holdwater(folder, priced + smallest).out);
}

TEST_CASE("years that are interrupted go on with --resume, to the same bytes") {
    check_resumes("years " + livestock + "--years 1200 ");
}

TEST_CASE("a size search that is interrupted goes on with --resume, to the same bytes") {
    check_resumes(
        "size " + livestock +
        "--vary 'battery.capacity=3 kWh..12 kWh/10' --vary 'array.tilt=10 deg..60 deg/10' --require "
        "shortage_hours=40 --years 4 ");
}

TEST_CASE("a region that is interrupted or damaged goes on with --resume, to the same bytes") {
    check_resumes("region " + household +
                  "--stations '" HOLDWATER_SOURCE
                  "/scenarios/weather' --array '1 kW,2 kW,3 kW,4 kW,5 kW,6 kW' --demand '100 gal/day,200 "
                  "gal/day,300 gal/day,400 gal/day' --battery '5 kWh..60 kWh/12' --years 10 ");
}

TEST_SUITE_END();
