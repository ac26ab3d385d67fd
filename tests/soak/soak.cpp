#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

#include "sim/simulate.hpp"
#include "tests/sim/brute_force.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/random_water.hpp"

// Random designs that use every feature of water and supply together, one a seed: holdwater_soak FIRST COUNT
// MINUTES [SEED_OF_A_FAILURE prints more]. See tests/soak/run. Exit 1 when a seed fails.

using namespace holdwater;
using test::Draw;

namespace {

constexpr int hours = 24 * 14;

struct Trouble {
    std::vector<std::string> lines;
    void want(bool holds, std::string const& what) {
        if (!holds) lines.push_back(what);
    }
    void same(std::string const& what, double a, double b, double absolute, double relative) {
        want(std::abs(a - b) <= absolute + relative * std::abs(b), fmt::format("{}: {} and {}", what, a, b));
    }
};

// Ledgers of every hour, bounds, and a reason for everything that did not come.
void laws(sim::System const& s, sim::RunResult const& result, Trouble& trouble) {
    bool const gravity = s.cistern && s.cistern->gravity;
    double stored_kwh = s.start_soc * s.bank.capacity_kwh;
    double stored_m3 = (gravity ? 0 : s.fill.cut_out_m3) + (s.cistern ? s.cistern->start_m3 : 0) +
                       (s.trough ? s.trough->full_m3 : 0);
    double level_m = s.well ? s.well->casing->static_level_m[0] : 0;
    double worst_kwh = 0, worst_m3 = 0, lowest = 0, over_full = 0, starved = 0, not_finite = 0;
    for (auto const& r : result.hours) {
        double const energy = r.array_used_kw + r.grid_kw + r.generator_kw - r.load_served_kw - r.pump_kw -
                              r.inverter_loss_kw - r.charger_loss_kw - r.controller_loss_kw - r.standby_kw -
                              r.heater_kw - r.battery_loss_kw - (r.battery_stored_kwh - stored_kwh);
        double const load = r.load_wanted_kw - r.load_served_kw - r.load_unserved_kw;
        double const now_m3 = r.tank_water_m3 + r.cistern_water_m3 + r.trough_water_m3;
        double const water =
            r.water_pumped_m3 - r.water_delivered_m3 - r.water_spilled_m3 - (now_m3 - stored_m3);
        double const wanted = r.water_demand_m3 - r.water_delivered_m3 - r.water_unmet_m3;
        double const well = s.well ? r.well_inflow_m3 - r.water_pumped_m3 -
                                         models::casing_area_m2(*s.well->casing) * (level_m - r.well_level_m)
                                   : 0;
        for (double const x : {energy, load}) worst_kwh = std::max(worst_kwh, std::abs(x));
        for (double const x : {water, wanted, well}) worst_m3 = std::max(worst_m3, std::abs(x));
        for (auto const& field : sim::series_fields()) {
            if (!std::isfinite(r.*field.value)) not_finite = 1;
            if (field.name != "well_inflow_m3" && field.name != "tank_pressure_kpa" &&
                field.name != "battery_temperature_c")
                lowest = std::min(lowest, r.*field.value);
        }
        over_full = std::max(over_full, r.battery_stored_kwh - s.bank.capacity_kwh);
        if (r.limit_reason == 0) starved = std::max({starved, r.load_unserved_kw, r.water_unmet_m3});
        stored_kwh = r.battery_stored_kwh;
        stored_m3 = now_m3;
        level_m = r.well_level_m;
    }
    trouble.want(not_finite == 0, "a value is not finite");
    trouble.same("energy of an hour, kWh", worst_kwh, 0, 1e-9, 0);
    trouble.same("water of an hour, m3", worst_m3, 0, 1e-9, 0);
    trouble.want(lowest > -1e-6, fmt::format("below zero: {}", lowest));
    trouble.want(over_full < 1e-9, fmt::format("fuller than full: {} kWh", over_full));
    trouble.want(starved < 1e-6, fmt::format("not supplied without a reason: {}", starved));
}

// The same inputs, the same bytes; and cut into quarters of an hour nothing changes but what hangs on a
// threshold that is met within seconds of a step's end.
void repeats(sim::System const& s, sim::HourlyInputs const& in, sim::RunResult const& whole,
             Trouble& trouble) {
    auto const again = sim::simulate(s, in, {0, hours}).summary;
    auto const cut = sim::simulate(s, in, {0, hours, 900.0}).summary;
    for (auto const& field : sim::summary_fields())
        if (field.name != "wall_time_s")
            trouble.want(again.*field.value == whole.summary.*field.value,
                         fmt::format("{} is not repeated", field.name));
    auto const& a = whole.summary;
    trouble.same("water delivered, quarter hours and hours, m3", cut.water_delivered_m3, a.water_delivered_m3,
                 0.05, 0.02);
    trouble.same("pump, quarter hours and hours, kWh", cut.pump_energy_kwh, a.pump_energy_kwh, 0.05, 0.02);
    trouble.same("loads, quarter hours and hours, kWh", cut.load_served_kwh, a.load_served_kwh, 0.1, 0.02);
    trouble.same("bank out, quarter hours and hours, kWh", cut.battery_out_kwh, a.battery_out_kwh, 0.1, 0.02);
}

// Totals over all designs, of the year loop and of one-second integration.
struct Totals {
    double delivered_m3 = 0, load_kwh = 0, bank_out_kwh = 0;
    void add(double m3, double load, double bank) {
        delivered_m3 += m3;
        load_kwh += load;
        bank_out_kwh += bank;
    }
};

// The wet half and the plain supply against one-second integration of the same equations, which knows no
// kinetic wells, volts, classes of loads, tapers, ratings shared out among loads, aquifers or a protection
// that latches. A single design parts for good where a threshold is met within seconds; so the totals of all
// are compared.
void plain_loop(std::uint64_t seed, Totals& year_loop, Totals& seconds) {
    constexpr int few = 48;
    Draw draw(seed);
    auto s = test::random_wet_system(draw);
    s.inverter.rated_power_w = s.rules.backup_limit_w = 1e5;
    s.bank.discharge_limit_kw = s.bank.charge_limit_kw = 1e3;
    if (s.generator) s.generator->rated_power_w = 1e5;
    if (s.well) s.well->casing->restart_tries = -1, s.well->aquifer.reset();
    if (s.cistern && s.cistern->gravity) s.constant_pressure = false;
    auto const in = test::random_wet_inputs(draw, s, few);
    auto const a = sim::simulate(s, in, {0, few}).summary;
    auto const b = test::brute_force(s, in, 0, few);
    year_loop.add(a.water_delivered_m3, a.load_served_kwh, a.battery_out_kwh);
    seconds.add(b.delivered_m3, b.load_served_kwh, b.battery_out_kwh);
}

Trouble run_seed(std::uint64_t seed, Totals& year_loop, Totals& seconds) {
    Trouble trouble;
    Draw draw(seed);
    auto s = test::random_wet_system(draw);
    auto in = test::random_wet_inputs(draw, s, hours);
    test::add_supply_features(draw, s, in, hours);
    try {
        auto const whole = sim::simulate(s, in, {0, hours});
        laws(s, whole, trouble);
        repeats(s, in, whole, trouble);
        plain_loop(seed, year_loop, seconds);
    } catch (std::exception const& error) {
        trouble.want(false, std::string("stopped with: ") + error.what());
    }
    return trouble;
}

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
    Totals year_loop, seconds;
    for (; run < count; ++run) {
        if (std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count() > 60 * minutes)
            break;
        auto const trouble = run_seed(first + run, year_loop, seconds);
        failed += trouble.lines.empty() ? 0 : 1;
        for (auto const& line : trouble.lines) fmt::print("seed {}: {}\n", first + run, line);
    }
    if (count >= 100) {  // few designs have no totals to speak of
        Trouble all;
        all.same("water delivered, year loop and seconds, m3", year_loop.delivered_m3, seconds.delivered_m3,
                 0, 0.01);
        all.same("loads, year loop and seconds, kWh", year_loop.load_kwh, seconds.load_kwh, 0, 0.01);
        all.same("bank out, year loop and seconds, kWh", year_loop.bank_out_kwh, seconds.bank_out_kwh, 0,
                 0.01);
        for (auto const& line : all.lines) fmt::print("all designs: {}\n", line);
        failed += all.lines.empty() ? 0 : 1;
    }
    fmt::print("{} designs of {}, {} failed\n", run, count, failed);
    return failed == 0 && run == count ? 0 : 1;
}
