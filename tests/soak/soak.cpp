#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/brute_force.hpp"
#include "tests/sim/random_sources.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/random_water.hpp"
#include "tests/sim/run_laws.hpp"

// Random designs that together use every feature of water and supply, one for each seed: holdwater_soak FIRST
// COUNT MINUTES. See tests/soak/run. Exit code 1 if a seed fails.

using namespace holdwater;
using test::Draw, test::Trouble;

namespace {

constexpr int hours = 24 * 14;

// Totals by which two runs of the same design are compared.
struct Total {
    std::string_view name;
    double sim::Summary::*value;
    double least, share;  // a difference that counts as none
};
constexpr std::array totals{
    Total{"water delivered, m3", &sim::Summary::water_delivered_m3, 0.05, 0.02},
    Total{"pump, kWh", &sim::Summary::pump_energy_kwh, 0.05, 0.02},
    Total{"loads, kWh", &sim::Summary::ac_served_kwh, 0.1, 0.02},
    Total{"battery out, kWh", &sim::Summary::battery_out_kwh, 0.1, 0.02},
};

// The design with every input quantity, and every time of its rules, changed by up to `share`.
sim::Summary nearly(Draw& draw, sim::System s, sim::HourlyInputs in, double share) {
    auto const change = [&](double& x) { x *= 1 + share * draw(-1, 1); };
    auto const change_all = [&](sim::Series& all) {
        double const factor = 1 + share * draw(-1, 1);
        for (double& x : all.edit()) x *= factor;
    };
    change_all(in.array_power_w);
    change_all(in.load_w);
    change_all(in.demand_m3);
    change_all(in.trough_m3);
    change_all(in.tap_flow_m3_s);
    double const flow = 1 + share * draw(-1, 1);
    for (auto& d : in.draws) d.flow_m3_s *= flow;
    for (auto& c : in.shed_first) change_all(c.power_w);
    for (double* x :
         {&s.start_soc, &s.dc_standby_w, &s.inverter.idle_w, &s.motor.min_rest_s, &s.rules.transfer_delay_s,
          &s.rules.accept_delay_s, &s.rules.break_s, &s.rules.trip_reset_h, &s.rules.trip.restart_delay_s,
          &s.generator_operation.run.warm_up_h, &s.generator_operation.run.hand_response_h,
          &s.generator_operation.run.min_run_h, &s.generator_operation.run.min_rest_h})
        change(*x);
    s.start_soc = std::min(s.start_soc, 1.0);
    if (s.well) {
        change(s.well->casing->restart_delay_s);
        change(s.well->casing->specific_capacity_m2_s);
        // A band of levels is left within a fiftieth of its width.
        auto const& edges = s.well->band_edges_m;
        double const by_m = 0.02 * draw(-1, 1) * (edges[1] - edges[0]);
        for (double& level : s.well->casing->static_level_m) level += by_m;
    }
    if (s.cistern) change(s.cistern->start_m3);
    return sim::simulate(s, in, {0, hours}).summary;
}

// The same inputs give the same bytes, and with steps of a quarter of an hour nothing changes. But a design
// that reaches a threshold within seconds can go either way: within a step, pump and inverter are computed
// with mean powers, which moves a threshold by seconds. Such a design is recognized by this: if inputs and
// times change by a thousandth, which is what the means leave out, its totals differ by as much. Returns
// whether it is such a design.
bool repeats(std::uint64_t seed, sim::System const& s, sim::HourlyInputs const& in,
             sim::RunResult const& whole, Trouble& trouble) {
    auto const again = sim::simulate(s, in, {0, hours}).summary;
    for (auto const& field : sim::summary_fields())
        if (field.name != "wall_time_s")
            trouble.want(again.*field.value == whole.summary.*field.value,
                         fmt::format("{} is not repeated", field.name));
    auto const cut = sim::simulate(s, in, {0, hours, 900.0}).summary;
    Trouble differ;
    for (auto const& t : totals)
        differ.same(fmt::format("{}, quarter hours and hours", t.name), cut.*t.value, whole.summary.*t.value,
                    t.least, t.share);
    if (differ.lines.empty()) return false;
    constexpr int tries = 64;
    std::array<double, totals.size()> low{}, high{};
    for (std::size_t k = 0; k < totals.size(); ++k) low[k] = high[k] = whole.summary.*totals[k].value;
    Draw draw(seed ^ 0x9e3779b97f4a7c15U);
    for (int i = 0; i < tries; ++i) {
        auto const other = nearly(draw, s, in, 1e-3);
        for (std::size_t k = 0; k < totals.size(); ++k) {
            low[k] = std::min(low[k], other.*totals[k].value);
            high[k] = std::max(high[k], other.*totals[k].value);
        }
    }
    for (std::size_t k = 0; k < totals.size(); ++k) {
        double const now = cut.*totals[k].value, slack = totals[k].least + totals[k].share * now;
        trouble.want(
            now > low[k] - slack && now < high[k] + slack,
            fmt::format("{}, in quarter hours {}, hours {}, hours of designs a thousandth apart {} to {}",
                        totals[k].name, now, whole.summary.*totals[k].value, low[k], high[k]));
    }
    return true;
}

// The year loop and the plain loop on designs of the wet half and the plain supply.
struct Pair {
    double year_loop, plain;
};
struct Compared {
    std::string_view name;
    double least;  // difference that is none: of a start, of rounding
    std::vector<Pair> pairs{};
    void add(double year_loop, double plain) { pairs.push_back({year_loop, plain}); }

    // The difference that this share of the designs stays within.
    [[nodiscard]] double within(double of_designs) const {
        std::vector<double> apart;
        for (auto const& p : pairs)
            apart.push_back(std::max(std::abs(p.year_loop - p.plain) - least, 0.0) /
                            std::max(std::abs(p.plain), least));
        auto const at = static_cast<std::ptrdiff_t>(of_designs * static_cast<double>(apart.size() - 1));
        std::nth_element(apart.begin(), apart.begin() + at, apart.end());
        return apart[static_cast<std::size_t>(at)];
    }
    [[nodiscard]] double of_sums() const {
        double a = 0, b = 0;
        for (auto const& p : pairs) a += p.year_loop, b += p.plain;
        return std::abs(a - b) / std::abs(b);
    }
};
struct Comparison {
    std::array<Compared, 6> of{
        Compared{"water delivered", 1e-3},    Compared{"loads and pumps", 1e-2},
        Compared{"out of the battery", 1e-2}, Compared{"into the battery", 1e-2},
        Compared{"pump starts", 1},           Compared{"coldest heated place, K above -60 degC", 0.2}};
};

// The water side and the plain supply against integration of the same equations in steps of a second or less.
// The integration does not have two wells, voltage, classes of loads, tapers, aquifers, a protection that
// latches, starts that do not fit, or a limit of the battery's discharge.
void plain_loop(std::uint64_t seed, int per_second, Comparison& comparison) {
    constexpr int few = 48;
    Draw draw(seed);
    auto s = test::random_wet_system(draw);
    s.inverter.rated_power_w = s.rules.backup_limit_w = 1e5;
    s.battery.discharge_limit_kw = s.battery.charge_limit_kw = 1e3;
    if (s.generator) s.generator->rated_power_w = 1e5;
    if (s.well) s.well->casing->restart_tries = -1, s.well->aquifer.reset();
    if (s.cistern && s.cistern->gravity) s.constant_pressure = false;
    auto in = test::random_wet_inputs(draw, s, few);
    // Half of the designs have a grid with more rules.
    test::PhaseLoads phases;
    if (draw.coin()) {
        test::random_grid(draw, s, few);
        phases = test::random_sources(draw, s, in, few);
    }
    // A heated place in a third of them; it asks for the same on all phases.
    std::optional<models::FrostHeater> heater;
    if (phases.empty() && draw(0, 1) < 0.4) {
        test::random_air(draw, in, -15, 5, few);
        heater = test::random_heater(draw);
        heater->freezes_below_c = heater->thermostat_c - 0.1;  // so that any loss of power is seen
    }
    auto const b = test::brute_force(s, in, 0, few, per_second, nullptr, 3600,
                                     phases.empty() ? nullptr : &phases, heater ? &*heater : nullptr);
    if (heater) test::add_heater(*heater, 0, 0, in);
    auto const run = sim::simulate(s, in, {0, few});
    auto const& a = run.summary;
    auto& of = comparison.of;
    of[0].add(a.water_delivered_m3, b.delivered_m3);
    of[1].add(a.ac_served_kwh, b.ac_served_kwh);
    of[2].add(a.battery_out_kwh, b.battery_out_kwh);
    of[3].add(a.battery_in_kwh, b.battery_in_kwh);
    of[4].add(a.pump_starts, b.pump_starts);
    if (heater && !run.frozen.empty() && b.freezing_h > 0)
        of[5].add(run.frozen.front().coldest_c + 60, b.coldest_place_c + 60);
}

void look_at(Comparison const& comparison, std::string const& what, Trouble& trouble) {
    for (auto const& c : comparison.of) {
        if (c.pairs.size() < 100) continue;  // too few for a statement
        double const half = c.within(0.5), most = c.within(0.9), sums = c.of_sums();
        fmt::print(
            "{} designs, year loop and {}, {}: half within {:.2} %, nine of ten within {:.2} %, sums {:.2} % "
            "apart\n",
            c.pairs.size(), what, c.name, 100 * half, 100 * most, 100 * sums);
        trouble.want(half <= 0.0005, fmt::format("{}: half of the designs within {}", c.name, half));
        trouble.want(most <= 0.01, fmt::format("{}: nine of ten designs within {}", c.name, most));
        trouble.want(sums <= 0.005, fmt::format("{}: sums apart by {}", c.name, sums));
    }
}

// A design at the edges of what a scenario may say, in steps of an hour and of a minute.
void at_the_edges(std::uint64_t seed, Trouble& trouble) {
    Draw draw(seed ^ 0x5851f42d4c957f2dU);
    auto s = test::random_wet_system(draw);
    auto in = test::random_wet_inputs(draw, s, hours);
    test::add_supply_features(draw, s, in, hours);
    test::take_to_the_edges(draw, s);
    Trouble edge;
    auto const whole = sim::simulate(s, in, {0, hours});
    test::laws(s, whole, edge);
    test::frost_laws(in, whole, edge);
    test::laws(s, sim::simulate(s, in, {0, hours, 60.0}), edge);
    for (auto const& line : edge.lines) trouble.want(false, "at the edges: " + line);
}

struct Soak {
    Comparison seconds, quarters;
    int at_threshold = 0;

    Trouble run(std::uint64_t seed) {
        Trouble trouble;
        Draw draw(seed);
        auto s = test::random_wet_system(draw);
        auto in = test::random_wet_inputs(draw, s, hours);
        test::add_supply_features(draw, s, in, hours);
        try {
            auto const whole = sim::simulate(s, in, {0, hours});
            test::laws(s, whole, trouble);
            test::frost_laws(in, whole, trouble);
            if (repeats(seed, s, in, whole, trouble)) ++at_threshold;
            test::laws(s, sim::simulate(s, in, {0, hours, 60.0}), trouble);
            at_the_edges(seed, trouble);
            plain_loop(seed, 1, seconds);
            if (seed % 10 == 0) plain_loop(seed, 4, quarters);
        } catch (std::exception const& error) {
            trouble.want(false, std::string("stopped with: ") + error.what());
        }
        return trouble;
    }
};

}  // namespace

int main(int argc, char** argv) {
    if (argc != 4) {
        fmt::print(stderr, "holdwater_soak FIRST_SEED COUNT MINUTES\n");
        return 2;
    }
    auto const first = std::strtoull(argv[1], nullptr, 10), count = std::strtoull(argv[2], nullptr, 10);
    double const minutes = std::strtod(argv[3], nullptr);
    auto const begin = std::chrono::steady_clock::now();
    std::uint64_t run = 0, failed = 0;
    Soak soak;
    for (; run < count; ++run) {
        if (std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count() > 60 * minutes)
            break;
        auto const trouble = soak.run(first + run);
        failed += trouble.lines.empty() ? 0 : 1;
        for (auto const& line : trouble.lines) fmt::print("seed {}: {}\n", first + run, line);
    }
    Trouble all;
    look_at(soak.seconds, "seconds", all);
    look_at(soak.quarters, "quarter seconds", all);
    // Designs that reach a threshold are few; otherwise thresholds are not the reason.
    all.want(soak.at_threshold <= 1 + static_cast<int>(run / 200),
             fmt::format("{} designs change with the length of steps", soak.at_threshold));
    for (auto const& line : all.lines) fmt::print("all designs: {}\n", line);
    failed += all.lines.empty() ? 0 : 1;
    fmt::print("{} designs of {}, {} at a threshold, {} failed\n", run, count, soak.at_threshold, failed);
    return failed == 0 && run == count ? 0 : 1;
}
