#include "sim/batch.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <list>
#include <string>

#include "scenarios/scenario.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;
using test::Draw, test::random_system, test::random_inputs, test::add_supply_features;

namespace {

struct Fleet {
    std::list<sim::System> systems;
    std::list<sim::HourlyInputs> inputs;
    std::vector<sim::BatchJob> jobs;

    void add(sim::System s, sim::HourlyInputs const& in) {
        systems.push_back(std::move(s));
        jobs.push_back({&systems.back(), &in});
    }
};

// Ten designs on each water side and demand: five of plain parts, four with what the supply side can do
// beyond that, loads and sun of their own with it, and one whose bank alone differs from the first.
void add_family(Fleet& fleet, std::uint64_t seed, int hours) {
    Draw draw(seed);
    auto const first = random_system(draw);
    auto const& in = fleet.inputs.emplace_back(random_inputs(draw, hours));
    fleet.add(first, in);
    for (int i = 1; i < 10; ++i) {
        auto s = random_system(draw);
        static_cast<sim::WaterSystem&>(s) = first;
        if (i < 5) {
            fleet.add(std::move(s), in);
        } else if (i < 9) {
            auto featured = in;
            add_supply_features(draw, s, featured, hours);
            fleet.inputs.push_back(std::move(featured));
            fleet.add(std::move(s), fleet.inputs.back());
        } else {
            s = first;
            s.bank.capacity_kwh *= 1.5;
            fleet.add(std::move(s), in);
        }
    }
    // Water sides that lanes do not carry.
    if (seed % 10 == 0) {
        auto s = first;
        s.trough = models::TroughParameters{1, 0.15, 0.2e-3};
        fleet.add(std::move(s), in);
    }
}

Fleet random_fleet(std::uint64_t families, int hours) {
    Fleet fleet;
    for (std::uint64_t seed = 1; seed <= families; ++seed) add_family(fleet, seed, hours);
    return fleet;
}

int differing_bits(sim::BatchRun const& a, sim::BatchRun const& b) {
    int different = 0;
    for (std::size_t i = 0; i < a.years.size(); ++i)
        for (auto const& f : sim::summary_fields())
            different += a.years[i].summary.*f.value != b.years[i].summary.*f.value;
    return different;
}

}  // namespace

TEST_SUITE_BEGIN("sim/batch");

// The batch engine is the single run, faster: every figure of the summary within 1e-9 of it. Figures that are
// nothing but rounding (residuals, water missing by 1e-15) are held within 1e-9 of their unit.
TEST_CASE("a batch gives every summary figure of the single runs, over 1000 seeded designs") {
    constexpr int hours = 24 * 15;
    auto const fleet = random_fleet(100, hours);
    auto const batch = sim::run_batch(fleet.jobs, {0, hours});
    REQUIRE(batch.years.size() == fleet.jobs.size());
    REQUIRE(fleet.jobs.size() >= 1000);
    std::size_t in_lanes = 0, wrong = 0;
    for (std::size_t i = 0; i < fleet.jobs.size(); ++i) {
        auto const single = sim::simulate(*fleet.jobs[i].system, *fleet.jobs[i].inputs, {0, hours});
        CAPTURE(i);
        CHECK(batch.years[i].problem == "");
        in_lanes += batch.years[i].in_lanes;
        for (auto const& f : sim::summary_fields()) {
            if (f.name == "wall_time_s") continue;
            double const a = single.summary.*f.value, b = batch.years[i].summary.*f.value;
            if (std::abs(a - b) <= 1e-9 * std::abs(a) + 1e-9) continue;
            if (++wrong > 20) continue;
            CAPTURE(std::string(f.name));
            CHECK(a == b);
        }
    }
    CHECK(wrong == 0);
    CHECK(in_lanes == batch.in_lanes);
    CHECK(batch.alone == fleet.jobs.size() - in_lanes);
    // Both ways have to be taken for the comparison to say something.
    CHECK(in_lanes > 500);
    CHECK(batch.alone > 100);
    CHECK(batch.alone_share > 0.01);
    CHECK(batch.alone_share < 0.9);
    MESSAGE(in_lanes, " in lanes, ", batch.alone, " alone; ", batch.alone_share, " of the hours alone");
}

// A whole year of the sizing sweep that tests/bench measures: a pump that a transfer broke off finds back to
// the shared water year many times.
TEST_CASE("a batch gives every summary figure of the single runs over a year of the household demo") {
    auto const scenario =
        scenarios::read_scenario(std::string(HOLDWATER_SOURCE) + "/scenarios/juniper-bend-household.toml");
    Fleet fleet;
    auto const& in =
        fleet.inputs.emplace_back(sim::make_inputs(scenario, weather::read_weather(scenario.weather_path)));
    auto const system = sim::make_system(scenario);
    for (auto const kind : {models::BatteryKind::energy_bucket, models::BatteryKind::two_well})
        for (int i = 0; i < 12; ++i) {
            auto s = system;
            s.bank_behaviour.kind = kind;
            s.bank.capacity_kwh = 5 + i;
            s.bank.charge_limit_kw = 0.5 * s.bank.capacity_kwh;
            s.rules.transfer_below = 0.2 + 0.05 * (i % 4);
            fleet.add(std::move(s), in);
        }
    auto const batch = sim::run_batch(fleet.jobs, {});
    CHECK(batch.in_lanes == fleet.jobs.size());
    double transfers = 0;
    for (std::size_t i = 0; i < fleet.jobs.size(); ++i) {
        auto const single = sim::simulate(*fleet.jobs[i].system, in, {});
        transfers += single.summary.transfers;
        for (auto const& f : sim::summary_fields()) {
            if (f.name == "wall_time_s") continue;
            CAPTURE(i);
            CAPTURE(std::string(f.name));
            CHECK(batch.years[i].summary.*f.value == test::Near{single.summary.*f.value, 1e-9, 1e-9});
        }
    }
    CHECK(transfers > 100);
}

TEST_CASE("a batch is the same bits on any processor, with any number of threads") {
    constexpr int hours = 24 * 15;
    auto const fleet = random_fleet(12, hours);
    auto const batch = sim::run_batch(fleet.jobs, {0, hours});
    CHECK(differing_bits(batch, sim::run_batch(fleet.jobs, {0, hours}, {.threads = 1})) == 0);
    CHECK(differing_bits(batch, sim::run_batch(fleet.jobs, {0, hours}, {.threads = 2})) == 0);
    CHECK(differing_bits(batch, sim::run_batch(fleet.jobs, {0, hours}, {.portable = true})) == 0);
}

TEST_CASE("a job with bad inputs keeps its own problem to itself; a lone job is run alone") {
    auto fleet = random_fleet(1, 48);
    auto bad = fleet.inputs.front();
    bad.load_w[7] = std::numeric_limits<double>::infinity();
    fleet.inputs.push_back(bad);
    fleet.add(fleet.systems.front(), fleet.inputs.back());
    auto const batch = sim::run_batch(fleet.jobs, {0, 48});
    CHECK(batch.years.back().problem == "load_w = inf (must be finite and not negative in every hour)");
    CHECK(batch.years.front().problem == "");
    CHECK(batch.years.front().summary.water_demand_m3 > 0);
    auto const lone = sim::run_batch(std::span(fleet.jobs).first(1), {0, 48});
    CHECK(lone.alone == 1);
    CHECK(lone.in_lanes == 0);
    CHECK(lone.years.front().summary.water_demand_m3 == batch.years.front().summary.water_demand_m3);
    CHECK(sim::run_batch({}, {}).years.empty());
}

TEST_SUITE_END();
