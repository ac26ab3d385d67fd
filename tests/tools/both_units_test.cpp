#include "tools/report/both_units.hpp"

#include <doctest/doctest.h>

#include <stdexcept>

using namespace holdwater;
using tools::in_both_units;

namespace {

sim::Check named(char const* name, char const* title) {
    sim::Check c;
    c.name = name, c.title = title;
    return c;
}

}  // namespace

TEST_SUITE_BEGIN("tools/both_units");

TEST_CASE("what is alike stands once, what differs stands in both units") {
    struct Row {
        char const *metric, *us, *both;
    };
    for (auto const& [metric, us, both] : {
             Row{"at least 60 s", "at least 60 s", "at least 60 s"},
             {"2.62 bar", "38 psi", "2.62 bar (38 psi)"},
             {"Pump 38 L/min at cut-in.", "Pump 10 gpm at cut-in.", "Pump 38 L/min (10 gpm) at cut-in."},
             {"Drawdown 20 L per cycle, of a tank of 80 L.",
              "Drawdown 5.3 gal per cycle, of a tank of 21 gal.",
              "Drawdown 20 L (5.3 gal) per cycle, of a tank of 80 L (21 gal)."},
             {"34.1-37.9 L/min", "9-10 gpm", "34.1-37.9 L/min (9-10 gpm)"},
             {"4.2 %, 91 m", "4.2 %, 299 ft", "4.2 %, 91 m (299 ft)"},
             {"30 m of 25 mm bore, roughness 0.0015 mm; 3 m",
              "98 ft of 0.98 in bore, roughness 0.00006 in; 10 ft",
              "30 m (98 ft) of 25 mm (0.98 in) bore, roughness 0.0015 mm (0.00006 in); 3 m (10 ft)"},
             // The same figure in front of two units is not the same.
             {"at 0 m and 5 A", "at 0 ft and 5 A", "at 0 m (0 ft) and 5 A"},
         }) {
        CAPTURE(std::string(metric));
        CHECK(in_both_units(metric, us) == both);
    }
}

TEST_CASE("checks are paired by name, those of several pumps in their order") {
    std::vector<sim::Check> const metric{named("a", "A"), named("p", "P, well pump"),
                                         named("p", "P, booster"), named("b", "B")};
    std::vector<sim::Check> const us{named("b", "B"), named("p", "P, well pump"), named("a", "A"),
                                     named("p", "P, booster")};
    auto const pairs = tools::paired_by_name(metric, us);
    REQUIRE(pairs.size() == 4);
    CHECK(pairs[0] == &us[2]);
    CHECK(pairs[1] == &us[1]);
    CHECK(pairs[2] == &us[3]);
    CHECK(pairs[3] == &us[0]);
}

TEST_CASE("a check without its partner is an error that names it, not a text left out") {
    std::vector<sim::Check> const two{named("a", "A"), named("b", "B")};
    auto const says = [](std::vector<sim::Check> const& metric, std::vector<sim::Check> const& us) {
        try {
            static_cast<void>(tools::paired_by_name(metric, us));
        } catch (std::logic_error const& e) {
            return std::string(e.what());
        }
        return std::string("no error");
    };
    CHECK(says(two, {named("a", "A")}) == "the check b (B) is not among the checks in US units");
    CHECK(says(two, {named("a", "A"), named("b", "another")}) ==
          "the check b (B) is not among the checks in US units");
    CHECK(says({named("a", "A")}, two) == "1 checks in metric units, 2 in US units");
    CHECK(says(two, two) == "no error");
}

TEST_SUITE_END();
