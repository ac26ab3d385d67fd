#include "scenarios/design/scenario_weather.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/design/weather_shelf.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::Scenario;

namespace {

Scenario livestock() {
    return scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
}

bool has(std::vector<std::string> const& warnings, std::string const& part) {
    return std::any_of(warnings.begin(), warnings.end(),
                       [&](auto const& w) { return w.find(part) != std::string::npos; });
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/scenario_weather");

// A degree of latitude is 111 km, everywhere.
TEST_CASE("weather from far away is said with its distance, and from another part of the world refused") {
    auto s = livestock();
    auto const year = scenarios::read_scenario_weather(s);
    CHECK(!has(year.warnings, "km from the well"));
    s.coordinates = scenarios::Coordinates{year.site.latitude_deg + 1, year.site.longitude_deg};
    CHECK(has(scenarios::read_scenario_weather(s).warnings, "the weather was recorded 111 km from the well"));
    s.coordinates->latitude_deg = -year.site.latitude_deg;
    auto const said = test::message_of([&] { scenarios::read_scenario_weather(s); });
    CHECK(said.find("check the signs (north and east are positive) or take a nearer file") !=
          std::string::npos);
    // Another file on the command line is the user's own decision.
    CHECK(has(scenarios::read_scenario_weather(s, s.weather_path).warnings, "km from the well"));
}

TEST_CASE("weather from another height, and an array that faces the pole, are said") {
    auto s = livestock();
    auto const site = scenarios::read_scenario_weather(s).site;
    s.elevation_m = site.elevation_m + 301;
    CHECK(has(scenarios::read_scenario_weather(s).warnings,
              "the weather is from 301 m lower than the well: temperature and sun differ"));
    s.elevation_m = site.elevation_m + 299;
    CHECK(!has(scenarios::read_scenario_weather(s).warnings, "than the well"));
    s.plane.tilt_deg = 30, s.plane.azimuth_deg = 10;
    CHECK(has(scenarios::read_scenario_weather(s).warnings,
              "array.azimuth: 10 deg faces away from the equator"));
    s.plane.azimuth_deg = 100;
    CHECK(!has(scenarios::read_scenario_weather(s).warnings, "faces away"));
}

TEST_CASE("a weather file that is not there is reported at the line that names it, in an option too") {
    test::ScratchFolder const folder;
    auto const path = (folder / "well.toml").string();
    std::ofstream(path) << "[weather]\nfile = \"none.csv\"\n\n[[option]]\nname = \"a\"\n"
                           "\"weather.file\" = \"other.csv\"\nweather.temperature_file = \"air.csv\"\n";
    auto s = livestock();
    s.path = path;
    auto const said = [&](std::string const& file) {
        s.weather_path = (folder / file).string();
        return test::message_of([&] { scenarios::read_scenario_weather(s); });
    };
    for (auto const& [file, place] :
         {std::pair{"none.csv", ":2: "}, {"other.csv", ":6: "}, {"third.csv", ": "}}) {
        CAPTURE(file);
        CHECK(said(file).starts_with(path + place));
        CHECK(said(file).find(std::string(file) + ": cannot be opened: No such file") != std::string::npos);
    }
    s = livestock();
    s.path = path;
    s.temperature_path = (folder / "air.csv").string();
    CHECK(test::message_of([&] { scenarios::read_scenario_weather(s); }).find("weather.temperature_file") !=
          std::string::npos);
    s.temperature_path = (folder / "nobody-names-it.csv").string();
    CHECK(test::message_of([&] { scenarios::read_scenario_weather(s); }).find("weather.temperature_file") ==
          std::string::npos);
}

TEST_CASE("recorded years that are not there are reported at their line") {
    test::ScratchFolder const folder;
    auto const path = (folder / "well.toml").string();
    std::ofstream(path) << "[weather]\nyears = [\n  \"2001.csv\",\n  \"many-*.csv\",\n]\n";
    auto s = livestock();
    s.path = path;
    s.recorded_paths = {"2001.csv"};
    auto const one = test::message_of([&] { scenarios::read_scenario_years(s); });
    CHECK(one.find("well.toml:3: ") != std::string::npos);
    CHECK(one.find("cannot be opened: No such file or directory") != std::string::npos);
    s.recorded_paths = {"many-*.csv"};
    CHECK(test::message_of([&] { scenarios::read_scenario_years(s); }).find("well.toml:4: ") !=
          std::string::npos);
}

TEST_CASE("beam and diffuse are split anew if the scenario asks, and the year says so") {
    auto s = livestock();
    auto const plain = scenarios::read_scenario_weather(s);
    s.decompose_all = true;
    auto const split = scenarios::read_scenario_weather(s);
    CHECK(split.ghi_w_m2 == plain.ghi_w_m2);
    REQUIRE(!split.repairs.empty());
    CHECK(split.repairs.back().kind == "decomposed");
    CHECK(split.repairs.back().hours == 8760);
    CHECK(scenarios::weather_reading_key(s) != scenarios::weather_reading_key(livestock()));
}

TEST_CASE("a weather file is read once for designs that read it in the same way") {
    scenarios::WeatherShelf shelf;
    auto s = livestock();
    auto const first = shelf.of(s);
    s.battery.capacity_kwh *= 2;
    CHECK(shelf.of(s) == first);
    s.decompose_all = true;
    CHECK(shelf.of(s) != first);
}

TEST_SUITE_END();
