#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

std::string demo(std::string const& name) { return "'" HOLDWATER_SOURCE "/scenarios/" + name + ".toml'"; }
bool contains(std::string const& text, std::string const& part) { return text.find(part) != text.npos; }

}  // namespace

TEST_SUITE_BEGIN("tools/autonomy");

TEST_CASE("a well that is drawn down limits the autonomy, not the sun") {
    ScratchFolder folder;
    auto const dry = run_holdwater(folder, "autonomy " + demo("saltbush-low-yield") + " --every 30");
    CHECK(dry.exit_code == 0);
    CHECK(contains(dry.out, "  Water is first short "));
    CHECK(contains(dry.out, "to the pump, not for lack of sun. Power lasts "));
    auto const empty = run_holdwater(folder, "autonomy " + demo("juniper-bend-household") + " --every 30");
    CHECK(contains(empty.out, " days without any sun, battery full at sunset, worst start date "));
    CHECK(!contains(empty.out, "lack of sun"));
}

TEST_CASE("table, --json and the HDF5 file tell the same reserve; the aged column is not better") {
    ScratchFolder folder;
    std::string const arguments = "autonomy " + demo("saltbush-livestock") + " --every 60 --days 4 ";
    auto const run = run_holdwater(folder, arguments + "--json --out reserve.h5");
    REQUIRE(run.exit_code == 0);
    auto const json = nlohmann::json::parse(run.out);
    REQUIRE(json["designs"].size() == 2);
    auto const& now = json["designs"][0];
    auto const& later = json["designs"][1];
    CHECK(now["age_y"] == 0);
    CHECK(later["age_y"] == 10);
    CHECK(later["usable_kwh"].get<double>() < now["usable_kwh"].get<double>());
    CHECK(later["array_kw"].get<double>() < now["array_kw"].get<double>());
    CHECK(later["autonomy_power_worst_d"].get<double>() <= now["autonomy_power_worst_d"].get<double>());
    CHECK(later["life_assumed"] == true);
    CHECK(now["outages_worst_gap_h"].is_null());
    CHECK(!now.contains("outages"));
    CHECK(now["start_states"].size() == 5);
    auto const path = (folder / "reserve.h5").string();
    auto const usable = sim::read_column(path, "autonomy", "usable_kwh");
    REQUIRE(usable.size() == 2);
    CHECK(usable[0] == now["usable_kwh"].get<double>());
    CHECK(sim::read_column(path, "start_states", "water_worst_d").size() == 10);

    auto const brief = run_holdwater(folder, arguments);
    for (auto const* part : {"Days to the first shortage, no sun, no backup", "autonomy: water",
                             "autonomy: power", "cloudy period: water", "cloudy period: power", "--detail"})
        CHECK(contains(brief.out, part));
    CHECK(!contains(brief.out, "leak of"));
    auto const si = run_holdwater(folder, arguments + "--detail "),
               us = run_holdwater(folder, arguments + "--detail --units us");
    CHECK(si.exit_code == 0);
    for (auto const* part : {"How long does it last without sun?", "autonomy: power, hand calculation",
                             "autonomy: water", "the year's own weather: water", "as in the typical year",
                             "full again after the cloudy days", "A leak of 3.79 L/min", "(assumed)"})
        CHECK(contains(si.out, part));
    CHECK(!contains(si.out, "Outages of the grid"));
    CHECK(contains(us.out, "A leak of 1 gpm"));
    for (auto const* out : {&si.out, &us.out}) {
        std::size_t begin = 0;
        for (std::size_t end = out->find('\n'); end != out->npos; end = out->find('\n', begin)) {
            CHECK(end - begin <= 100);
            begin = end + 1;
        }
    }
}

TEST_CASE("options stand side by side, a grid's outages are replayed, provenance is carried") {
    ScratchFolder folder;
    auto const store =
        run_holdwater(folder, "autonomy " + demo("alder-flat-store") + " --every 90 --years 0 --leak 0");
    REQUIRE(store.exit_code == 0);
    for (auto const* part : {"base design", "large battery", "small battery", "pump by day",
                             "Rests on:", "inverter.idle: 18 W (assumed, 12 W to 44 W)"})
        CHECK(contains(store.out, part));
    CHECK(!contains(store.out, "years on"));
    CHECK(!contains(store.out, "leak of"));
    auto const one = run_holdwater(folder, "autonomy " + demo("alder-flat-store") +
                                               " --option 'large battery' --every 90 --years 0 --json");
    REQUIRE(one.exit_code == 0);
    auto const json = nlohmann::json::parse(one.out);
    CHECK(json["designs"].size() == 1);
    CHECK(json["rests_on"].size() == 5);
    // With a battery and an array that are too small for its storms.
    run_shell(
        folder,
        "sed 's/\"8.2 kWh\"/\"5.1 kWh\"/; s/\"1.2 kW\"        #/\"0.8 kW\" #/; s#weather/#" HOLDWATER_SOURCE
        "/scenarios/weather/#' " +
            demo("alder-flat-outages") + " > small.toml");
    auto const grid = run_holdwater(folder, "autonomy small.toml --every 30 --years 0");
    REQUIRE(grid.exit_code == 0);
    CHECK(contains(grid.out, "Outages of the grid, by length, each on every start date"));
    CHECK(contains(grid.out, "h: start dates without a shortage"));
    // In a file and as JSON: every length of the list with its own figures, the worst one first.
    auto const file =
        run_holdwater(folder, "autonomy small.toml --every 30 --years 5 --json --out outages.h5");
    REQUIRE(file.exit_code == 0);
    auto const designs = nlohmann::json::parse(file.out)["designs"];
    REQUIRE(designs.size() == 2);
    auto const& lengths = designs[0]["outages"];
    auto const path = (folder / "outages.h5").string();
    auto const length_h = sim::read_column(path, "outages", "length_h"),
               kept = sim::read_column(path, "outages", "kept"),
               tried = sim::read_column(path, "outages", "tried");
    REQUIRE(lengths.size() > 1);
    REQUIRE(length_h.size() == lengths.size() + designs[1]["outages"].size());
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        CHECK(lengths[i]["length_h"] == length_h[i]);
        CHECK(lengths[i]["kept"] == kept[i]);
        if (i > 0) CHECK(kept[i - 1] / tried[i - 1] <= kept[i] / tried[i]);
        CHECK(lengths[i].contains("worst_start") == (kept[i] < tried[i]));
    }
}

TEST_CASE("what cannot be asked is refused in words, with nothing written") {
    for (auto const& [arguments, message] : {
             std::pair<std::string, std::string>{"--leak '3 kg'", "--leak"},
             {"--leak '400 gpm'", "is more than a leak may be; accepted: 0 to 159 gpm"},
             {"--years 60", "--years"},
             {"--days 0", "--days"},
             {"--option none", "none"},
             {"--every 90 --years 0 --days 1 --out nowhere/x.h5", "nowhere/x.h5: cannot be written"},
         }) {
        CAPTURE(arguments);
        ScratchFolder folder;
        auto const run = run_holdwater(folder, "autonomy " + demo("saltbush-livestock") + " " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(contains(err, message));
        CHECK(std::filesystem::is_empty(folder.text()));
    }
}

TEST_CASE("a design that is bypassed by hand says so: autonomy, its JSON, check and the report") {
    ScratchFolder folder;
    auto text = test::file_text(HOLDWATER_SOURCE "/scenarios/alder-flat-outages.toml");
    auto const at = text.find("charge_to      = 0.95");
    REQUIRE(at != std::string::npos);
    text.replace(at, 21, "transfer = \"by-hand\"\nhand_response = \"2 h\"");
    text += "\n[[bypass]]\nstart = \"06-01 08:00\"\nlength = \"8 h\"\n";
    std::filesystem::copy(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather",
                          std::filesystem::copy_options::recursive);
    std::ofstream(folder / "by-hand.toml") << text;
    auto const table = run_holdwater(folder, "autonomy by-hand.toml --every 60 --years 0");
    CAPTURE(table.err);
    REQUIRE(table.exit_code == 0);
    std::string const said = test::one_line(table.out);
    CHECK(contains(said, "Counted with the bypass off"));
    CHECK(contains(said, "no power for up to 2 h more, until someone has switched back"));
    CHECK(contains(said, "The listed bypass, 8 h in the year, counts in the outages that fall into it"));
    auto const json =
        nlohmann::json::parse(run_holdwater(folder, "autonomy by-hand.toml --every 60 --years 0 --json").out);
    CHECK(contains(json["designs"][0]["bypass"].get<std::string>(), "until someone has switched back"));
    auto const check = test::one_line(run_holdwater(folder, "check by-hand.toml").out);
    CHECK(contains(check, "Grid lost while bypassed"));
    CHECK(contains(check, "At 60 % SOC someone puts pump and loads straight on the grid, and back at 95 %"));
    auto const report =
        nlohmann::json::parse(run_holdwater(folder, "report --years 2 by-hand.toml --json").out);
    auto const cautions = report["cautions"].dump();
    CHECK(contains(cautions, "nothing works until someone has switched back"));
    CHECK(contains(cautions, "counted with the bypass off"));
    // The demo itself has no bypass and says nothing of one.
    CHECK(!contains(
        run_holdwater(folder, "autonomy " + demo("alder-flat-outages") + " --every 60 --years 0").out,
        "bypass"));
}

TEST_SUITE_END();
