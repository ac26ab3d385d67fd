#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

bool contains(std::string const& text, std::string const& part) { return text.find(part) != text.npos; }

}  // namespace

TEST_SUITE_BEGIN("tools/provenance");

TEST_CASE("what a scenario says of its inputs stands in every result: table, JSON and file") {
    ScratchFolder folder;
    std::string const store = " '" HOLDWATER_SOURCE "/scenarios/alder-flat-store.toml' ";
    std::string const idle = "inverter.idle: 18 W (assumed, 12 W to 44 W)";
    for (std::string const& command :
         {"simulate" + store + "--days 10 --out run.h5",
          "autonomy" + store + "--start 12-15 --days 2 --out run.h5", "check" + store,
          "autonomy" + store + "--option 'large battery' --every 90 --years 0 --out run.h5"}) {
        CAPTURE(command);
        auto const table = run_holdwater(folder, command);
        REQUIRE(table.exit_code == 0);
        CHECK(contains(table.out, "Rests on:"));
        CHECK(contains(table.out, "  - " + idle));
        auto const json = nlohmann::json::parse(run_holdwater(folder, command + " --json").out);
        REQUIRE(json.contains("rests_on"));
        CHECK(std::find(json["rests_on"].begin(), json["rests_on"].end(), idle) != json["rests_on"].end());
        if (!contains(command, "run.h5")) continue;
        auto const dump = test::run_shell(folder, "h5dump -d /inputs/provenance run.h5");
        CHECK(dump.exit_code == 0);
        CHECK(contains(dump.out, idle));
        std::filesystem::remove(folder / "run.h5");  // no command writes over another's result
    }
    // A sweep's table says so too, and which of it is varied; shards carry it into the file of the whole.
    std::string const sweep =
        "sweep" + store + "--vary 'battery.usable_fraction=0.8,0.85' --vary 'battery.capacity=9 kWh,10 kWh' ";
    for (auto const* part : {"1/2", "2/2"})
        REQUIRE(
            run_holdwater(folder, sweep + "--shard " + part + " --out part-" + part[0] + ".h5").exit_code ==
            0);
    auto const merged = run_holdwater(folder, "sweep --merge part-1.h5 part-2.h5 --out whole.h5");
    REQUIRE(merged.exit_code == 0);
    CHECK(contains(merged.out, "Rests on:"));
    auto const dump = test::run_shell(folder, "h5dump -d /inputs/provenance whole.h5");
    CHECK(dump.exit_code == 0);
    CHECK(contains(dump.out, idle));
    CHECK(contains(dump.out, "(nameplate), varied"));
    auto const json = nlohmann::json::parse(run_holdwater(folder, "sweep --merge whole.h5 --json").out);
    CHECK(std::find(json["rests_on"].begin(), json["rests_on"].end(), idle) != json["rests_on"].end());
    // The report's table of inputs.
    auto const quote =
        nlohmann::json::parse(run_holdwater(folder, "report" + store + "--years 0 --json").out);
    auto const from = [&](std::string const& input) {
        for (auto const& row : quote["inputs"])
            if (row["input"] == input) return row["from"].get<std::string>();
        return std::string("no such row");
    };
    CHECK(from("inverter.idle") == "assumed");
    CHECK(from("well: static water level") == "measured");
    CHECK(contains(from("battery"), "nameplate"));
    CHECK(from("motor") == "scenario");
    // A scenario that says nothing has none.
    auto const silent = run_holdwater(
        folder, "simulate '" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' --days 2 --json");
    CHECK(!contains(silent.out, "rests_on"));
}

TEST_SUITE_END();
