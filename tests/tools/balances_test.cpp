#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string const balances_script = "'" HOLDWATER_SOURCE "/tests/balances/check' ";

std::vector<std::filesystem::path> demos() {
    std::vector<std::filesystem::path> found;
    for (auto const& entry : std::filesystem::directory_iterator(HOLDWATER_SOURCE "/scenarios"))
        if (entry.path().extension() == ".toml") found.push_back(entry.path());
    std::sort(found.begin(), found.end());
    return found;
}

}  // namespace

TEST_SUITE_BEGIN("tools/balances");

// Python with h5py and NumPy, which knows nothing of Holdwater but the names in the file.
TEST_CASE("both balances of every demo close hour by hour, worked out from the file alone") {
    ScratchFolder folder;
    REQUIRE(demos().size() >= 10);
    for (auto const& path : demos()) {
        std::string const name = path.stem().string();
        CAPTURE(name);
        auto const run =
            run_holdwater(folder, "simulate --years 0 '" + path.string() + "' --out " + name + ".h5");
        CAPTURE(run.err);
        REQUIRE(std::filesystem::exists(folder / (name + ".h5")));
    }
    auto const balances = run_shell(folder, balances_script + "--prove *.h5");
    CAPTURE(balances.err);
    CAPTURE(balances.out);
    CHECK(balances.exit_code == 0);
    CHECK(balances.out.find(
              "saltbush-low-yield.h5: 9 balances of energy and water close in each of 8760 hours") !=
          std::string::npos);
}

// The demo of winter outages with everything that stands in the field: a switch that locks out, water drawn
// in single uses, a load that runs with the water, a heater, storms that are announced.
TEST_CASE("balances close with a locked-out switch, single uses of water, loads that follow, and warnings") {
    ScratchFolder folder;
    std::ifstream demo(HOLDWATER_SOURCE "/scenarios/alder-flat-outages.toml");
    std::string text{std::istreambuf_iterator<char>(demo), {}};
    auto const put = [&](std::string const& after, std::string const& keys) {
        auto const at = text.find(after);
        REQUIRE(at != std::string::npos);
        text.insert(at + after.size(), keys);
    };
    put("[tank]\n", "low_pressure_cutoff = \"30 psi\"\nvisit_every = \"72 h\"\n");
    put("[demand]\n", "drawn_as = \"events\"\n");
    put("[backup]\n", "forewarned = \"24 h\"\n");
    text +=
        "\n[[load]]\nname = \"pump house\"\npower = \"400 W\"\nthermostat = \"40 degF\"\nrise_k_per_w = "
        "0.08\n[[load]]\nname = \"softener\"\npower = \"600 W\"\nenergy_per_volume = \"0.5 Wh/gal\"\n";
    std::filesystem::copy(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather",
                          std::filesystem::copy_options::recursive);
    std::ofstream(folder / "field.toml") << text;
    auto const run = run_holdwater(folder, "simulate --years 0 field.toml --out field.h5");
    CAPTURE(run.err);
    CHECK(run.exit_code == 0);
    CHECK(run.out.find("the low-pressure cutoff of the pressure switch waited for its reset") !=
          std::string::npos);
    CHECK(run.out.find("with a control that resets itself") != std::string::npos);
    auto const balances = run_shell(folder, balances_script + "--prove field.h5");
    CAPTURE(balances.err);
    CHECK(balances.exit_code == 0);
}

TEST_CASE("what the stores held at the start is that of the run's first hour") {
    ScratchFolder folder;
    std::string const well = "'" HOLDWATER_SOURCE "/scenarios/saltbush-low-yield.toml' ";
    std::string const lead = "'" HOLDWATER_SOURCE "/scenarios/tamarack-gulch-lead-acid.toml' ";
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + well + "--from 08-15 --days 20 --out august.h5")
                .exit_code == 0);
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + lead + "--age 2 --out two-years.h5").exit_code ==
            0);
    auto const balances = run_shell(folder, balances_script + "--prove august.h5 two-years.h5");
    CAPTURE(balances.err);
    CHECK(balances.exit_code == 0);
}

TEST_CASE("a file in which one hour of one series was altered no longer closes") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "simulate --years 0 '" HOLDWATER_SOURCE
                                  "/scenarios/alder-flat-cistern.toml' --days 30 --out month.h5")
                .exit_code == 0);
    for (std::string const series :
         {"pump_kw", "battery_stored_kwh", "cistern_water_m3", "water_pumped_m3"}) {
        CAPTURE(series);
        REQUIRE(run_shell(folder, "cp month.h5 altered.h5 && " + balances_script + "--alter " + series +
                                      " 100 1e-6 altered.h5")
                    .exit_code == 0);
        auto const balances = run_shell(folder, balances_script + "altered.h5");
        CHECK(balances.exit_code == 1);
        CHECK(balances.err.find("open by") != std::string::npos);
        CHECK(balances.err.find("in hour 100 of the run") != std::string::npos);
    }
    CHECK(run_shell(folder, balances_script + "month.h5").exit_code == 0);
}

TEST_SUITE_END();
