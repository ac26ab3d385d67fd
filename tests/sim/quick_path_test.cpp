#include "sim/year/quick_path.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "models/water/pump_cycle.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Draw, test::random_inputs, test::random_system;

namespace {

// A run that says which hours were quick.
struct Run {
    Run(sim::System const& system, sim::CheckedInputs const& inputs, sim::Clock const& year)
        : clock(year),
          water(system, events),
          supply(system, events),
          loads(inputs),
          quick(system, inputs, year, water, supply, loads) {}

    void hours(bool coupled_only) {
        for (int hour = 0; hour < clock.hours; ++hour) {
            sim::HourRecord& r = records.emplace_back();
            if (!coupled_only && quick.go(hour, r)) {
                ++quick_hours;
                starts += r.pump_starts;
            } else if (!coupled_only && quick.go_on_backup(hour, r)) {
                ++on_backup;
            } else {
                quick.go_coupled(hour, r);
            }
        }
    }

    sim::Clock const& clock;
    std::vector<sim::Event> events;
    sim::WaterSide water;
    sim::SupplySide supply;
    sim::LoadShedding loads;
    sim::QuickPath quick;
    std::vector<sim::HourRecord> records;
    int quick_hours = 0, on_backup = 0;
    double starts = 0;
};

}  // namespace

TEST_SUITE_BEGIN("sim/quick_path");

TEST_CASE("a quick hour is the hour taken step by step") {
    sim::Clock const clock{0, 24 * 30};
    int quick_hours = 0, on_backup = 0;
    double starts = 0;
    for (std::uint64_t seed = 1; seed <= 120; ++seed) {
        CAPTURE(seed);
        Draw draw(seed + 900);
        auto system = random_system(draw);
        // Even pump power and no energy of starts: both are taken at their mean over a step, and a battery
        // that fills up cuts the steps of a coupled hour only.
        for (auto& node : system.fill.nodes) node.power_w = 1000;
        system.fill =
            models::fill_curve_from_nodes(system.fill.nodes, system.fill.cut_in_m3, system.fill.cut_out_m3);
        system.motor.start_extra_j = 0;
        sim::CheckedInputs const inputs(random_inputs(draw, clock.hours));
        Run quick(system, inputs, clock), coupled(system, inputs, clock);
        quick.hours(false);
        coupled.hours(true);
        for (auto const& field : sim::series_fields()) {
            if (field.name == "limit_reason") continue;
            double quick_sum = 0, coupled_sum = 0;
            for (sim::HourRecord const& r : quick.records) quick_sum += r.*field.value;
            for (sim::HourRecord const& r : coupled.records) coupled_sum += r.*field.value;
            CAPTURE(std::string(field.name));
            CHECK(quick_sum == test::Near{coupled_sum, 1e-7, 1e-9});
        }
        CHECK(quick.water.pump().start_times_s().size() == coupled.water.pump().start_times_s().size());
        CHECK(quick.supply.soc_min() == test::Near{coupled.supply.soc_min(), 1e-9, 1e-9});
        CHECK(quick.events.size() == coupled.events.size());
        quick_hours += quick.quick_hours;
        on_backup += quick.on_backup;
        starts += quick.starts;
    }
    // Hours of both kinds, with a pump at work.
    CHECK(quick_hours > 10000);
    CHECK(on_backup > 1000);
    CHECK(starts > 1000);
}

TEST_SUITE_END();
