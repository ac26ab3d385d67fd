#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::CheckScenario, test::run_holdwater, test::ScratchFolder;

namespace {

std::string const far_cable = "[[cable]]\nlength = \"600 ft\"\nsize = \"12\"\n[check]\nsun_hours = 2.5\n";
std::string const waiver = "[[waiver]]\ncheck = \"cable-drop\"\nreason = \"new cable in spring\"\n";

// A scenario on disk with a motor that starts easily, so that the cable alone decides.
void write(ScratchFolder const& folder, std::string const& more) {
    CheckScenario s;
    s.set("motor", CheckScenario::motor("1 hp", "1250 W", "25 A"));
    s.set("wiring", far_cable + more);
    std::ofstream(folder / "a.toml") << s.text();
}

bool contains(std::string const& text, std::string const& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_SUITE_BEGIN("tools/check");

TEST_CASE("the table fits 80 columns, in both units, and says who decides") {
    ScratchFolder const folder;
    for (std::string const demo : {"juniper-bend-household", "alder-flat-outages", "saltbush-livestock"})
        for (std::string const units : {"metric", "us"}) {
            auto const r = run_holdwater(folder, "check '" HOLDWATER_SOURCE "/scenarios/" + demo +
                                                     ".toml' --sources --units " + units);
            CAPTURE(demo);
            CHECK(r.exit_code == 0);
            CHECK(contains(r.out, "licensed electrician decide"));
            CHECK(contains(r.out, "common practice, no source"));
            CHECK(contains(r.out, "NPSH"));
            CHECK(contains(r.out, units == "us" ? " gpm" : " L/min"));
            std::istringstream lines(r.out);
            for (std::string line; std::getline(lines, line);) {
                CAPTURE(line);
                CHECK(line.size() <= 80);
            }
        }
}

TEST_CASE("what fails and what is unknown comes first with what to do, what passes by name only") {
    ScratchFolder const folder;
    auto const r = run_holdwater(folder, "check '" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml'");
    std::size_t at = 0;
    for (auto const* part : {"Ready to simulate and quote?  NO", "Fails: change before quoting\n FAIL ",
                             "          > ", "Unknown: find out before quoting\n UNKNOWN ",
                             "Marginal: close to a limit, or beyond a rule of thumb\n MARGINAL ",
                             "\nPasses\n ", "--sources", "licensed electrician decide"}) {
        CAPTURE(part);
        auto const found = r.out.find(part, at);
        CHECK(found != std::string::npos);
        if (found != std::string::npos) at = found;
    }
    CHECK(!contains(r.out, " PASS "));
    CHECK(!contains(r.out, "Sources of the limits"));
    auto const all =
        run_holdwater(folder, "check '" HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml' --sources");
    CHECK(contains(all.out, " PASS "));
    CHECK(contains(all.out, "Sources of the limits"));
}

// A demo is a design that is ready to be signed; saltbush-livestock is the one made before the visit to its
// site.
TEST_CASE("the demos are finished designs, with their options; the one that is not shows what it finds") {
    ScratchFolder const folder;
    int finished = 0;
    for (auto const& entry : std::filesystem::directory_iterator(HOLDWATER_SOURCE "/scenarios")) {
        if (entry.path().extension() != ".toml") continue;
        auto const file = scenarios::read_design_file(entry.path().string());
        std::vector<std::string> names{"base design"};
        for (auto const& option : file.options) names.push_back(option.name);
        for (auto const& name : names) {
            auto const run =
                run_holdwater(folder, "check '" + entry.path().string() + "' --option '" + name + "' --json");
            CAPTURE(entry.path());
            CAPTURE(name);
            REQUIRE(run.exit_code == 0);
            auto const json = nlohmann::json::parse(run.out);
            std::map<std::string, int> count;
            CHECK(json["checks"].size() > 20);
            for (auto const& check : json["checks"]) {
                CAPTURE(check.dump());
                ++count[check["verdict"].get<std::string>()];
                if (entry.path().stem() == "saltbush-livestock") continue;
                CHECK(check["verdict"] != "FAIL");
                CHECK(check["verdict"] != "UNKNOWN");
            }
            if (entry.path().stem() == "saltbush-livestock") {
                CHECK(count["FAIL"] == 1);
                CHECK(count["UNKNOWN"] == 7);
            } else {
                ++finished;
            }
        }
    }
    CHECK(finished >= 13 + 6);  // thirteen files, three of them with three options each or fewer
}

TEST_CASE("--require fails on a failure nobody answers for, and not on a waived one") {
    ScratchFolder const folder;
    write(folder, "");
    auto const plain = run_holdwater(folder, "check a.toml");
    CHECK(plain.exit_code == 0);
    CHECK(contains(plain.out, "NO: at least one check FAILs"));
    auto const required = run_holdwater(folder, "check a.toml --require");
    CHECK(required.exit_code == 1);
    CHECK(contains(required.err, "requirement failed: cable-drop"));
    write(folder, waiver);
    auto const waived = run_holdwater(folder, "check a.toml --require");
    CHECK(waived.exit_code == 0);
    CHECK(contains(waived.out, "waived: new cable in spring (FAIL)"));
}

TEST_CASE("--json is JSON in SI and nothing else") {
    ScratchFolder const folder;
    write(folder, waiver);
    auto const r = run_holdwater(folder, "check a.toml --json --units us");
    REQUIRE(r.exit_code == 0);
    auto const json = nlohmann::json::parse(r.out);
    bool found = false;
    for (auto const& c : json["checks"]) {
        if (c["check"] != "cable-drop") continue;
        found = true;
        CHECK(c["verdict"] == "FAIL");
        CHECK(c["waived"] == "new cable in spring");
        CHECK(contains(c["value_text"].get<std::string>(), "183 m"));
    }
    CHECK(found);
}

TEST_CASE("without a weather file it goes on; a bad key stops it with file, line and key") {
    ScratchFolder const folder;
    CheckScenario s;
    std::ofstream(folder / "a.toml") << s.text();
    auto const r = run_holdwater(folder, "check a.toml");
    CHECK(r.exit_code == 0);
    CHECK(contains(r.err, "no sun for array-to-load"));
    CHECK(contains(r.out, "sun not known"));
    s.set("wiring", "[wiring]\nsource_sag = 2");
    std::ofstream(folder / "a.toml") << s.text();
    auto const bad = run_holdwater(folder, "check a.toml");
    CHECK(bad.exit_code == 2);
    CHECK(contains(bad.err, "a.toml:"));
    CHECK(contains(bad.err, "wiring.source_sag"));
}

TEST_SUITE_END();
