#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/support/command.hpp"

using namespace holdwater;

TEST_SUITE_BEGIN("tools/option_texts");

// Before: --weather '' ran with the scenario's file, --days 010 was eight days, --level nan was accepted,
// --depth '1 200 ft' was 200 ft, --leak '1 000 gpm' was no leak.
TEST_CASE("an option takes what it shows, or says what it takes") {
    test::ScratchFolder folder;
    std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'";
    struct Row {
        std::string command, says;
    };
    std::vector<Row> const rows{
        {"simulate --years 0 " + well + " --weather ''", "--weather: must not be empty"},
        {"simulate --years 0 " + well + " --weather ' '", "--weather: must not be empty"},
        {"simulate --years 0 " + well + " --option ''", "--option: must not be empty"},
        {"simulate --years 0 " + well + " --out ''", "--out: must not be empty"},
        {"simulate --years 0 ''", "SCENARIO: must not be empty"},
        {"compare " + well + " --weather ''", "--weather: must not be empty"},
        {"years " + well + " --weather ''", "--weather: must not be empty"},
        {"sweep " + well + " --vary 'battery.capacity=5 kWh' --weather ''", "--weather: must not be empty"},
        {"size " + well + " --weather ''", "--weather: must not be empty"},
        {"autonomy --period " + well + " --weather ''", "--weather: must not be empty"},
        {"autonomy " + well + " --weather ''", "--weather: must not be empty"},
        {"sensitivity " + well + " --weather ''", "--weather: must not be empty"},
        {"report " + well + " --weather ''", "--weather: must not be empty"},
        {"weather ''", "FILE: must not be empty"},
        {"simulate --years 0 " + well + " --days 010", "--days: '010' is not a whole number such as 12"},
        {"simulate --years 0 " + well + " --days 0x10", "--days: '0x10' is not a whole number such as 12"},
        {"simulate --years 0 " + well + " --days 1.5", "--days: '1.5' is not a whole number such as 12"},
        {"simulate " + well + " --years 1.5", "--years: '1.5' is not a whole number such as 12"},
        {"simulate " + well + " --age 2.5", "--age: '2.5' is not a whole number such as 12"},
        {"autonomy " + well + " --hours 84.5", "--hours: '84.5' is not a whole number such as 12"},
        {"simulate --years 0 " + well + " --require nan",
         "--require: 'nan' is not a number such as 12 or 0.5"},
        {"autonomy --period " + well + " --soc nan", "--soc: 'nan' is not a number such as 12 or 0.5"},
        {"autonomy --period " + well + " --soc 0x1p-1", "--soc: '0x1p-1' is not a number such as 12 or 0.5"},
        {"autonomy --period " + well + " --days '1 2'", "--days: '1 2' is not a whole number such as 12"},
        {"autonomy --period " + well + " --soc ''", "--soc: '' is not a number such as 12 or 0.5"},
        {"years " + well + " --years 2.5", "--years: '2.5' is not a whole number such as 12"},
        {"years " + well + " --seed -1", "--seed"},
        {"autonomy " + well + " --leak '1 000 gpm'", "there is a second number, \"000\""},
        {"autonomy " + well + " --leak '1 gpm @ 2'", "\"@\" is no part of a unit"},
        {"init a.toml --latitude 44 --longitude -114 --depth '1 200 ft'",
         "init: --depth: \"1 200 ft\" is not one number and one unit: there is a second number, \"200\"; "
         "1200 is "
         "written without a space; expected a length such as \"120 ft\", \"1.36 in\" or \"30 m\""},
        {"init a.toml --latitude nan --longitude -114", "init: --latitude: \"nan\" is not a number"},
        {"sweep " + well + " --vary 'battery.capacity=1 000 Wh..2 000 Wh/3'",
         "the ends of a range must be numbers"},
        {"sweep " + well + " --vary 'battery.capacity=normal(10 200 Wh, 1 kWh)'",
         "\"10 200 Wh\" is not a number"},
        {"sensitivity " + well + " --input 'inverter.idle=1 20 W,60 W'", "there is a second number, \"20\""},
    };
    for (auto const& [command, says] : rows) {
        auto const run = test::run_holdwater(folder, command);
        CAPTURE(command);
        CAPTURE(run.err);
        CHECK(run.exit_code == 2);
        CHECK(run.err.find(says) != std::string::npos);
    }
}

// A row of a sweep that cannot be read is refused in its column `problem`; the others run.
TEST_CASE("a value of a sweep with a space in its number is that row's refusal") {
    test::ScratchFolder folder;
    auto const run =
        test::run_holdwater(folder, "sweep '" HOLDWATER_SOURCE
                                    "/scenarios/saltbush-livestock.toml' --vary 'battery.capacity=10 200 "
                                    "Wh,20 kWh'");
    CAPTURE(run.err);
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("there is a second number") != std::string::npos);
    CHECK(run.out.find("10200 is written without a space") != std::string::npos);
}

TEST_CASE("a fraction is understood in every option that takes a quantity") {
    test::ScratchFolder folder;
    auto const made =
        test::run_holdwater(folder, "init a.toml --latitude 44 --longitude -114 --depth '120 1/2 ft'");
    CAPTURE(made.err);
    CHECK(made.exit_code == 0);
    CHECK(test::file_text(folder / "a.toml").find("static_level") != std::string::npos);
}

TEST_SUITE_END();
