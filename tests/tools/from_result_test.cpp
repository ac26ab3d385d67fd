#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/files/stored_run.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text, test::Near, test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

std::string const scenarios_folder = HOLDWATER_SOURCE "/scenarios/";

std::string demo(std::string const& name) { return "'" + scenarios_folder + name + ".toml'"; }

std::size_t bytes_that_differ(std::string const& a, std::string const& b) {
    REQUIRE(a.size() == b.size());
    std::size_t differ = 0;
    for (std::size_t i = 0; i < a.size(); ++i) differ += a[i] != b[i];
    return differ;
}

}  // namespace

TEST_SUITE_BEGIN("tools/from_result");

TEST_CASE("a result file is enough to repeat its run, bit for bit, when scenario and weather are gone") {
    ScratchFolder folder;
    run_shell(folder, "cp -r '" + scenarios_folder + "' designs");
    struct Row {
        std::string scenario, arguments;
    };
    for (auto const& [scenario, arguments] : std::initializer_list<Row>{
             {"juniper-bend-household", "--from 12-01 --days 60"},
             {"alder-flat-outages", ""},
             {"saltbush-low-yield", "--days 30"},
             {"tamarack-gulch-lead-acid", "--age 2"},
             {"alder-flat-cistern", "--days 60 --weather designs/weather/juniper-bend.csv"},
             {"thorn-gully-options", "--days 60 --option generator"},
         }) {
        CAPTURE(scenario);
        REQUIRE(run_holdwater(folder, "simulate --years 0 designs/" + scenario + ".toml " + arguments +
                                          " --out " + scenario + ".h5")
                    .exit_code == 0);
    }
    run_shell(folder, "rm -r designs");
    for (std::string const scenario :
         {"juniper-bend-household", "alder-flat-outages", "saltbush-low-yield", "tamarack-gulch-lead-acid",
          "alder-flat-cistern", "thorn-gully-options"}) {
        CAPTURE(scenario);
        auto const again = run_holdwater(folder, "simulate --from-result " + scenario + ".h5 --out again.h5");
        std::string const err = again.err;
        CAPTURE(err);
        CHECK(again.exit_code == 0);
        CHECK(again.out.find("IDENTICAL") != std::string::npos);
        // The whole file is the same, but for the eight bytes of the time it took and the eight digits of the
        // check sum.
        CHECK(bytes_that_differ(file_text(folder / (scenario + ".h5")), file_text(folder / "again.h5")) <=
              16);
    }
}

TEST_CASE("what came out otherwise is named, with exit code 1") {
    ScratchFolder folder;
    REQUIRE(
        run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --days 40 --out a.h5")
            .exit_code == 0);
    // A version with other arithmetic, simulated: the stored weather is a little brighter from one hour on.
    auto stored = sim::read_stored_run((folder / "a.h5").string());
    auto const result = sim::repeat(stored).result;
    for (std::size_t h = 250; h < 260; ++h)
        stored.inputs.weather.ghi_w_m2[h] += 1, stored.inputs.weather.dhi_w_m2[h] += 1;
    stored.inputs.version = "0.0.9";
    sim::write_result((folder / "b.h5").string(), result, stored.inputs);
    auto const again = run_holdwater(folder, "simulate --from-result b.h5");
    CHECK(again.exit_code == 1);
    CHECK(again.out.find("NOT identical") != std::string::npos);
    // The figures are in the order of their names, and the table ends before pv_available_kw.
    CHECK(again.out.find("/series/array_light_w_m2: 10 rows, first at 11 Jan 10:00") != std::string::npos);
    CHECK(again.out.find("The file is from version 0.0.9") != std::string::npos);
    auto const json = nlohmann::json::parse(run_holdwater(folder, "simulate --from-result b.h5 --json").out);
    CHECK(json["identical"] == false);
    CHECK(json["version_before"] == "0.0.9");
    CHECK(json["differences"].size() > 3);
    CHECK(std::any_of(json["differences"].begin(), json["differences"].end(), [](auto const& d) {
        return d["figure"] == "/series/pv_available_kw" && d["rows"] == 10 && d["first_row"] == 250;
    }));
}

TEST_CASE("what is no result of simulate is refused in words") {
    ScratchFolder folder;
    std::ofstream(folder / "text.h5") << "no HDF5\n";
    REQUIRE(run_holdwater(folder, "sweep " + demo("saltbush-livestock") +
                                      " --vary 'battery.capacity=5 kWh' --out table.h5")
                .exit_code == 0);
    REQUIRE(run_holdwater(folder, "simulate --years 0 " + demo("saltbush-livestock") + " --days 3 --out a.h5")
                .exit_code == 0);
    run_shell(folder, "head -c 20000 a.h5 > half.h5");
    run_shell(folder, "cp a.h5 byte.h5; printf '\\0125' | dd of=byte.h5 bs=1 seek=30000 conv=notrunc");
    REQUIRE(file_text(folder / "byte.h5") != file_text(folder / "a.h5"));
    REQUIRE(run_holdwater(folder, "compare --years 0 " + demo("thorn-gully-options") + " --out compared.h5")
                .exit_code == 0);
    struct Row {
        std::string arguments, message;
    };
    for (auto const& [arguments, message] : std::initializer_list<Row>{
             {"--from-result nowhere.h5", "nowhere.h5: there is no such file"},
             {"--from-result .", ".: there is no such file"},
             {"--from-result text.h5", "text.h5: cannot be read as a result of \"simulate\""},
             {"--from-result half.h5", "half.h5: cannot be read as a result of \"simulate\""},
             {"--from-result byte.h5",
              "byte.h5: cannot be read as a result of \"simulate\" (another file, or damaged"},
             {"--from-result table.h5", "table.h5: does not hold the weather it was run with"},
             {"--from-result compared.h5", "compared.h5: "},
             {"--from-result a.h5 --days 3", "--from-result"},
             {"", "SCENARIO (a scenario file), or --from-result FILE"},
             {demo("saltbush-livestock") + " --out text.h5",
              "text.h5: is there already and is not a result of simulate"},
         }) {
        CAPTURE(arguments);
        auto const run = run_holdwater(folder, "simulate " + arguments);
        CHECK(run.exit_code == 2);
        CHECK(run.out == "");
        std::string const err = run.err;
        CAPTURE(err);
        CHECK(err.find(message) != std::string::npos);
    }
    CHECK(file_text(folder / "text.h5") == "no HDF5\n");
}

// A meter's file beside the scenario, a fuel table and an outage list: gone before the run is repeated.
TEST_CASE("a run on a measured demand is repeated from its result when the meter's file is gone") {
    ScratchFolder folder;
    run_shell(folder, "cp -r '" + scenarios_folder + "' designs");
    std::string meter = "time,gal\n";
    for (int day = 1; day <= 14; ++day)
        for (int hour = 0; hour < 24; ++hour)
            meter += "2024-03-" + std::string(day < 10 ? "0" : "") + std::to_string(day) + " " +
                     (hour < 10 ? "0" : "") + std::to_string(hour) + ":00," +
                     std::to_string(day * (hour >= 6 && hour < 22 ? 2 : 0)) + "\n";
    std::ofstream(folder / "designs/meter.csv") << meter;
    auto text = file_text(folder / "designs/juniper-bend-household.toml");
    auto const at = text.find("[demand]");
    auto const end = text.find("\n[", at + 1);
    text = text.substr(0, at) +
           "[demand.series]\nfile = \"meter.csv\"\ntime = \"time\"\nvolume = \"gal\"\n"
           "volume_unit = \"gal\"\nrepeat = \"weeks\"\n" +
           (end == text.npos ? "" : text.substr(end));
    std::ofstream(folder / "designs/measured.toml") << text;
    auto const run =
        run_holdwater(folder, "simulate --years 0 designs/measured.toml --json --out measured.h5");
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    CHECK(run.err.find("the others repeat its 2 whole weeks") != std::string::npos);
    // Days 1 to 14 have 32 gal times their number: 240 gal a day on average of a fortnight.
    auto const wanted_gal = nlohmann::json::parse(run.out)["water_demand_m3"].get<double>() / 3.785411784e-3;
    CHECK(wanted_gal > 0.98 * 365 * 240);
    CHECK(wanted_gal < 1.02 * 365 * 240);
    // Measured use times a multiplier, and once only when the stored series is run again.
    auto more = text;
    more.replace(more.find("[demand.series]"), 0, "[demand]\nmultiplier = 1.3\n");
    std::ofstream(folder / "designs/more.toml") << more;
    auto const third = run_holdwater(folder, "simulate --years 0 designs/more.toml --json --out more.h5");
    CAPTURE(third.err);
    REQUIRE(third.exit_code == 0);
    CHECK(nlohmann::json::parse(third.out)["water_demand_m3"].get<double>() / 3.785411784e-3 ==
          Near{1.3 * wanted_gal, 1e-9, 0});
    CHECK(run_holdwater(folder, "simulate --from-result more.h5").exit_code == 0);
    for (std::string const command :
         {"autonomy --period designs/measured.toml --days 3 --start 12-15",
          "autonomy designs/measured.toml --every 90 --years 0", "check designs/measured.toml"}) {
        CAPTURE(command);
        auto const other = run_holdwater(folder, command);
        CAPTURE(other.err);
        CHECK(other.exit_code <= 1);
    }
    run_shell(folder, "rm -r designs");
    auto const again = run_holdwater(folder, "simulate --from-result measured.h5 --out again.h5");
    CAPTURE(again.err);
    CHECK(again.exit_code == 0);
    CHECK(again.out.find("IDENTICAL") != std::string::npos);
    CHECK(run_holdwater(folder, "simulate --from-result again.h5 --out third.h5").out.find("IDENTICAL") !=
          std::string::npos);
}

TEST_SUITE_END();
