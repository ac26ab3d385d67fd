#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::CheckScenario;

namespace {

CheckScenario ranch(std::string const& cistern, std::string const& trough) {
    CheckScenario s;
    s.set("tank", "");
    s.set(
        "cistern",
        "[cistern]\ncapacity = \"6 m3\"\nfloor_elevation = \"20 m\"\noutlet_elevation = \"0 m\"\n" + cistern);
    s.set("demand", "[[use]]\nname = \"cows\"\nkind = \"livestock\"\nheads = 20\nanimal = \"horse\"");
    s.set("trough", "[trough]\nfull = \"2 m3\"\nopen = \"1 m3\"\nfloat_flow = \"20 L/min\"\n" + trough);
    return s;
}

std::string ranch_error(std::string const& cistern, std::string const& trough) {
    try {
        (void)ranch(cistern, trough).read();
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/fill_hours");

TEST_CASE("hours and SOC at which cistern and trough are filled") {
    auto const s = ranch("fill_rule = \"surplus-only\"\nfill_from = 10\nfill_until = 15",
                         "fill_from = 22\nfill_until = 4\nfill_battery_above = 0.9")
                       .read();
    CHECK(s.cistern->fill_hours == models::DailyHours{10, 15});
    CHECK(s.trough->fill_hours.has(23));
    CHECK(s.trough->fill_hours.has(3.9));
    CHECK(!s.trough->fill_hours.has(4));
    CHECK(s.trough->fill_battery_above == 0.9);
    CHECK(s.trough->fill_band_m3 == Near{0.5, 1e-12, 0});
    auto const plain = ranch("", "").read();
    CHECK(!plain.cistern->fill_hours.has(12));
    CHECK(std::isinf(plain.trough->fill_battery_above));
    CHECK(models::DailyHours{0, 24}.has(12));
}

TEST_CASE("what cannot be is refused with its key and what is accepted") {
    struct Row {
        std::string cistern, trough, key, reason;
    };
    for (auto const& r : std::vector<Row>{
             {"fill_from = 10\nfill_until = 15", "", "cistern.fill_from", "changes nothing with fill_rule"},
             {"fill_rule = \"surplus-only\"", "", "cistern.fill_rule", "fill_from and fill_until"},
             {"fill_rule = \"surplus-only\"\nfill_from = 10", "", "cistern.fill_from", "such as 10 and 15"},
             {"fill_rule = \"surplus-only\"\nfill_from = 10\nfill_until = 10", "", "cistern.fill_until",
              "same as fill_from"},
             {"", "fill_band = \"0.2 m3\"", "trough.fill_band", "needs fill_battery_above"},
             {"", "fill_until = 12", "trough.fill_until", "such as 10 and 15"}}) {
        CAPTURE(r.cistern);
        CAPTURE(r.trough);
        std::string const error = ranch_error(r.cistern, r.trough);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

TEST_SUITE_END();
