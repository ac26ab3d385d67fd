#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

std::string demo(std::string const& name) { return "'" HOLDWATER_SOURCE "/scenarios/" + name + ".toml'"; }
bool contains(std::string const& text, std::string const& part) { return text.find(part) != text.npos; }

}  // namespace

TEST_SUITE_BEGIN("tools/sensitivity");

TEST_CASE("the scenario's own ranges, as table, JSON and file") {
    ScratchFolder folder;
    auto const table =
        run_holdwater(folder, "sensitivity --years 2 " + demo("alder-flat-store") + " --out turned.h5");
    REQUIRE(table.exit_code == 0);
    CHECK(contains(table.out, "Which input decides?"));
    CHECK(contains(table.out, "inverter.idle, 12 W to 44 W (assumed)"));
    CHECK(std::filesystem::exists(folder / "turned.h5"));
    auto const run = run_holdwater(folder, "sensitivity --years 2 " + demo("alder-flat-store") + " --json");
    auto const json = nlohmann::json::parse(run.out);
    REQUIRE(json["inputs"].size() == 3);
    for (auto const& input : json["inputs"]) {
        CHECK(input["low"]["verdicts"].size() == input["high"]["verdicts"].size());
        for (auto const& v : input["flipped"])
            CHECK((v["at_low"] != v["base_design"] || v["at_high"] != v["base_design"]));
    }
}

TEST_CASE("--input names a key and both ends; what cannot be tried is refused in words") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "sensitivity --years 8 " + demo("juniper-bend-household") +
                                               " --input 'inverter.idle=20 W,60 W'");
    REQUIRE(run.exit_code == 0);
    CHECK(contains(run.out, "generator in the typical year, h"));
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"", "states no range to try"},
             {"--input 'inverter.idle=20 W'", "give both ends"},
             {"--input 'inverter.color=1,2'", "inverter.color"},
             {"--input 'motor.locked_rotor=1 kg,2 kg'", "motor.locked_rotor"},
         }) {
        CAPTURE(arguments);
        auto const refused = run_holdwater(
            folder, "sensitivity --years 8 " + demo("juniper-bend-household") + " " + arguments);
        CHECK(refused.exit_code == 2);
        CHECK(refused.out == "");
        std::string const err = refused.err;
        CAPTURE(err);
        CHECK(contains(err, message));
    }
}

TEST_SUITE_END();
