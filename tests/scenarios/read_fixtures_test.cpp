#include <doctest/doctest.h>
#include <fmt/format.h>

#include <fstream>
#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::CheckScenario;

namespace {

constexpr double gallon_m3 = 3.785411784e-3;

CheckScenario with_demand(std::string const& text) {
    CheckScenario s;
    s.set("demand", text);
    return s;
}

std::string demand_error(std::string const& text) {
    try {
        (void)with_demand(text).read();
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/fixtures");

TEST_CASE("lumps unless it says events; the fixtures of the end-use study unless it names its own") {
    std::string const daily = "[demand]\ndaily = \"175 gal/day\"\n";
    CHECK(!with_demand(daily).read().demand.varying);
    CHECK(!with_demand(daily + "drawn_as = \"lump\"").read().demand.varying);
    auto const usual = with_demand(daily + "drawn_as = \"events\"").read().demand.varying;
    REQUIRE(usual);
    CHECK(usual->fixtures == models::household_fixtures());
    auto const own = with_demand(
                         "[[use]]\nname = \"house\"\nkind = \"household\"\npersons = 4\ndrawn_as = "
                         "\"events\"\n[[use.fixture]]\nname = \"hose\"\nshare = 2\nvolume = \"20 "
                         "gal\"\nvolume_spread = 0.5\nflow = \"5 gpm\"\nflow_spread = 0.1\nprofile = "
                         "[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,1,1,0,0,0,0]\n[[use.fixture]]\nname = "
                         "\"tap\"\nshare = 1\nvolume = \"1 L\"\nflow = \"4 L/min\"")
                         .read()
                         .demand.uses.at(0)
                         .fixtures;
    REQUIRE(own.size() == 2);
    CHECK(own[0].volume_m3 == Near{20 * gallon_m3, 1e-12, 0});
    CHECK(own[0].volume_spread == 0.5);
    CHECK(own[0].flow_spread == 0.1);
    REQUIRE(own[0].day);
    CHECK((*own[0].day)[18] == 1);
    CHECK(own[1].flow_m3_s == Near{4e-3 / 60, 1e-12, 0});
    CHECK(own[1].volume_spread == 0);
    CHECK(!own[1].day);
}

TEST_CASE("what cannot be is refused with its key and what is accepted") {
    struct Row {
        std::string text, key, reason;
    };
    std::string const events =
        "[demand]\ndaily = \"175 gal/day\"\ndrawn_as = \"events\"\n[[demand.fixture]]\n";
    for (auto const& r : {
             Row{"[demand]\ndaily = \"175 gal/day\"\ndrawn_as = \"drops\"", "demand.drawn_as",
                 "accepted: lump, events"},
             Row{"[demand]\ndaily = \"175 gal/day\"\n[[demand.fixture]]\nname = \"a\"", "demand.fixture",
                 "needs drawn_as = \"events\""},
             Row{"[demand]\ndaily = \"900 m3/day\"\ndrawn_as = \"events\"", "demand.drawn_as",
                 "take \"lump\" for so much water"},
             Row{events + "name = \"a\"\nshare = 0\nvolume = \"1 L\"\nflow = \"1 gpm\"", "fixture", "share"},
             Row{events + "name = \"a\"\nshare = 1\nflow = \"1 gpm\"", "volume", "missing"},
             Row{"[[use]]\nname = \"cows\"\nkind = \"livestock\"\nheads = 4\nanimal = \"horse\"\ndrawn_as = "
                 "\"events\"",
                 "drawn_as", ""},
         }) {
        CAPTURE(r.text);
        std::string const error = demand_error(r.text);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

// 24 h of 10 gal on every day of the week: 240 gal a day.
TEST_CASE("measured use can be drawn as events; its readings say in which hours") {
    test::ScratchFolder folder;
    auto const path = (folder / "meter.csv").string();
    {
        std::ofstream file(path);
        file << "time,gal\n";
        for (int day = 2; day < 16; ++day)
            for (int hour = 0; hour < 24; ++hour)
                file << fmt::format("2023-01-{:02} {:02}:00,10\n", day, hour);
    }
    std::string const series =
        "[demand.series]\nfile = \"" + path +
        "\"\ntime = \"time\"\nvolume = \"gal\"\nvolume_unit = \"gal\"\nrepeat = \"weeks\"\n";
    CHECK(with_demand("[demand]\n" + series).read().demand.series_fixtures.empty());
    auto const drawn = with_demand("[demand]\ndrawn_as = \"events\"\n" + series).read().demand;
    CHECK(drawn.series_fixtures == models::household_fixtures());
    CHECK(drawn.daily_m3 == Near{240 * gallon_m3, 1e-9, 0});
    std::string const tap =
        "[[demand.fixture]]\nname = \"tap\"\nshare = 1\nvolume = \"1 L\"\nflow = \"4 L/min\"\n";
    CHECK(with_demand("[demand]\ndrawn_as = \"events\"\n" + series + tap)
              .read()
              .demand.series_fixtures.size() == 1);
    auto const timed = demand_error("[demand]\ndrawn_as = \"events\"\n" + series + tap +
                                    "profile = [0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,1,1,0,0,0,0]");
    CAPTURE(timed);
    CHECK(timed.find("leave the profile out") != std::string::npos);
    // 240 gal are 908 L: 9,085 uses of 0.1 L.
    auto const many = demand_error(
        "[demand]\ndrawn_as = \"events\"\n" + series +
        "[[demand.fixture]]\nname = \"tap\"\nshare = 1\nvolume = \"0.1 L\"\nflow = \"4 L/min\"\n");
    CAPTURE(many);
    CHECK(many.find("9085 uses of water a day") != std::string::npos);
}

TEST_SUITE_END();
