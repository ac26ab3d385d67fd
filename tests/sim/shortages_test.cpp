#include "sim/year/shortages.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/random_water.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::LimitReason, test::Draw, test::Near;

namespace {

sim::HourRecord hour(double demand_m3, double short_m3, LimitReason reason = LimitReason::none) {
    sim::HourRecord r;
    r.water_demand_m3 = demand_m3;
    r.water_short_m3 = short_m3;
    r.water_short_reason = static_cast<double>(reason);
    return r;
}

}  // namespace

TEST_SUITE_BEGIN("sim/shortages");

// By hand: hours 100 to 108; an hour without demand does not end a shortage, an hour that was served does.
TEST_CASE("shortages of nine hours, by hand") {
    sim::RunResult result;
    result.clock = {100, 9};
    result.hours = {hour(0.1, 0),
                    hour(0.1, 0.02, LimitReason::well_dry),
                    hour(0, 0),
                    hour(0.2, 0.05, LimitReason::battery_empty),
                    hour(0, 0),
                    hour(0.1, 0),
                    hour(0.1, 0.01, LimitReason::well_dry),
                    hour(0.1, 0),
                    hour(0.3, 0.04, LimitReason::pump_flow)};
    auto const list = sim::shortages(result);
    REQUIRE(list.size() == 3);
    CHECK(list[0].first_hour == 101);
    CHECK(list[0].hours == 3);
    CHECK(list[0].short_hours == 2);
    CHECK(list[0].water_short_m3 == Near{0.07, 1e-12, 0});
    CHECK(list[0].reason == LimitReason::battery_empty);
    CHECK(list[1].first_hour == 106);
    CHECK(list[1].hours == 1);
    CHECK(list[2].first_hour == 108);
    CHECK(list[2].reason == LimitReason::pump_flow);

    auto const causes = sim::shortage_causes(result);
    REQUIRE(causes.size() == 3);
    CHECK(causes[0].reason == LimitReason::battery_empty);
    CHECK(causes[1].reason == LimitReason::pump_flow);
    CHECK(causes[2].reason == LimitReason::well_dry);
    CHECK(causes[2].hours == 2);
    CHECK(causes[2].water_short_m3 == Near{0.03, 1e-12, 0});
}

TEST_CASE("small loads not served: hours and energy by cause, the most energy first") {
    sim::RunResult result;
    for (auto const& [kwh, reason] : {std::pair{0.1, LimitReason::load_shed},
                                      {0.0, LimitReason::none},
                                      {0.5, LimitReason::battery_empty},
                                      {0.2, LimitReason::load_shed}}) {
        sim::HourRecord r;
        r.load_unserved_kw = kwh;
        r.load_unserved_reason = static_cast<double>(reason);
        result.hours.push_back(r);
    }
    auto const causes = sim::load_causes(result);
    REQUIRE(causes.size() == 2);
    CHECK(causes[0].reason == LimitReason::battery_empty);
    CHECK(causes[0].hours == 1);
    CHECK(causes[0].unserved_kwh == 0.5);
    CHECK(causes[1].reason == LimitReason::load_shed);
    CHECK(causes[1].hours == 2);
    CHECK(causes[1].unserved_kwh == Near{0.3, 1e-12, 0});
}

TEST_CASE("shortages add up to the summary, and each has a cause; so do small loads that are not served") {
    constexpr int hours = 24 * 30;
    double found = 0, causes_found = 0, load_causes_found = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 400);
        auto system = test::random_wet_system(draw);
        auto inputs = test::random_wet_inputs(draw, system, hours);
        if (seed % 2 == 0) test::add_supply_features(draw, system, inputs, hours);
        auto const result = sim::simulate(system, inputs, {0, hours});
        auto const list = sim::shortages(result);
        double short_hours = 0, longest_h = 0, water_m3 = 0, cause_hours = 0, cause_m3 = 0;
        for (auto const& s : list) {
            short_hours += s.short_hours;
            longest_h = std::max(longest_h, s.hours);
            water_m3 += s.water_short_m3;
            CHECK((s.reason != LimitReason::none || s.water_short_m3 < 1e-6));
        }
        for (auto const& c : sim::shortage_causes(result)) {
            cause_hours += c.hours;
            cause_m3 += c.water_short_m3;
            causes_found += 1;
        }
        double unserved_kwh = 0;
        for (auto const& c : sim::load_causes(result)) {
            unserved_kwh += c.unserved_kwh;
            load_causes_found += 1;
            CHECK(c.reason != LimitReason::none);
            CHECK(c.hours > 0);
        }
        CHECK(unserved_kwh == Near{result.summary.load_unserved_kwh, 1e-3, 1e-9});
        CHECK(short_hours == result.summary.shortage_hours);
        CHECK(cause_hours == result.summary.shortage_hours);
        CHECK(longest_h == result.summary.longest_shortage_h);
        CHECK(water_m3 == Near{result.summary.water_short_m3, 1e-6, 1e-9});
        CHECK(cause_m3 == Near{water_m3, 1e-9, 1e-9});
        found += static_cast<double>(list.size());
    }
    CHECK(found > 500);
    CHECK(causes_found > 100);
    CHECK(load_causes_found > 50);
}

TEST_SUITE_END();
