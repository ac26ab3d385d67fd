#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const shipped = HOLDWATER_SOURCE "/scenarios/parts";

constexpr char const* two_batteries = R"(about = "mine"
currency = "EUR"
[[battery]]
name = "small"
price = 10
chemistry = "lithium-iron-phosphate"
capacity = "2 kWh"
nominal_voltage = "51.2 V"
[[battery]]
name = "wrong"
chemistry = "lithium-iron-phosphate"
capacity = "2 gal"
nominal_voltage = "51.2 V"
)";

}  // namespace

TEST_SUITE_BEGIN("tools/parts");

TEST_CASE("the shipped lists are all right and say nothing on stderr") {
    ScratchFolder folder;
    auto const run = run_holdwater(folder, "parts " + shipped);
    CHECK(run.exit_code == 0);
    CHECK(run.err.empty());
    CHECK(run.out.find("nothing wrong.") != std::string::npos);
    auto const us = run_holdwater(folder, "parts " + shipped + "/tanks.toml --kind tank --units us");
    CHECK(us.out.find("holds 85 gal") != std::string::npos);
    CHECK(us.out.find("cistern") == std::string::npos);
}

TEST_CASE("a list of one's own: what is wrong is said for every part, with exit 2, the rest is still shown") {
    ScratchFolder folder;
    std::ofstream(folder / "mine.toml") << two_batteries;
    std::ofstream(folder / "again.toml") << "[[battery]]\nname = \"small\"\nchemistry = \"lithium\"\n";
    auto const run = run_holdwater(folder, "parts mine.toml again.toml");
    CHECK(run.exit_code == 2);
    CHECK(run.out.find("small") != std::string::npos);
    CHECK(run.out.find("3 parts in 2 lists, 3 wrong.") != std::string::npos);
    for (std::string const line :
         {"mine.toml:12: key 'battery.capacity': ",
          "again.toml:1: key 'battery.name': \"small\" is taken by mine.toml:3",
          "again.toml:3: key 'battery.chemistry': \"lithium\" is not a choice; accepted: "}) {
        CAPTURE(line);
        CHECK(run.err.find(line) != std::string::npos);
    }
    CHECK(run_holdwater(folder, "parts nowhere.toml").exit_code == 2);
    CHECK(run_holdwater(folder, "parts").exit_code == 2);  // no scenarios/parts here
}

TEST_CASE("--json has every part with figures in SI, and a scenario stands for the lists it names") {
    ScratchFolder folder;
    std::ofstream(folder / "mine.toml")
        << std::string(two_batteries).substr(0, std::string(two_batteries).rfind("[[battery]]"));
    std::ofstream(folder / "scenario.toml") << "parts = [\"mine.toml\"]\ntitle = \"t\"\n";
    auto const run = run_holdwater(folder, "parts scenario.toml --json");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    REQUIRE(json["parts"].size() == 1);
    auto const& part = json["parts"][0];
    CHECK(part["name"] == "small");
    CHECK(part["kind"] == "battery");
    CHECK(part["price"] == 10);
    CHECK(part["currency"] == "EUR");
    CHECK(part["line"] == 3);
    CHECK(part["figures"][0]["value"].get<double>() == Near{2, 1e-12, 0});
    CHECK(part["figures"][0]["unit"] == "kWh");
    CHECK(json["errors"].empty());
}

TEST_CASE("a sweep over the part of a section runs, and so does an option that changes it") {
    ScratchFolder folder;
    std::string text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const at = text.find("[battery]");
    text.replace(at, text.find("\n\n", at) - at, "[battery]\npart = \"lithium-5\"");
    text.replace(text.find("weather/"), 8, std::string(HOLDWATER_SOURCE "/scenarios/weather/"));
    text = "parts = [\"" + shipped + "\"]\n" + text +
           "\n[[option]]\nname = \"B\"\n\"battery.part\" = \"lithium-10\"\n";
    std::ofstream(folder / "well.toml") << text;
    auto const sweep = run_holdwater(
        folder, "sweep well.toml --vary 'battery.part=lithium-5,lithium-10,lithium-15' --out sweep.csv");
    CHECK(sweep.exit_code == 0);
    CHECK(sweep.err.find("lithium") == std::string::npos);
    auto const csv = test::file_text(folder / "sweep.csv");
    CHECK(csv.find("lithium-15") != std::string::npos);
    auto const a = run_holdwater(folder, "simulate --years 0 well.toml --json"),
               b = run_holdwater(folder, "simulate --years 0 well.toml --json --option B");
    REQUIRE(a.exit_code == 0);
    REQUIRE(b.exit_code == 0);
    CHECK(nlohmann::json::parse(a.out)["soc_min"] < nlohmann::json::parse(b.out)["soc_min"]);
}

TEST_SUITE_END();
