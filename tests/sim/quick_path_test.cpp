#include "sim/year/quick_path.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstring>
#include <vector>

#include "tests/sim/random_system.hpp"

using namespace holdwater;
using test::Draw, test::random_inputs, test::random_system;

namespace {

// A run that offers so many hours on end to the quick path before it takes them one by one.
struct Run {
    Run(sim::System const& system, sim::HourlyInputs const& inputs, sim::Clock const& year)
        : clock(year),
          water(system, events),
          supply(system, events),
          loads(inputs),
          quick(system, inputs, year, water, supply, loads, sim::peaks_of(inputs)) {}

    std::vector<sim::HourRecord> hours(int at_once) {
        std::vector<sim::HourRecord> records(static_cast<std::size_t>(clock.hours));
        for (int i = 0; i < clock.hours; i += at_once) {
            auto const block = std::span(records).subspan(
                static_cast<std::size_t>(i), static_cast<std::size_t>(std::min(at_once, clock.hours - i)));
            if (quick.go(i, block)) {
                ++together;
                continue;
            }
            ++apart;
            for (int hour = i; sim::HourRecord & r : block) quick.go_through(hour++, {&r, 1});
        }
        return records;
    }

    sim::Clock const& clock;
    std::vector<sim::Event> events;
    sim::WaterSide water;
    sim::SupplySide supply;
    sim::LoadShedding loads;
    sim::QuickPath quick;
    int together = 0, apart = 0;
};

}  // namespace

TEST_SUITE_BEGIN("sim/quick_path");

TEST_CASE("hours taken together are the hours taken one by one, to the bit") {
    sim::Clock const clock{0, 24 * 30};
    int together = 0, apart = 0, starts = 0;
    for (std::uint64_t seed = 1; seed <= 120; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 900);
        auto const system = random_system(draw);
        auto const inputs = random_inputs(draw, clock.hours);
        Run one(system, inputs, clock);
        auto const alone = one.hours(1);
        for (int const at_once : {sim::hours_at_once, 7, 24}) {
            CAPTURE(at_once);
            Run run(system, inputs, clock);
            auto const records = run.hours(at_once);
            CHECK(std::memcmp(records.data(), alone.data(), alone.size() * sizeof(sim::HourRecord)) == 0);
            CHECK(run.water.pump().start_times_s() == one.water.pump().start_times_s());
            CHECK(run.supply.soc_min() == one.supply.soc_min());
            CHECK(run.events.size() == one.events.size());
            together += run.together;
            apart += run.apart;
        }
        starts += static_cast<int>(one.water.pump().start_times_s().size());
    }
    // Hours of both kinds, with a pump at work.
    CHECK(together > 1000);
    CHECK(apart > 1000);
    CHECK(starts > 1000);
}

TEST_SUITE_END();
