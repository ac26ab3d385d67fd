#include "sim/designs/reliability_curves.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;

TEST_SUITE_BEGIN("sim/reliability_curves");

// Falling, convex, not crossing: the shape of the curves of Egido & Lorenzo 1992 (from memory).
TEST_CASE("curves of equal availability fall, are convex and do not cross") {
    for (std::string const name : {"juniper-bend-household", "tamarack-gulch-lithium"}) {
        CAPTURE(name);
        auto const scenario = scenarios::base_design(scenarios::read_design_file(
                                                         HOLDWATER_SOURCE "/scenarios/" + name + ".toml"))
                                  .scenario;
        auto const year = scenarios::read_scenario_weather(scenario);
        sim::DrawOptions options;
        options.years = 12;
        auto const curves = sim::reliability_curves({scenario, &year}, options);
        REQUIRE(curves.size() == 3);
        for (auto const& curve : curves) {
            CAPTURE(curve.availability);
            auto const& p = curve.points;
            REQUIRE(p.size() >= 3);
            for (std::size_t i = 1; i < p.size(); ++i) {
                CHECK(p[i].array_ratio > p[i - 1].array_ratio);
                CHECK(p[i].storage_ratio_d < p[i - 1].storage_ratio_d);
            }
            for (std::size_t i = 1; i + 1 < p.size(); ++i) {
                double const share =
                    (p[i].array_ratio - p[i - 1].array_ratio) / (p[i + 1].array_ratio - p[i - 1].array_ratio);
                double const chord =
                    p[i - 1].storage_ratio_d + share * (p[i + 1].storage_ratio_d - p[i - 1].storage_ratio_d);
                CHECK(p[i].storage_ratio_d <= chord);
            }
        }
        // A higher availability wants more battery with the same array.
        for (std::size_t c = 1; c < curves.size(); ++c)
            for (auto const& more : curves[c].points)
                for (auto const& less : curves[c - 1].points)
                    if (less.array_factor == more.array_factor)
                        CHECK(more.storage_ratio_d > less.storage_ratio_d);
    }
}

TEST_SUITE_END();
