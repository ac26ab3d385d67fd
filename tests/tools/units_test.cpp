#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"

using namespace holdwater;

namespace {

namespace fs = std::filesystem;

// Units of the other system, and units that no installer reads in either.
std::vector<std::string> const nobody{R"(\bkPa\b)",  R"(\bm3\b)",   R"(m³)",      R"(\bdegC\b)",
                                      R"(\bdegF\b)", R"(\bmohm\b)", R"(\bL/s\b)", R"(\bgal/min\b)",
                                      R"(\de-\d\d)", R"(_m3_s\b)",  R"(\+/-)"};
std::vector<std::string> const metric_only{R"(\bL\b)",      R"(\bL/min\b)",  R"(\d ?bar\b)", R"(°C)",
                                           R"(\d ?m\b)",    R"(\d ?mm2?\b)", R"(\d ?cm\b)",  R"(\d ?km\b)",
                                           R"(\d ?kg\b)",   R"(\d/m\b)",     R"(Ω/km)",      R"(\bliters?\b)",
                                           R"(\bmeters?\b)"};
std::vector<std::string> const us_only{R"(\bgal\b)",   R"(\bgpm\b)", R"(\bgpd\b)",  R"(\bpsi\b)",
                                       R"(\bft\b)",    R"(°F)",      R"(\d ?hp\b)", R"(roughness \S+ in\b)",
                                       R"(\d in bore)"};

// What a line may say all the same.
std::vector<std::string> const accepted{
    R"("[^"]*")",                    // as somebody typed it
    R"(\d+(-\d+)?( to \d+)? ?AWG)",  // sizes of cables are names in either system
    R"(\d+(\.\d+)? mm2\b)",          // the same for a cable that is sold by its cross section
    R"(\d ?mΩ)",                     // no meters
};

// In `parts`: names of parts, and what the author of the list says about a part or about the list.
std::vector<std::string> const words_of_a_list{R"(^    [^ ]+ )", R"(^ {20,}.*)", R"(^[^ ]+\.toml: .*)"};

std::vector<std::string> demos() {
    std::vector<std::string> found;
    for (auto const& entry : fs::directory_iterator(HOLDWATER_SOURCE "/scenarios"))
        if (entry.path().extension() == ".toml") found.push_back(entry.path().string());
    std::sort(found.begin(), found.end());
    return found;
}

// Every line with a unit of the wrong kind, with the command that printed it.
std::string leaks(std::string const& printed, bool us, std::string const& command) {
    static auto const compiled = [](std::vector<std::string> const& patterns) {
        std::vector<std::regex> all;
        for (auto const& p : patterns) all.emplace_back(p, std::regex::optimize);
        return all;
    };
    static auto const never = compiled(nobody), metric = compiled(metric_only), trade = compiled(us_only),
                      fine = compiled(accepted), of_list = compiled(words_of_a_list);
    std::string out;
    std::istringstream in(printed);
    for (std::string line; std::getline(in, line);) {
        std::string rest = line;
        for (auto const& a : fine) rest = std::regex_replace(rest, a, "");
        if (command.starts_with("parts"))
            for (auto const& a : of_list) rest = std::regex_replace(rest, a, "");
        auto const any = [&](std::vector<std::regex> const& patterns) {
            return std::any_of(patterns.begin(), patterns.end(),
                               [&](auto const& p) { return std::regex_search(rest, p); });
        };
        if (any(never) || any(us ? metric : trade)) out += command + ": " + line + "\n";
    }
    return out;
}

std::string with_units(test::ScratchFolder const& folder, std::string const& arguments) {
    std::string out;
    for (bool const us : {true, false}) {
        auto const command = fmt::format("{} --units {}", arguments, us ? "us" : "metric");
        auto const run = test::run_holdwater(folder, command);
        CAPTURE(command);
        CAPTURE(run.err);
        CHECK(run.exit_code <= 1);
        CHECK(!run.out.empty());
        out += leaks(run.out + run.err, us, command);
    }
    return out;
}

}  // namespace

TEST_SUITE_BEGIN("tools/units");

TEST_CASE("a leak is found where there is one") {
    CHECK(leaks("tank 28 psi, 193 kPa", true, "") != "");
    CHECK(leaks("tank 28 psi", true, "") == "");
    CHECK(leaks("tank 28 psi", false, "") != "");
    CHECK(leaks("1,200 L of water", true, "") != "");
    CHECK(leaks("1,200 L of water", false, "") == "");
    CHECK(leaks("coldest -5 °C", true, "") != "");
    CHECK(leaks("1.5 kW, 3 h, 20 min, 5 mΩ, 12 AWG", true, "") == "");
    CHECK(leaks("1.5 kW, 3 h, 20 min, 5 mΩ, 12 AWG", false, "") == "");
    CHECK(leaks("EUR 2.4/m", true, "") != "");
    CHECK(leaks("6.3 m3", false, "") != "");
}

TEST_CASE("check, simulate and autonomy of every demo keep to the units that are asked for") {
    test::ScratchFolder folder;
    for (auto const& demo : demos()) {
        std::string found;
        for (auto const& command :
             {fmt::format("check '{}'", demo), fmt::format("check '{}' --sources", demo),
              fmt::format("simulate '{}' --years 2 --out s.h5", demo),
              fmt::format("autonomy '{}' --every 90 --detail", demo),
              fmt::format("autonomy '{}' --every 90 --years 0", demo),
              fmt::format("autonomy --period '{}' --days 3 --start 12-20", demo)})
            found += with_units(folder, command);
        CHECK(found == "");
    }
}

TEST_CASE("the other commands keep to the units that are asked for") {
    test::ScratchFolder folder;
    std::string const demo = HOLDWATER_SOURCE "/scenarios/";
    std::string found;
    for (auto const& command :
         {"compare '" + demo + "thorn-gully-options.toml' --years 0",
          "compare '" + demo + "alder-flat-store.toml' --years 2",
          "size '" + demo +
              "juniper-bend-household.toml' --vary 'battery.capacity=5 kWh,20 kWh' --years 2 --require "
              "demand_met=0.5",
          "sensitivity '" + demo + "alder-flat-store.toml' --years 2",
          "sensitivity '" + demo +
              "juniper-bend-household.toml' --years 2 --input 'tank.precharge=20 psi,38 psi'",
          "sweep '" + demo +
              "saltbush-livestock.toml' --vary 'array.tilt=20 deg,40 deg' --figure "
              "water_delivered_m3 --out t.csv",
          "sweep '" + demo +
              "saltbush-livestock.toml' --vary 'array.tilt=20 deg,40 deg' --one-at-a-time "
              "--figure water_short_m3 --out t.csv",
          "years '" + demo + "tamarack-gulch-lithium.toml' --years 2",
          "region '" + demo + "juniper-bend-household.toml' --years 2 --stations '" + demo + "weather'",
          std::string("parts '") + demo + "parts'",
          "weather '" + demo + "weather/juniper-bend.csv' --cloudy-periods"})
        found += with_units(folder, command);
    CHECK(found == "");
}

// What is wrong is said in the units in which it was typed.
TEST_CASE("a message about a scenario speaks in the units of the scenario") {
    struct Row {
        std::string line, with, says;
    };
    test::ScratchFolder folder;
    fs::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    std::string const us = test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const refusal = [&](std::string text, std::string const& key, std::string const& value) {
        text = std::regex_replace(text, std::regex("\n" + key + " *=[^\n]*"), "\n" + key + " = " + value,
                                  std::regex_constants::format_first_only);
        std::ofstream(folder / "a.toml") << text;
        auto const run = test::run_holdwater(folder, "check a.toml");
        CHECK(run.exit_code == 2);
        return run.err;
    };
    std::string const precharge = refusal(us, "precharge", "\"50 psi\""),
                      steep = refusal(us, "cut_out", "\"200 psi\""),
                      out_of_range = refusal(us, "precharge", "\"900 psi\""),
                      metric = refusal(us, "precharge", "\"50 bar\""),
                      narrow = refusal(us, "cut_out", "\"41 psi\""),
                      liters = refusal(us, "volume", "\"30000 L\"");
    for (auto const& said : {precharge, steep, out_of_range, narrow}) {
        CAPTURE(said);
        CHECK(leaks(said, true, "") == "");
    }
    CHECK(precharge.find("set it about 2 psi below cut-in") != std::string::npos);
    CHECK(narrow.find("must be at least 2.9 psi above cut-in") != std::string::npos);
    CHECK(out_of_range.find("\"900 psi\" is out of range; accepted: 0 to 101.5 psi") != std::string::npos);
    CHECK(metric.find("\"50 bar\" is out of range; accepted: 0 to 7 bar") != std::string::npos);
    CHECK(liters.find("\"30000 L\" is out of range; accepted: 2 to 20000 L") != std::string::npos);
}

TEST_SUITE_END();
