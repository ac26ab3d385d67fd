#include "sim/batch/batch.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <functional>
#include <limits>
#include <list>
#include <numeric>
#include <string>

#include "models/numeric/lanes.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/random_water.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;
using test::Draw, test::random_system, test::random_inputs, test::add_supply_features,
    test::random_wet_system, test::random_wet_inputs;

namespace {

struct Fleet {
    std::list<sim::System> systems;
    std::list<sim::CheckedInputs> inputs;
    std::vector<sim::BatchJob> jobs;

    void add(sim::System s, sim::CheckedInputs const& in) {
        systems.push_back(std::move(s));
        jobs.push_back({&systems.back(), &in});
    }
};

// Limits and lives that the run is held against.
void add_things_to_find(Draw& draw, sim::System& s) {
    s.motor.starts_limit_per_day = draw(5, 60);
    s.motor.least_run_s = draw(10, 200);
    s.motor.running_a = draw(4, 10);
    s.motor.start_a = draw(3, 6) * s.motor.running_a;
    s.motor.start_s = draw(0.2, 1);
}
void add_battery_life(Draw& draw, sim::System& s) {
    if (draw.coin()) s.battery_life.cycle_life = models::CycleLife{draw(500, 3000), draw(0.8, 1.4)};
    if (draw.coin()) s.battery_life.calendar_life_y = draw(3, 20);
    if (draw.coin()) s.battery_life.throughput_life_kwh = draw(1e3, 3e4);
    if (draw.coin()) s.battery_life.combination = models::LifeCombination::additive;
}

// What the year before has left, including an aged battery.
void go_on_from_a_year(Draw& draw, sim::System& s) {
    auto const& b = s.battery_behavior;
    models::BatteryParameters const battery{b.store, s.battery};
    s.battery.capacity_kwh *= draw(0.7, 1);
    s.carried_supply = sim::CarriedSupply{.battery = models::at_soc(battery, draw(s.battery.min_soc, 0.7)),
                                          .battery_c = draw(-5, 30),
                                          .fuel_l = draw(0, 20)};
    s.carried_water = sim::CarriedWater{.tank_m3 = 0.5 * (s.fill.cut_in_m3 + s.fill.cut_out_m3),
                                        .cistern_m3 = s.cistern ? s.cistern->start_m3 : 0,
                                        .trough_m3 = s.trough ? 0.5 * s.trough->full_m3 : 0};
}

models::PumpGate random_gate(Draw& draw) {
    models::PumpGate gate;
    if (draw.coin()) gate = {.from_h = draw(0, 12), .until_h = draw(12, 24)};
    if (draw.coin()) gate.battery_above = draw(0.2, 0.9);
    if (draw.coin()) gate.surplus_above_w = draw(0, 2000);
    return gate;
}

void leave_what_lanes_carry(sim::System& s, sim::HourlyInputs& in) {
    s.battery_behavior.store.acceptance_per_h = std::numeric_limits<double>::infinity();
    s.battery_behavior.thermal.reset();
    s.inverter.search_wake_w = 0;
    s.rules.grid_first = false;  // a tariff, if there is one, then only has prices
    in.heated.clear();           // its heater is a load like others
}

// Eleven designs a family. Seven share a water side and a demand: five of plain parts, one whose battery
// alone differs from the first, one with what the supply side can do beyond that; two more have loads and sun
// of their own with it. Two have everything a water side can be, and rules for its pump.
void add_family(Fleet& fleet, std::uint64_t seed, int hours) {
    Draw draw(seed);
    auto first = random_system(draw);
    add_things_to_find(draw, first);
    if (draw.coin()) first.motor.min_rest_s = draw(5, 900);
    auto const& in = fleet.inputs.emplace_back(draw.coin() ? random_wet_inputs(draw, first, hours)
                                                           : random_inputs(draw, hours));
    fleet.add(first, in);
    for (int i = 1; i < 9; ++i) {
        auto s = random_system(draw);
        static_cast<sim::WaterSystem&>(s) = first;
        add_battery_life(draw, s);
        if (i < 5) {
            fleet.add(std::move(s), in);
        } else if (i < 8) {
            sim::HourlyInputs featured = in;
            add_supply_features(draw, s, featured, hours);
            if (i < 7) leave_what_lanes_carry(s, featured);
            fleet.inputs.emplace_back(std::move(featured));
            fleet.add(std::move(s), fleet.inputs.back());
        } else {
            s = first;
            s.battery.capacity_kwh *= 1.5;
            fleet.add(std::move(s), in);
        }
    }
    for (int i = 0; i < 2; ++i) {
        auto s = random_wet_system(draw);
        add_things_to_find(draw, s);
        add_battery_life(draw, s);
        auto wet = random_wet_inputs(draw, s, hours);
        if (draw.coin()) add_supply_features(draw, s, wet, hours);
        if (draw.coin()) s.pump_gate = random_gate(draw);
        if (draw.coin()) go_on_from_a_year(draw, s);
        fleet.inputs.emplace_back(std::move(wet));
        fleet.add(std::move(s), fleet.inputs.back());
    }
}

Fleet random_fleet(std::uint64_t families, int hours) {
    Fleet fleet;
    for (std::uint64_t seed = 1; seed <= families; ++seed) add_family(fleet, seed, hours);
    return fleet;
}

struct Feature {
    char const* name;
    std::function<bool(sim::System const&, sim::HourlyInputs const&)> in;
};
std::vector<Feature> const features{
    {"well", [](auto const& s, auto const&) { return s.well && s.well->casing; }},
    {"aquifer", [](auto const& s, auto const&) { return s.well && s.well->aquifer; }},
    {"cistern by gravity", [](auto const& s, auto const&) { return s.cistern && s.cistern->gravity; }},
    {"cistern with booster", [](auto const& s, auto const&) { return s.cistern && !s.cistern->gravity; }},
    {"trough", [](auto const& s, auto const&) { return s.trough.has_value(); }},
    {"drive", [](auto const& s, auto const&) { return s.constant_pressure; }},
    {"rest timer", [](auto const& s, auto const&) { return s.motor.min_rest_s > 0; }},
    {"several taps", [](auto const&, auto const& in) { return !in.draws.empty(); }},
    {"pump gate", [](auto const& s, auto const&) { return s.pump_gate.has_value(); }},
    {"pump gate by surplus",
     [](auto const& s, auto const&) { return s.pump_gate && std::isfinite(s.pump_gate->surplus_above_w); }},
    {"low-pressure cutoff", [](auto const& s, auto const&) { return s.cutoff.has_value(); }},
    {"cistern filled by the clock",
     [](auto const& s, auto const&) { return s.cistern && s.cistern->fill_hours.until > 0; }},
    {"trough with a second valve",
     [](auto const& s, auto const&) {
         return s.trough && (s.trough->fill_hours.until > 0 || std::isfinite(s.trough->fill_battery_above));
     }},
    {"goes on from a year", [](auto const& s, auto const&) { return s.carried_supply.has_value(); }},
    {"two wells", [](auto const& s,
                     auto const&) { return s.battery_behavior.store.kind == models::BatteryKind::two_well; }},
    {"taper",
     [](auto const& s, auto const&) { return std::isfinite(s.battery_behavior.store.acceptance_per_h); }},
    {"battery temperature",
     [](auto const& s, auto const&) { return s.battery_behavior.thermal.has_value(); }},
    {"battery voltage",
     [](auto const& s, auto const&) { return !s.battery_behavior.voltage.open_circuit.empty(); }},
    {"low-voltage transfer", [](auto const& s, auto const&) { return s.rules.transfer_below_v > 0; }},
    {"battery life", [](auto const& s, auto const&) { return s.battery_life.cycle_life.has_value(); }},
    {"generator", [](auto const& s, auto const&) { return s.generator.has_value(); }},
    {"quiet hours",
     [](auto const& s, auto const&) {
         return s.generator && s.generator_operation.run.quiet_from_h != s.generator_operation.run.quiet_to_h;
     }},
    {"top-up before quiet hours",
     [](auto const& s, auto const&) { return s.generator_operation.run.top_up_within_h > 0; }},
    {"grid with outages", [](auto const& s, auto const&) { return !s.outages.empty(); }},
    {"grid first", [](auto const& s, auto const&) { return s.rules.grid_first; }},
    {"outages known before", [](auto const& s, auto const&) { return s.rules.forewarned_h > 0; }},
    {"generator beside the grid", [](auto const& s, auto const&) { return s.rules.second.has_value(); }},
    {"tariff", [](auto const& s, auto const&) { return s.rules.tariff.has_value(); }},
    {"hours of bypass", [](auto const& s, auto const&) { return !s.rules.bypass.empty(); }},
    {"three phases", [](auto const& s, auto const&) { return s.inverter.legs == 3; }},
    {"transfer by hand", [](auto const& s, auto const&) { return s.rules.by_hand; }},
    {"transfer break", [](auto const& s, auto const&) { return s.rules.break_s > 0; }},
    {"motor start", [](auto const& s, auto const&) { return s.pump_start.apparent_kva > 0; }},
    {"overload trip", [](auto const& s, auto const&) { return s.rules.trip_on_overload; }},
    {"search mode", [](auto const& s, auto const&) { return s.inverter.search_wake_w > 0; }},
    {"shedding", [](auto const&, auto const& in) { return !in.shed_first.empty(); }},
    {"split phase", [](auto const&, auto const& in) { return !in.leg_imbalance_w.empty(); }},
    {"reactive loads", [](auto const&, auto const& in) { return !in.load_var.empty(); }},
    {"heated place", [](auto const&, auto const& in) { return !in.heated.empty(); }},
    {"tariff of prices only",
     [](auto const& s, auto const&) { return s.rules.tariff && !s.rules.grid_first; }},
    {"starting loads", [](auto const&, auto const& in) { return !in.load_start_va.empty(); }},
};

// Figures beyond 1e-9 of each other. Those that are nothing but rounding (residuals, water missing by 1e-15)
// are held within 1e-9 of their unit.
template <class Figures, class Fields>
void compare(Figures const& single, Figures const& batch, Fields const& fields, std::size_t job, int& wrong) {
    for (auto const& f : fields) {
        double const a = single.*f.value, b = batch.*f.value;
        if (f.name == "wall_time_s" || std::abs(a - b) <= 1e-9 * std::abs(a) + 1e-9) continue;
        if (++wrong > 20) continue;
        CAPTURE(job);
        CAPTURE(std::string(f.name));
        CHECK(a == b);
    }
}

// Figures that are not the same bits.
int differing_bits(sim::BatchYear const& a, sim::BatchYear const& b) {
    int different = a.in_lanes != b.in_lanes || a.problem != b.problem;
    auto const differ = [](double x, double y) {
        return std::bit_cast<std::uint64_t>(x) != std::bit_cast<std::uint64_t>(y);
    };
    for (auto const& f : sim::summary_fields()) different += differ(a.summary.*f.value, b.summary.*f.value);
    for (auto const& f : sim::finding_fields()) different += differ(a.findings.*f.value, b.findings.*f.value);
    return different;
}
int differing_bits(sim::BatchRun const& a, sim::BatchRun const& b) {
    int different = 0;
    for (std::size_t i = 0; i < a.years.size(); ++i) different += differing_bits(a.years[i], b.years[i]);
    return different;
}

}  // namespace

TEST_SUITE_BEGIN("sim/batch");

// The batch engine gives the results of the single run, only faster: every figure of summary and findings
// within 1e-9.
TEST_CASE("a batch gives every figure of the single runs, over 1000 seeded designs with every feature") {
    constexpr int hours = 24 * 15;
    auto const fleet = random_fleet(100, hours);
    auto const batch = sim::run_batch(fleet.jobs, {0, hours}, {.findings = true});
    REQUIRE(batch.years.size() == fleet.jobs.size());
    REQUIRE(fleet.jobs.size() >= 1000);
    std::vector<int> with(features.size()), in_lanes_with(features.size());
    std::size_t in_lanes = 0;
    int wrong = 0;
    for (std::size_t i = 0; i < fleet.jobs.size(); ++i) {
        auto const& job = fleet.jobs[i];
        auto const single = sim::simulate(*job.system, *job.inputs, {0, hours});
        CHECK(batch.years[i].problem == "");
        in_lanes += batch.years[i].in_lanes;
        CHECK(batch.years[i].alone_for.empty() == batch.years[i].in_lanes);
        compare(single.summary, batch.years[i].summary, sim::summary_fields(), i, wrong);
        compare(single.findings, batch.years[i].findings, sim::finding_fields(), i, wrong);
        for (std::size_t f = 0; f < features.size(); ++f) {
            if (!features[f].in(*job.system, *job.inputs)) continue;
            ++with[f];
            in_lanes_with[f] += batch.years[i].in_lanes;
        }
    }
    CHECK(wrong == 0);
    CHECK(in_lanes == batch.in_lanes);
    CHECK(batch.alone == fleet.jobs.size() - in_lanes);
    std::size_t for_a_reason = 0;
    for (auto const& [reason, jobs] : batch.alone_for) for_a_reason += jobs;
    CHECK(for_a_reason == batch.alone);
    // Both ways must be taken, with every feature, or the comparison proves nothing.
    CHECK(in_lanes > 500);
    CHECK(batch.alone > 100);
    CHECK(batch.alone_share > 0.01);
    CHECK(batch.alone_share < 0.9);
    std::string report = fmt::format("{} in lanes, {:.3f} of their hours alone; {} alone:", in_lanes,
                                     batch.alone_share, batch.alone);
    for (auto const& [reason, jobs] : batch.alone_for) report += fmt::format("\n  {} {}", jobs, reason);
    report += "\nwith (of those in lanes):";
    for (std::size_t f = 0; f < features.size(); ++f) {
        CAPTURE(std::string(features[f].name));
        CHECK(with[f] >= 20);
        report += fmt::format("\n  {} ({}) {}", with[f], in_lanes_with[f], features[f].name);
    }
    MESSAGE(report);
}

// A whole year of the sizing sweep that tests/bench measures: a pump that was interrupted by a transfer
// returns to the shared water year many times.
TEST_CASE("a batch gives every summary figure of the single runs over a year of the household demo") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    Fleet fleet;
    auto const& in =
        fleet.inputs.emplace_back(sim::make_inputs(scenario, weather::read_weather(scenario.weather_path)));
    auto const system = sim::make_system(scenario);
    for (auto const kind : {models::BatteryKind::energy_bucket, models::BatteryKind::two_well})
        for (int i = 0; i < 12; ++i) {
            auto s = system;
            s.battery_behavior.store.kind = kind;
            s.battery.capacity_kwh = 5 + i;
            s.battery.charge_limit_kw = 0.5 * s.battery.capacity_kwh;
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
    auto const batch = sim::run_batch(fleet.jobs, {0, hours}, {.findings = true});
    auto const again = [&](sim::BatchOptions options) {
        options.findings = true;
        return sim::run_batch(fleet.jobs, {0, hours}, options);
    };
    CHECK(differing_bits(batch, again({.threads = 1})) == 0);
    CHECK(differing_bits(batch, again({.threads = 2})) == 0);
    CHECK(differing_bits(batch, again({.threads = sim::BatchOptions::callers})) == 0);
    CHECK(differing_bits(batch, again({.portable = true})) == 0);
}

// A row of a sweep must not depend on which rows share its block.
TEST_CASE("a job's figures do not depend on its neighbors, to the bit") {
    constexpr int hours = 24 * 15;
    auto const fleet = random_fleet(20, hours);
    sim::BatchOptions const options{.findings = true};
    auto const batch = sim::run_batch(fleet.jobs, {0, hours}, options);
    std::vector<std::size_t> order(fleet.jobs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    Draw draw(7);
    for (int times = 0; times < 3; ++times) {
        for (std::size_t i = order.size() - 1; i > 0; --i)
            std::swap(order[i], order[static_cast<std::size_t>(draw(0, static_cast<double>(i + 1)))]);
        std::vector<sim::BatchJob> shuffled;
        for (auto const i : order) shuffled.push_back(fleet.jobs[i]);
        // Cut into batches of any length, one job alone among them.
        int different = 0;
        for (std::size_t first = 0; first < shuffled.size();) {
            auto const count =
                std::min(shuffled.size() - first, static_cast<std::size_t>(1 + draw(0, 1) * draw(0, 60)));
            auto const part = sim::run_batch(std::span(shuffled).subspan(first, count), {0, hours}, options);
            for (std::size_t i = 0; i < count; ++i)
                different += differing_bits(part.years[i], batch.years[order[first + i]]);
            first += count;
        }
        CHECK(different == 0);
    }
    CHECK(batch.in_lanes > 100);
}

TEST_CASE("findings are filled in where asked for, and no jobs are no years") {
    auto const fleet = random_fleet(1, 48);
    auto const batch = sim::run_batch(fleet.jobs, {0, 48});
    CHECK(batch.years.front().summary.water_demand_m3 > 0);
    CHECK(batch.years.front().findings.full_charges == 0);
    CHECK(sim::run_batch({}, {}).years.empty());
}

// All water is drawn in the last half day, which is a part of a day.
TEST_CASE("a batch that ends within a day counts the starts of that day") {
    auto s = test::plain_system();
    s.start_soc = 1;
    auto in = test::steady_inputs(0, 20, 0, 2e-4);
    for (std::size_t h = 26; h < 36; ++h) in.demand_m3[h] = 0.08;
    sim::CheckedInputs const inputs(in);
    auto const batch = sim::run_batch(std::vector<sim::BatchJob>{{&s, &inputs}}, {0, 36}, {});
    auto const single = sim::simulate(s, inputs, {0, 36});
    REQUIRE(batch.in_lanes == 1);
    CHECK(single.summary.max_starts_per_day > 5);
    CHECK(batch.years[0].summary.max_starts_per_day == single.summary.max_starts_per_day);
}

// The battery's voltage falls with its SOC from 49 to 45.5 V, and a start takes some 9 kW of it: at half of
// its content it sags below 42 V, and the pump no longer starts although it could run. One design alone, and
// as many as run side by side: then all of them come below that in the same hours.
TEST_CASE("a batch refuses the starts that the battery's voltage no longer carries") {
    auto s = test::plain_system();
    s.battery = {10, 1, 1, 0, 1e3, 2, 0};
    s.start_soc = 0.9;
    s.battery_behavior.voltage.open_circuit = {{0, 45.5}, {1, 49}};
    s.battery_behavior.voltage.resistance_ohm = 0.025;
    s.inverter.low_voltage_v = 42;
    s.inverter.surge = {{2, 5}};
    s.pump_start = models::StartDraw{};
    s.pump_start.apparent_kva = 11.04;
    s.pump_start.power_w = 11040 * 0.7;
    s.pump_start.seconds = 0.5;
    sim::CheckedInputs const inputs(test::steady_inputs(0, 90, 0.02, 2e-4));
    auto const single = sim::simulate(s, inputs, {0, 72});
    CHECK(single.summary.pump_starts > 3);
    CHECK(single.summary.water_short_m3 > 0.1);
    CHECK(single.summary.soc_min < 0.45);
    for (std::size_t const designs : {std::size_t{1}, models::Lanes::count}) {
        CAPTURE(designs);
        auto const batch = sim::run_batch(std::vector<sim::BatchJob>(designs, {&s, &inputs}), {0, 72}, {});
        REQUIRE(batch.in_lanes == designs);
        // Loads and pump take 0.112 kW: it is there after 35 of the 72 h, which are run in lanes.
        CHECK(batch.alone_share < 0.6);
        for (auto const& year : batch.years) {
            CHECK(year.summary.pump_starts == single.summary.pump_starts);
            CHECK(year.summary.water_short_m3 == test::Near{single.summary.water_short_m3, 1e-9, 0});
        }
    }
}

TEST_SUITE_END();
