#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_loads.hpp"
#include "tests/sim/random_system.hpp"
#include "weather/weather_year.hpp"

/// Seeded random rules of grid, generator and inverter, of which the one-second integrator has every one.
namespace holdwater::test {

/// A grid with outages until `hours`, and levels so far apart that the loads transfer a few times a day; by
/// chance with delays, breaks and outages that are known before.
inline void random_grid(Draw& draw, sim::System& s, int hours) {
    auto& r = s.rules;
    r.backup = sim::Backup::grid;
    s.generator.reset();
    s.outages.clear();
    r.return_above = std::max(r.return_above, std::min(r.transfer_below + 0.2, 1.0));
    for (double t = draw(0, 50); t < hours;) {
        double const end = t + draw(0.01, 40);
        s.outages.push_back({t, end});
        t = end + draw(0.01, 60);
    }
    if (draw.coin()) r.accept_delay_s = draw(0, 600);
    if (draw.coin()) r.break_s = draw(0, 15);
    if (draw(0, 1) < 0.3) {
        r.forewarned_h = draw(0.5, 48);
        r.forewarned_over_h = draw.coin() ? 0 : draw(0, 30);
        r.forewarned_charge_to = draw(r.charge_to, 1);
    }
}

/// A generator beside the grid.
inline void random_second_backup(Draw& draw, sim::System& s) {
    scenarios::SecondBackup second;
    second.transfer_below = draw(s.battery.min_soc + 0.01, 0.8);
    second.return_above = draw(second.transfer_below + 0.15, 1);
    second.charge_to = draw.coin() ? 0 : draw(second.transfer_below + 0.01, 1);
    second.break_s = draw.coin() ? draw(0, 15) : 0;
    s.rules.second = second;
    s.generator = models::GeneratorParameters{
        .rated_power_w = draw(1500, 8000), .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
    auto& run = s.generator_operation.run;
    if (draw.coin()) run = {};  // warms up, cools down, runs for a while
    if (draw.coin()) run.quiet_from_h = draw(18, 24), run.quiet_to_h = draw(0, 10);
}

/// The battery works for the bill.
inline void random_tariff(Draw& draw, sim::System& s) {
    auto& r = s.rules;
    r.grid_first = true;
    scenarios::Tariff tariff;
    int const from = static_cast<int>(draw(0, 24));
    tariff.peak = {from, 1 + (from + static_cast<int>(draw(1, 10))) % 24};
    if (draw.coin()) tariff.low = {tariff.peak.until % 24, 1 + (tariff.peak.until + 5) % 24};
    tariff.reserve = draw(std::min(r.transfer_below, 0.9), 0.95);
    r.charge_to = std::max(r.charge_to, tariff.reserve + 0.02);
    r.forewarned_charge_to = std::max(r.forewarned_charge_to, r.charge_to);
    r.tariff = tariff;
}

/// Someone bypasses the inverter and switches back, the inverter is out of service at times, or both.
inline void random_bypass(Draw& draw, sim::System& s, int hours) {
    auto& r = s.rules;
    bool const listed = draw.coin();
    if (!listed || draw.coin()) {
        r.grid_first = false;
        r.charge_to = r.forewarned_h = 0;  // the charger rests
        r.by_hand = true;
        r.hand_response_h = draw(0, 6);
    }
    for (double t = draw(0, 80); listed && t < hours; t += draw(40, 200)) {
        double const from = t;
        t += draw(0.5, 30);
        r.bypass.push_back({from, t});
    }
}

/// Larger loads, and an inverter that is often too small for what grid or generator carried.
inline void random_small_inverter(Draw& draw, sim::System& s, sim::HourlyInputs& in) {
    double const factor = draw(1, 4);
    for (double& load_w : in.load_w.edit()) load_w *= factor;
    s.inverter.rated_power_w = draw(0.3, 1) * (1000 + *std::max_element(in.load_w.begin(), in.load_w.end()));
}

/// The inverter trips when it takes over more than its rating.
inline void random_overload_trip(Draw& draw, sim::System& s) {
    auto& r = s.rules;
    s.inverter.surge = {{2, 5}, {1.5, 30}, {1.1, 1800}};
    if (draw.coin()) s.inverter.surge = {{1.2, draw(1, 60)}};
    if (draw(0, 1) < 0.2) s.inverter.surge.clear();
    r.trip_on_overload = true;
    r.trip.restart_delay_s = draw(30, 60);
    r.trip.restarts = static_cast<int>(draw(0, 4));
    r.trip_reset_h = draw(0.5, 30);
}

/// Power of the loads on each phase in each hour of the year [W].
using PhaseLoads = std::vector<std::array<double, 3>>;

/// Small loads on the phases of a three-phase inverter, in place of those of `in`.
inline PhaseLoads random_phases(Draw& draw, sim::System& s, sim::HourlyInputs& in) {
    s.inverter.legs = 3;
    s.inverter.rated_power_w = draw(2000, 6000);
    if (draw.coin()) s.inverter.phase_va = draw(1, 1.3) * s.inverter.rated_power_w / 3;
    std::vector<scenarios::ScenarioLoad> loads;
    PhaseLoads phases(in.load_w.size());
    int const count = static_cast<int>(draw(1, 6));
    for (int i = 0; i < count; ++i) {
        scenarios::ScenarioLoad l;
        l.load.name = "load " + std::to_string(i);
        l.load.power_w = draw(100, 1200);
        l.leg = static_cast<int>(draw(0, 4));
        for (double& share : l.load.profile) share = draw(0, 1);
        for (std::size_t h = 0; h < phases.size(); ++h)
            for (int p = 0; p < 3; ++p)
                if (l.leg == 0 || l.leg == p + 1)
                    phases[h][static_cast<std::size_t>(p)] +=
                        l.load.power_w * l.load.profile[h % 24] / (l.leg == 0 ? 3 : 1);
        loads.push_back(std::move(l));
    }
    weather::WeatherYear year;
    year.temperature_c.assign(in.load_w.size(), 20);
    sim::add_loads(loads, s.inverter, year, in);
    return phases;
}

/// On a grid (random_grid) each of these rules by chance, as far as they go together. Loads by phase if there
/// are three phases.
inline PhaseLoads random_sources(Draw& draw, sim::System& s, sim::HourlyInputs& in, int hours) {
    s.rules.grid_first = draw.coin();
    if (draw.coin())
        random_tariff(draw, s);
    else if (draw.coin())
        random_bypass(draw, s, hours);
    if (!s.rules.by_hand && draw.coin()) random_second_backup(draw, s);
    PhaseLoads phases;
    if (draw.coin())
        phases = random_phases(draw, s, in);
    else if (draw.coin())
        random_small_inverter(draw, s, in);
    if (draw.coin()) random_overload_trip(draw, s);
    return phases;
}

}  // namespace holdwater::test
