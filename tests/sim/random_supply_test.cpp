#include <doctest/doctest.h>

#include <cmath>
#include <iostream>
#include <string>
#include <vector>

#include "sim/year/simulate.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/run_laws.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::EventKind;
using test::Draw, test::random_system, test::random_inputs, test::add_supply_features;

namespace {

// The worst of a run against each law; all figures should be 0 or negative to rounding.
struct Worst {
    double balance_kwh = 0, balance_m3 = 0, below_zero = 0, over_full_kwh = 0, without_reason = 0,
           both_sources_kw = 0, over_discharge_kw = 0, over_charge_kw = 0, refused_charge_kwh = 0;
};

Worst worst_of(sim::System const& s, sim::RunResult const& result) {
    Worst w;
    double stored = s.start_soc * s.battery.capacity_kwh, tank = s.fill.cut_out_m3;
    for (auto const& r : result.hours) {
        double const energy = r.pv_used_kw + r.grid_kw + r.generator_kw - r.load_served_kw - r.pump_kw -
                              r.inverter_loss_kw - r.pass_through_loss_kw - r.charger_loss_kw -
                              r.controller_loss_kw - r.standby_kw - r.heater_kw - r.battery_loss_kw -
                              (r.battery_stored_kwh - stored);
        double const battery = r.battery_charge_kw - r.battery_discharge_kw - r.battery_loss_kw -
                               (r.battery_stored_kwh - stored);
        double const array = r.pv_available_kw - r.pv_used_kw - r.pv_curtailed_kw;
        double const load = r.load_demand_kw - r.load_served_kw - r.load_unserved_kw;
        double const water = r.water_pumped_m3 - r.water_delivered_m3 - (r.tank_water_m3 - tank);
        double const wanted = r.water_demand_m3 - r.water_delivered_m3 - r.water_short_m3;
        for (double const x : {energy, battery, array, load})
            w.balance_kwh = std::max(w.balance_kwh, std::abs(x));
        for (double const x : {water, wanted}) w.balance_m3 = std::max(w.balance_m3, std::abs(x));
        for (auto const& field : sim::series_fields())
            if (field.name != "battery_temperature_c")
                w.below_zero = std::max(w.below_zero, -(r.*field.value));
        w.over_full_kwh = std::max(w.over_full_kwh, r.battery_stored_kwh - s.battery.capacity_kwh);
        if (r.limit_reason == 0)
            w.without_reason = std::max({w.without_reason, r.load_unserved_kw, r.water_short_m3});
        // Means over the hour: a source that gave more than it can in the time it carried the loads would
        // break the law.
        double const backup_kw = r.grid_kw + r.generator_kw;
        double const most_kw =
            1e-3 * std::min(s.rules.backup == sim::Backup::generator ? s.generator->rated_power_w
                            : s.rules.second ? std::max(s.generator->rated_power_w, s.rules.backup_limit_w)
                                             : s.rules.backup_limit_w,
                            s.inverter.pass_through_va);
        if (s.rules.bypass.empty() && !s.rules.by_hand)
            w.both_sources_kw = std::max(w.both_sources_kw, backup_kw - most_kw * r.backup_h);
        w.over_discharge_kw =
            std::max(w.over_discharge_kw, r.battery_discharge_kw - s.battery.discharge_limit_kw);
        w.over_charge_kw = std::max(w.over_charge_kw, r.battery_charge_kw - s.battery.charge_limit_kw);
        if (r.charge_refused_h == 1)
            w.refused_charge_kwh = std::max(w.refused_charge_kwh, r.battery_charge_kw);
        stored = r.battery_stored_kwh;
        tank = r.tank_water_m3;
    }
    return w;
}

// A transfer needs an explanation: either the energy between the two levels or one of the other rules; the
// events tell which. "" if all are explained.
std::string unexplained(sim::System const& s, sim::RunResult const& result) {
    constexpr double same_h = 1e-6;
    auto const near_event = [&](EventKind kind, double from_h, double to_h) {
        for (auto const& e : result.events)
            if (e.kind == kind && e.time_h >= from_h - same_h && e.time_h <= to_h + same_h) return true;
        return false;
    };
    auto const edge = [&](models::OutageList const& times, double t, double late_h) {
        for (auto const& o : times)
            for (double const at : {o.start_h, o.end_h, o.end_h + late_h})
                if (std::abs(at - t) < same_h) return true;
        return false;
    };
    auto const& set = s.generator_operation;
    double const accept_h = s.rules.accept_delay_s / 3600;
    auto const warnings = models::warnings_of(s.outages, s.rules.forewarned_h, s.rules.forewarned_over_h);
    // The hours of a tariff begin and end at whole hours; in them the battery works down to its reserve.
    auto const by_tariff = [&](double t, double soc) {
        if (!s.rules.tariff) return false;
        auto const& peak = s.rules.tariff->peak;
        bool const changes =
            std::abs(t - std::round(t)) < same_h &&
            peak.has(models::hour_of_day(std::round(t))) != peak.has(models::hour_of_day(std::round(t) - 1));
        return changes || (peak.has(models::hour_of_day(t)) && soc <= s.rules.tariff->reserve + 1e-9);
    };
    double last_h = 0;
    for (auto const& e : result.events) {
        double const t = e.time_h;
        if (e.kind == EventKind::to_inverter) {
            bool const charged =
                e.value >=
                std::min(s.rules.return_above, s.rules.second ? s.rules.second->return_above : 1) - 1e-9;
            bool const gone = edge(s.outages, t, accept_h) || edge(s.rules.bypass, t, 0) ||
                              near_event(EventKind::generator_stop, t, t);
            if (!charged && !gone && !by_tariff(t, 1) && !s.rules.by_hand)
                return "to the inverter at " + std::to_string(t);
        }
        if (e.kind == EventKind::to_backup) {
            bool const tops_up = s.generator && models::is_top_up_time(set.run, t);
            double const call_at =
                std::max(s.rules.transfer_below, s.rules.second ? s.rules.second->transfer_below : 0);
            bool const low = e.value <= (tops_up ? set.top_up_below : call_at) + 1e-9;
            bool const off = near_event(EventKind::inverter_off, last_h, t) ||
                             near_event(EventKind::inverter_tripped, last_h, t);
            bool const volts = s.rules.transfer_below_v > 0 && s.rules.backup != sim::Backup::none;
            // A call lasts until the battery is back at its level, whatever interrupted it; a generator that
            // starts late may find the battery a little higher.
            bool const called = near_event(EventKind::generator_start, last_h, t) ||
                                edge(s.outages, t, accept_h) || edge(s.rules.bypass, t, 0);
            bool const warned = s.rules.backup == sim::Backup::grid && !models::grid_up(warnings, t + same_h);
            if (!low && !off && !volts && !called && !warned && !by_tariff(t, e.value) && !s.rules.by_hand &&
                !(s.rules.grid_first && t == 0))
                return "to the backup at " + std::to_string(t);
        }
        if (e.kind == EventKind::to_inverter || e.kind == EventKind::to_backup) last_h = t;
    }
    // Between a stop of the generator and its next start there must be a call: within one call it starts
    // again only after its rest.
    double stopped_h = -1e9;
    for (auto const& e : result.events) {
        if (e.kind == EventKind::generator_stop) stopped_h = e.time_h + set.run.cool_down_h;
        if (e.kind == EventKind::generator_start && e.time_h < stopped_h + set.run.min_rest_h - same_h)
            return "generator without its rest at " + std::to_string(e.time_h);
    }
    return "";
}

// Most transfers and inverter switchings within any hour, except those for which the battery has moved by the
// whole hysteresis since the one before.
double most_changes_in_an_hour(sim::System const& s, sim::RunResult const& result) {
    double const called_at = std::max(s.rules.transfer_below, s.generator_operation.top_up_below);
    double const hysteresis =
        std::min(s.rules.return_above - called_at, s.rules.restart_above - s.battery.min_soc);
    std::vector<double> times;
    double level = -1;
    for (auto const& e : result.events)
        if (e.kind == EventKind::to_backup || e.kind == EventKind::to_inverter ||
            e.kind == EventKind::inverter_off || e.kind == EventKind::inverter_on) {
            if (std::abs(e.value - level) < hysteresis - 1e-9) times.push_back(e.time_h);
            level = e.value;
        }
    std::size_t most = 0, first = 0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        while (times[first] < times[i] - 1) ++first;
        most = std::max(most, i - first + 1);
    }
    return static_cast<double>(most);
}

}  // namespace

TEST_SUITE_BEGIN("sim/random_supply");

TEST_CASE(
    "10000 random designs with every supply feature: one source, limits, balances, reasons, no chatter") {
    constexpr int hours = 24 * 4;
    for (std::uint64_t seed = 1; seed <= 10000; ++seed) {
        CAPTURE(seed);
        Draw draw(seed);
        auto s = random_system(draw);
        auto in = random_inputs(draw, hours);
        add_supply_features(draw, s, in, hours);
        sim::RunResult result;
        try {
            result = sim::simulate(s, in, {0, hours});
        } catch (std::exception const& error) {
            std::string const what = error.what();
            CAPTURE(what);
            CHECK(false);
            continue;
        }
        auto const w = worst_of(s, result);
        CHECK(w.balance_kwh < 1e-9);
        CHECK(w.balance_m3 < 1e-9);
        CHECK(w.below_zero < 1e-9);
        CHECK(w.over_full_kwh < 1e-9);
        CHECK(w.without_reason < 1e-9);
        CHECK(w.both_sources_kw < 1e-9);
        CHECK(w.over_discharge_kw < 1e-9);
        CHECK(w.over_charge_kw < 1e-9);
        CHECK(w.refused_charge_kwh < 1e-9);
        CHECK(unexplained(s, result) == "");
        CHECK(most_changes_in_an_hour(s, result) <= 20);
    }
}

// Next to no battery, one that may be emptied, levels a hundredth apart, large draws, a small source: every
// law holds, in hours and in minutes. Before, a two-well battery with standby went to -0.096 of its capacity.
TEST_CASE("3000 random designs at the edges: nothing below zero, nothing over a limit, events countable") {
    constexpr int hours = 24 * 4;
    for (std::uint64_t seed = 1; seed <= 3000; ++seed) {
        CAPTURE(seed);
        Draw draw(seed);
        auto s = random_system(draw);
        auto in = random_inputs(draw, hours);
        add_supply_features(draw, s, in, hours);
        test::take_to_the_edges(draw, s);
        test::Trouble trouble;
        try {
            auto const whole = sim::simulate(s, in, {0, hours});
            test::laws(s, whole, trouble);
            test::frost_laws(in, whole, trouble);
            test::laws(s, sim::simulate(s, in, {0, hours, 60.0}), trouble);
        } catch (std::exception const& error) {
            trouble.want(false, std::string("stopped with: ") + error.what());
        }
        for (auto const& line : trouble.lines) FAIL_CHECK(line);
    }
}

// The grid carries 1300 W less the inverter's 45 W. The pump runs without a pause at 1200 W, the loads get 55
// W of 500. The limit is one of continuous power: whether the source carries a start is judged by the start
// itself, and its 3000 J come on top in the hour of the start, 0.8 Wh; nothing else does.
TEST_CASE("a start's energy alone comes on top of the grid's limit") {
    auto s = test::plain_system();
    s.start_soc = 0.3;
    s.inverter.idle_w = 45;
    s.rules.backup = sim::Backup::grid;
    s.rules.transfer_below = 0.3;
    s.rules.return_above = 0.8;
    s.rules.backup_limit_w = 1300;
    s.motor.start_extra_j = 3000;
    s.motor.start_power_w = 3000;
    auto const in = test::steady_inputs(0, 500, 0.6e-3 * 3600, 0.6e-3);
    auto const result = sim::simulate(s, in, {0, 3});
    REQUIRE(result.summary.pump_starts == 1);
    for (auto const& r : result.hours) CHECK(r.grid_kw <= 1.3 + r.pump_starts * 3000 / 3.6e6 + 1e-12);
    CHECK(result.summary.pump_energy_kwh > 1.2 * result.summary.pump_run_h + 0.0008);
}

// The step's length is free with every feature on: kinetic wells, tapers, voltage, run rules.
TEST_CASE("60, 15, 5 and 1 minute steps agree with every supply feature") {
    constexpr int hours = 24 * 10;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        CAPTURE(seed);
        Draw draw(seed);
        auto s = random_system(draw);
        auto in = random_inputs(draw, hours);
        add_supply_features(draw, s, in, hours);
        // Even pump power: what a running pump's power changes over a step is taken at its mean, see
        // laws_test.
        for (auto& node : s.fill.nodes) node.power_w = 1000;
        s.fill = models::fill_curve_from_nodes(s.fill.nodes, s.fill.cut_in_m3, s.fill.cut_out_m3);
        auto const whole = sim::simulate(s, in, {0, hours}).summary;
        for (double const step_s : {900., 300., 60.}) {
            CAPTURE(step_s);
            auto const cut = sim::simulate(s, in, {0, hours, step_s}).summary;
            for (auto const& field : sim::summary_fields()) {
                std::string const name(field.name);
                if (name == "wall_time_s" || name.ends_with("residual_kwh") || name.ends_with("residual_m3"))
                    continue;
                CAPTURE(name);
                bool const count = name == "transfers" || name.find("starts") != name.npos ||
                                   name == "shortage_hours" || name == "longest_shortage_h";
                CHECK(cut.*field.value == test::Near{whole.*field.value, count ? 1 : 1e-4, 0.005});
            }
        }
    }
}

TEST_SUITE_END();
