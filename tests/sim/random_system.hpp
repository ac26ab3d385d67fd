#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string_view>
#include <utility>

#include "models/battery/battery_bank.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/make_loads.hpp"
#include "tests/sim/plain_system.hpp"
#include "weather/weather_year.hpp"

/// Seeded random designs for the laws that hold for every design.
namespace holdwater::test {

/// Random numbers that are the same everywhere: the distributions of the standard library differ between
/// compilers.
class Draw {
  public:
    explicit Draw(std::uint64_t seed) : engine_(seed) {}
    /// Two bytes for each number as long as there are any, then numbers of a seed.
    explicit Draw(std::string_view bytes) : engine_(1), bytes_(bytes) {}
    double operator()(double low, double high) { return low + (high - low) * share(); }
    bool coin() { return (*this)(0, 1) < 0.5; }

  private:
    double share() {
        if (bytes_.size() < 2) return static_cast<double>(engine_() >> 11) * 0x1p-53;
        auto const byte = [&](std::size_t i) {
            return static_cast<double>(static_cast<unsigned char>(bytes_[i]));
        };
        double const share = (byte(0) + 256 * byte(1)) / 65536;
        bytes_.remove_prefix(2);
        return share;
    }
    std::mt19937_64 engine_;
    std::string_view bytes_;
};

/// A design of plain parts, any backup.
inline sim::System random_system(Draw& draw) {
    auto s = plain_system();
    s.battery.capacity_kwh = draw(1, 30);
    s.battery.min_soc = draw(0, 0.5);
    s.battery.charge_efficiency = draw(0.8, 1);
    s.battery.discharge_efficiency = draw(0.8, 1);
    s.battery.charge_limit_kw = draw(0.1, 1) * s.battery.capacity_kwh;
    s.battery.discharge_limit_kw = draw(0.2, 1.5) * s.battery.capacity_kwh;
    s.battery.self_discharge_per_h = draw.coin() ? 0 : draw(0, 1e-4);
    s.start_soc = draw(s.battery.min_soc, 1);
    s.rules.restart_above = draw(s.battery.min_soc + 0.02, 1);
    s.rules.transfer_below = draw(s.battery.min_soc + 0.01, 0.8);
    s.rules.return_above = draw(s.rules.transfer_below + 0.02, 1);
    s.rules.charge_to = draw.coin() ? 0 : draw(s.rules.transfer_below + 0.01, 1);
    s.rules.backup_limit_w = draw(800, 8000);
    double const kind = draw(0, 3);
    if (kind > 2) {
        s.rules.backup = sim::Backup::generator;
        s.generator = models::GeneratorParameters{
            .rated_power_w = s.rules.backup_limit_w, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
        if (kind > 2.5)  // half of them by a table of the data sheet
            for (auto const& [load, l_per_kwh] : {std::pair{0.1, 1.2}, {0.3, 0.7}, {0.5, 0.6}, {0.8, 0.55}})
                s.generator->fuel_table.push_back({load * s.generator->rated_power_w,
                                                   1e-3 * load * s.generator->rated_power_w * l_per_kwh});
    } else if (kind > 1) {
        s.rules.backup = sim::Backup::grid;
        double t = draw(0, 50);
        while (t < 1000) {
            double const end = t + draw(0.01, 40);
            s.outages.push_back({t, end});
            t = end + draw(0.01, 60);
        }
    }
    s.controller_efficiency = draw(0.9, 1);
    s.controller_limit_w = draw(200, 5000);
    s.dc_standby_w = draw.coin() ? 0 : draw(0, 10);
    s.inverter.rated_power_w = draw(900, 8000);
    s.inverter.idle_w = draw(0, 80);
    s.inverter.k1 = draw(0, 0.1);
    s.inverter.k2 = draw(0, 0.1);
    s.inverter.extra_w = draw(-0.01, 0.01) * s.inverter.rated_power_w;
    s.charger = {draw(0, 4000), draw(0.8, 1), 1};
    double const q = draw(0.3e-3, 0.9e-3);
    double const in = s.fill.cut_in_m3, out = s.fill.cut_out_m3;
    s.fill = models::fill_curve_from_nodes({{0, 1.2 * q, 900},
                                            {in, q, 1000},
                                            {0.5 * (in + out), 0.9 * q, 1050},
                                            {out, 0.8 * q, 1080},
                                            {1.2 * out, 0, 700}},
                                           in, out);
    return s;
}

/// Sun, loads and water for the first `hours` of the year.
inline sim::HourlyInputs random_inputs(Draw& draw, int hours) {
    auto in = steady_inputs(0, 0, 0, 1e-3);
    double const sun_w = draw(200, 5000), water_m3 = draw(0, 0.5), load_w = draw(0, 600);
    for (std::size_t h = 0; h < static_cast<std::size_t>(hours); ++h) {
        double const hour = static_cast<double>(h % 24);
        in.array_power_w[h] = std::max(0.0, sun_w * std::sin((hour - 5.5) / 13 * 3.14159265)) * draw(0, 1);
        in.load_w[h] = load_w * draw(0, 2);
        in.demand_m3[h] = draw.coin() ? 0 : water_m3 * draw(0, 2);
        in.tap_flow_m3_s[h] = draw(0.05e-3, 1.2e-3);
    }
    return in;
}

/// Outside air of the first `hours` of the year, with warmer days than nights.
inline void random_air(Draw& draw, sim::HourlyInputs& in, double least_c, double most_c, int hours) {
    double const mean_c = draw(least_c, most_c);
    in.ambient_c.assign(in.load_w.size(), 20);
    for (std::size_t h = 0; h < static_cast<std::size_t>(hours); ++h)
        in.ambient_c[h] = mean_c + 8 * std::sin((static_cast<double>(h % 24) - 9) / 24 * 6.2831853);
}

/// The heater of a pump house, strong enough for it on most days.
inline models::FrostHeater random_heater(Draw& draw) {
    models::FrostHeater h;
    h.power_w = draw(100, 500);
    h.thermostat_c = draw(2, 8);
    h.rise_k_per_w = draw(10, 40) / h.power_w;
    h.time_constant_h = draw(5, 24);
    h.freezes_below_c = draw(-1, 1);
    return h;
}

/// Adds the heater of a place to the small loads; with a priority or a SOC as a class of its own.
inline void add_heater(models::FrostHeater const& heater, int priority, double shed_below,
                       sim::HourlyInputs& in) {
    scenarios::ScenarioLoad load;
    load.load.name = "pump house";
    load.load.power_w = heater.power_w;
    load.load.priority = priority;
    load.shed_below = shed_below;
    load.heater = heater;
    weather::WeatherYear air;
    air.temperature_c = in.ambient_c;
    models::InverterParameters one_phase;
    one_phase.legs = 1;
    sim::HourlyInputs own;
    sim::add_loads({load}, one_phase, air, own);
    for (std::size_t h = 0; h < in.load_w.size(); ++h) in.load_w[h] += own.load_w[h];
    auto& place = own.heated.front();
    if (place.shed_class) place.shed_class = in.shed_first.size();
    for (auto& shed : own.shed_first) in.shed_first.push_back(std::move(shed));
    in.heated.push_back(std::move(place));
}

/// Adds features of the supply side, each by chance.
inline void add_supply_features(Draw& draw, sim::System& s, sim::HourlyInputs& in, int hours) {
    auto const n = static_cast<std::size_t>(hours);
    auto& b = s.battery_behavior;
    double const capacity = s.battery.capacity_kwh;
    if (draw.coin()) {
        b.store.kind = models::BatteryKind::two_well;
        b.store.available_fraction = draw(0.2, 0.8);
        b.store.exchange_per_h = draw(0.1, 2);
    } else if (draw.coin()) {
        b.store.acceptance_per_h = draw(0.3, 3);
    }
    if (draw.coin()) {
        auto const chemistry =
            draw.coin() ? models::Chemistry::flooded_lead_acid : models::Chemistry::lithium_iron_phosphate;
        double const blocks = 4, ah = 1e3 * capacity / 48;
        b.voltage.open_circuit = models::in_series(models::open_circuit_12v(chemistry), blocks);
        b.voltage.resistance_ohm = models::battery_resistance_ohm(0.009, 48, ah);
        if (draw.coin()) s.inverter.low_voltage_v = draw(40, 47);
        if (draw.coin()) {
            s.rules.transfer_below_v = draw(44, 51);
            s.rules.transfer_delay_s = draw(0, 600);
        }
    }
    if (draw.coin()) {
        auto const chemistry =
            draw.coin() ? models::Chemistry::flooded_lead_acid : models::Chemistry::lithium_iron_phosphate;
        b.capacity_at = models::capacity_table(chemistry);
        b.charge_rule = models::charge_temperature_rule(chemistry);
        b.cold_resistance_factor = 1.75;
        double const heater_w = draw.coin() ? draw(20, 150) : 0;
        b.thermal = models::BatteryThermalParameters{heater_w > 0 || draw.coin() ? draw(1, 24) : 0, heater_w,
                                                     0.15, 3, 7};
        b.place_offset_k = draw(-5, 5);
        random_air(draw, in, -15, 15, hours);
    }
    auto& g = s.generator_operation;
    if (s.generator) {
        auto& run = g.run;
        if (draw.coin()) run = {};
        if (draw.coin()) {
            run.quiet_from_h = draw(18, 24);
            run.quiet_to_h = draw(0, 10);
            if (draw.coin()) g.emergency_below = s.rules.transfer_below * draw(0, 0.9);
        }
        if (draw.coin()) g.longest_day_h = draw(0.5, 12);
        if (draw.coin()) {
            run.started_by_hand = true;
            run.hand_response_h = draw(0, 6);
            if (draw.coin()) {
                run.attended_from_h = draw(5, 9);
                run.attended_to_h = draw(15, 23);
            }
        }
        if (draw.coin()) run.start_failure = draw(0, 1);
        g.repair_after_h = draw(0.5, 30);
        if (draw.coin()) s.generator->fuel_tank_l = draw(1, 40);
        g.refuel_after_h = draw(0.5, 30);
        s.generator->least_load_fraction = draw(0, 0.5);
        s.generator->derate_per_300_m = draw.coin() ? 0.035 : 0;
        g.elevation_m = draw(0, 2500);
        if (draw.coin()) g.start_va = draw(2e3, 2e4);
        g.seed = static_cast<std::uint64_t>(draw(0, 1e6));
    }
    if (s.rules.backup == sim::Backup::grid) {
        s.rules.grid_first = draw.coin();
        s.rules.accept_delay_s = draw.coin() ? draw(0, 600) : 0;
        if (draw.coin()) {
            double const from = draw(0, 48);
            s.rules.bypass = {{from, from + draw(0.5, 30)}};
        }
        if (draw.coin()) {
            s.rules.forewarned_h = draw(0.5, 48);
            s.rules.forewarned_over_h = draw.coin() ? 0 : draw(0, 30);
            s.rules.forewarned_charge_to = draw(s.rules.charge_to, 1);
        }
    }
    s.rules.break_s = draw.coin() ? draw(0, 15) : 0;
    if (draw.coin()) {
        s.inverter.surge = {{2, 5}, {1.5, 30}, {1.1, 1800}};
        s.pump_start = models::StartDraw{};
        s.pump_start.apparent_kva = draw(1, 12);
        s.pump_start.power_w = 700 * s.pump_start.apparent_kva;
        s.pump_start.seconds = draw(0.2, 2);
        s.rules.trip_on_overload = draw.coin();
        s.rules.trip_reset_h = draw(0.5, 30);
    }
    if (draw.coin()) {
        s.inverter.search_wake_w = draw(10, 200);
        s.inverter.search_w = draw(0, s.inverter.idle_w);
    }
    if (draw.coin()) s.inverter.pass_through_va = draw(1000, 6000);
    if (draw.coin()) s.inverter.pass_through_draw_w = draw(0, 80);
    if (draw.coin()) s.inverter.pass_through_efficiency = draw(0.95, 1);
    int const classes = static_cast<int>(draw(0, 4));
    for (int c = 0; c < classes; ++c) {
        sim::LoadClass load;
        load.power_w.assign(in.load_w.size(), 0);
        for (std::size_t h = 0; h < n; ++h) load.power_w[h] = draw(0, 400);
        load.shed_below = draw.coin() ? draw(0, 0.9) : 0;
        in.shed_first.push_back(std::move(load));
    }
    if (draw.coin()) {
        in.load_var.assign(in.load_w.size(), 0);
        for (std::size_t h = 0; h < n; ++h) in.load_var[h] = draw(0, 800);
    }
    if (draw.coin()) {
        in.load_start_va.assign(in.load_w.size(), 0);
        for (std::size_t h = 0; h < n; ++h)
            if (draw.coin()) in.load_start_va[h] = draw(0, 8000);
    }
    if (draw.coin()) {
        in.leg_imbalance_w.assign(in.load_w.size(), 0);
        bool const three_phases = draw.coin();
        if (three_phases) s.inverter.legs = 3;
        for (std::size_t h = 0; h < n; ++h)
            in.leg_imbalance_w[h] =
                three_phases
                    ? models::phase_imbalance_va(s.inverter, {{draw(0, 200), draw(0, 200), draw(0, 200)},
                                                              {draw(0, 100), draw(0, 100), 0}})
                    : draw(0, 600);
    }
    if (s.generator && g.run.quiet_from_h != g.run.quiet_to_h && draw.coin()) {
        g.run.top_up_within_h = draw(0.2, 8);
        g.top_up_below = draw(s.rules.transfer_below, s.rules.return_above);
    }
    if (s.rules.backup == sim::Backup::grid && s.rules.grid_first && draw(0, 1) < 0.85) {
        scenarios::Tariff tariff;
        int const from = static_cast<int>(draw(0, 24));
        tariff.peak = {from, 1 + (from + static_cast<int>(draw(1, 10))) % 24};
        if (draw.coin()) tariff.low = {tariff.peak.until % 24, 1 + (tariff.peak.until + 5) % 24};
        tariff.reserve = draw(s.rules.transfer_below, 0.95);
        s.rules.charge_to = std::max(s.rules.charge_to, tariff.reserve + 0.02);
        s.rules.forewarned_charge_to = std::max(s.rules.forewarned_charge_to, s.rules.charge_to);
        s.rules.tariff = tariff;
    }
    if (s.rules.backup == sim::Backup::grid && !s.rules.grid_first && draw(0, 1) < 0.4) {
        s.rules.charge_to = s.rules.forewarned_h = 0;  // the charger rests
        s.rules.by_hand = true;
        s.rules.hand_response_h = draw(0, 6);
    }
    if (s.rules.backup == sim::Backup::grid && !s.rules.by_hand && draw.coin()) {  // a generator beside it
        scenarios::SecondBackup second;
        second.transfer_below = draw(s.battery.min_soc + 0.01, 0.8);
        second.return_above = draw(second.transfer_below + 0.02, 1);
        second.charge_to = draw.coin() ? 0 : draw(second.transfer_below + 0.01, 1);
        second.break_s = draw.coin() ? draw(0, 15) : 0;
        s.rules.second = second;
        s.generator = models::GeneratorParameters{
            .rated_power_w = draw(800, 8000), .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
        if (draw.coin()) g.run = {};
        if (draw.coin()) g.run.quiet_from_h = draw(18, 24), g.run.quiet_to_h = draw(0, 10);
        if (draw.coin()) g.run.start_failure = draw(0, 1);
        if (draw.coin()) s.generator->fuel_tank_l = draw(1, 40);
        g.refuel_after_h = draw(0.5, 30);
        g.seed = static_cast<std::uint64_t>(draw(0, 1e6));
    }
    if (draw.coin()) {
        if (in.ambient_c.empty()) random_air(draw, in, -15, 5, hours);
        auto heater = random_heater(draw);
        if (draw(0, 1) < 0.2) heater.time_constant_h = 0;
        // One after the other: compilers draw the arguments of a call in different orders.
        double const shed_below = draw.coin() ? 0 : draw(0, 0.9);
        int const priority = draw.coin() ? 0 : 1;
        add_heater(heater, priority, shed_below, in);
    }
    // Water treatment that runs with the water. A copy draws, so that all that is drawn later stays as it
    // was.
    Draw own = draw;
    if (own.coin()) {
        double const wh_per_m3 = own(20, 900);
        for (std::size_t h = 0; h < in.load_w.size(); ++h) in.load_w[h] += wh_per_m3 * in.demand_m3[h];
    }
}

/// Takes a design to the edges of what a scenario may say: next to no battery, one that may be emptied,
/// levels close together, large loads that never rest, a source hardly larger than its loads.
inline void take_to_the_edges(Draw& draw, sim::System& s) {
    auto& r = s.rules;
    if (draw.coin()) {
        double const factor = draw(0.05, 0.3) / s.battery.capacity_kwh;
        s.battery.capacity_kwh *= factor;
        if (draw.coin()) s.battery.charge_limit_kw *= factor;
        if (draw.coin()) s.battery.discharge_limit_kw *= factor;
        s.battery_behavior.voltage.resistance_ohm /= factor;
    }
    if (draw.coin()) {
        s.battery.min_soc = 0;
        if (draw.coin()) s.start_soc = draw(0, 0.05);
        if (draw.coin()) s.start_soc = 0;
    }
    if (draw.coin()) r.restart_above = s.battery.min_soc + 0.01;
    if (draw.coin()) {
        r.transfer_below = s.battery.min_soc + draw(0.001, 0.3);
        r.return_above = r.transfer_below + 0.01;
        s.generator_operation.top_up_below = std::min(s.generator_operation.top_up_below, r.return_above);
    }
    if (draw.coin()) s.dc_standby_w = draw(0, 200);
    if (draw.coin()) s.battery.self_discharge_per_h = draw(0, 1e-3);
    if (s.battery_behavior.thermal && draw.coin()) s.battery_behavior.thermal->heater_w *= 10;
    if (draw.coin()) r.backup_limit_w = draw(1, 1500);
    if (s.generator && draw.coin()) s.generator->rated_power_w = draw(100, 1500);
    if (draw.coin()) s.inverter.pass_through_va = draw(1, 1500);
    if (draw.coin()) {
        s.motor.start_extra_j = draw(0, 5000);
        s.motor.start_power_w = 5000;
    }
}

}  // namespace holdwater::test
