#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/findings.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/water_remarks.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

constexpr double gallon_m3 = 3.785411784e-3, gpm_m3_s = gallon_m3 / 60, psi_kpa = 6.894757293168361;

std::string demo_text(std::string const& name) {
    std::ifstream in(HOLDWATER_SOURCE "/scenarios/" + name + ".toml");
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::string changed(std::string text, std::string const& from, std::string const& to) {
    auto const at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

struct Run {
    scenarios::Scenario scenario;
    sim::System system;
    sim::RunResult result;
    std::vector<sim::WaterRemark> remarks;
};

Run run(std::string const& text, int days = 365, int first_day = 0) {
    Run r;
    r.scenario = scenarios::read_scenario_text(text, HOLDWATER_SOURCE "/scenarios/test.toml");
    r.system = sim::make_system(r.scenario);
    auto const inputs = sim::make_inputs(r.scenario, weather::read_weather(r.scenario.weather_path));
    r.result = sim::simulate(r.system, inputs, {24 * first_day, 24 * days});
    r.remarks = sim::water_remarks(r.system, r.result);
    return r;
}

using Remark = sim::WaterRemarkKind;

bool has(std::vector<sim::WaterRemark> const& remarks, Remark kind) {
    return std::any_of(remarks.begin(), remarks.end(), [&](auto const& r) { return r.kind == kind; });
}

// A pump of constant flow and 1 kW on a tank with this much between cut-in and cut-out.
sim::System round_pump(double flow_m3_s, double drawdown_m3) {
    auto s = plain_system();
    s.battery.capacity_kwh = 100;
    s.tank.total_volume_m3 *= drawdown_m3 / 0.080;
    double const in = models::stored_water_m3(s.tank, s.tank.cut_in_kpa),
                 out = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    s.fill = models::fill_curve_from_nodes(
        {{0, flow_m3_s, 1000}, {in, flow_m3_s, 1000}, {out, flow_m3_s, 1000}, {1.1 * out, flow_m3_s, 1000}},
        in, out);
    return s;
}

}  // namespace

TEST_SUITE_BEGIN("sim/water_stories");

// A waterlogged tank: pump 10 gpm, draw 5 gpm without a pause, drawdown 10 / 3 / 0.3 gal. Recomputed:
// run = D / (10 - 5), rest = D / 5 min, so 15 / 50 / 500 starts an hour and runs of 120 / 36 / 3.6 s. Least
// run one minute and 100 starts a day for a 1 hp single-phase motor: frequency-of-starts table of a
// submersible-motor manual; the minute is common practice, no source.
TEST_CASE("a waterlogged tank short-cycles and says so, though the energy hardly changes") {
    struct Row {
        double drawdown_gal, starts_per_h, run_s;
        bool sound;
    };
    double first_kwh = 0;
    for (auto const& [drawdown_gal, starts_per_h, run_s, sound] :
         {Row{10, 15, 120, true}, Row{3, 50, 36, false}, Row{0.3, 500, 3.6, false}}) {
        CAPTURE(drawdown_gal);
        auto s = round_pump(10 * gpm_m3_s, drawdown_gal * gallon_m3);
        s.motor.least_run_s = 60;
        s.motor.starts_limit_per_day = 400;
        s.motor.start_power_w = 6000;
        s.motor.start_extra_j = 2500;
        s.motor.start_s = 0.5;
        s.motor.start_a = 48;
        s.motor.running_a = 8;
        auto const r = sim::simulate(s, steady_inputs(1e4, 0, 5 * gpm_m3_s * 3600, 5 * gpm_m3_s), {0, 24});
        CHECK(r.summary.pump_starts == Near{24 * starts_per_h, 0, 1e-9});
        CHECK(r.summary.shortest_run_s == Near{run_s, 0, 1e-6});
        CHECK(r.findings.longest_run_s == Near{run_s, 0, 1e-6});
        CHECK(r.findings.most_starts_in_1h == Near{starts_per_h, 1, 0});
        CHECK(has(sim::water_remarks(s, r), Remark::short_cycling) == !sound);
        CHECK(has(sim::water_remarks(s, r), Remark::too_many_starts) == (starts_per_h * 24 > 400));
        // 12 h of running at 1 kW, and 2.5 kJ a start: only the starts make a difference.
        double const running_kwh = r.summary.pump_energy_kwh - r.findings.start_energy_kwh;
        CHECK(running_kwh == Near{12, 1e-6, 0});
        CHECK(r.findings.start_energy_kwh == Near{24 * starts_per_h * 2500 / 3.6e6, 2500 / 3.6e6, 0});
        if (first_kwh == 0) first_kwh = running_kwh;
        CHECK(running_kwh == Near{first_kwh, 1e-6, 0});
        // Copper heat over that of running all the time, recomputed: (36 x 0.5 + on - 0.5) / (on + off).
        CHECK(r.findings.start_heating_index == Near{(36 * 0.5 + run_s - 0.5) / (2 * run_s), 0, 0.03});
    }
}

// The same in a design: the household's 45 and 85 gal tanks at 40/60 psi are sound, a tenth of the air is
// not. 100 starts a day: as above.
TEST_CASE("a household on 45 and 85 gal at 40/60 stays within common practice; with a tenth of the air not") {
    std::string const text = demo_text("juniper-bend-household");
    auto const large = run(text), small = run(changed(text, "\"85 gal\"", "\"45 gal\"")),
               two = run(changed(text, "volume    = \"85 gal\"", "volumes = [\"45 gal\", \"40 gal\"]")),
               logged = run(changed(text, "cut_in    = ", "air_left = 0.1\ncut_in    = "));
    // Half the tank, twice the starts: the day's water over the drawdown.
    CHECK(small.result.summary.pump_starts > 1.7 * large.result.summary.pump_starts);
    CHECK(small.result.summary.pump_starts < 2.2 * large.result.summary.pump_starts);
    CHECK(two.result.summary.pump_starts == Near{large.result.summary.pump_starts, 0.5, 0});
    for (auto const* r : {&large, &small}) {
        MESSAGE(r->result.findings.most_starts_in_24h, " starts in 24 h at most, shortest run ",
                r->result.summary.shortest_run_s, " s");
        CHECK(r->result.findings.starts_limit_per_day == 100);
        CHECK(r->result.findings.most_starts_in_24h < 100);
        CHECK(r->result.summary.shortest_run_s > 60);
        CHECK(r->remarks.empty());
    }
    CHECK(has(logged.remarks, Remark::short_cycling));
    CHECK(logged.result.summary.shortest_run_s == Near{large.result.summary.shortest_run_s / 10, 0, 0.15});
}

// A well that runs dry while the energy is fine: yield 2 gpm, pump 10 gpm, 152 mm bore, 40 m of water above
// the intake (726 L, 192 gal), hose open for an hour. Recomputed: 192 / (10 - 2) = 24 min until the intake is
// reached, 240 gal pumped by then; 192 / 2 = 96 min = 1.6 h to fill again. A pressure tank of no size.
TEST_CASE("a well runs dry while the battery is full: trip after 24 minutes and 240 gallons") {
    auto s = round_pump(10 * gpm_m3_s, 0.002);
    models::WellParameters w;
    w.static_level_m.fill(20);
    w.intake_depth_m = 60;
    w.cover_m = 0;
    w.casing_inside_diameter_m = 0.152;
    w.specific_capacity_m2_s = 1;  // the yield decides
    w.yield_limit_m3_s = 2 * gpm_m3_s;
    w.restart_delay_s = 1800;
    w.restart_tries = -1;
    s.well = sim::WellSystem{w, std::nullopt, {}, {}};
    for (int i = 0; i <= 24; ++i) s.well->band_edges_m.push_back(20 + 40. * i / 24);
    s.pump_at_level.resize(24);
    for (auto& c : s.pump_at_level) c.full_speed = s.fill;
    auto in = steady_inputs(1e4, 0, 0, 10 * gpm_m3_s);
    in.demand_m3[0] = 600 * gallon_m3;
    auto const r = sim::simulate(s, in, {0, 24});
    double trip_h = 0;
    for (auto const& e : r.events)
        if (e.kind == sim::EventKind::well_dry && trip_h == 0) trip_h = e.time_h;
    // The first liters come from the tank, before the pump starts.
    double const tank_s = models::drawdown_m3(s.tank) / (10 * gpm_m3_s);
    double const casing_m3 = 40 * models::casing_area_m2(w);
    CHECK(casing_m3 == Near{0.726, 0.0005, 0});
    CHECK(trip_h * 3600 == Near{tank_s + casing_m3 / (8 * gpm_m3_s), 2, 0});
    CHECK((trip_h * 3600 - tank_s) / 60 == Near{24, 0.05, 0});
    CHECK((trip_h * 3600 - tank_s) / 60 * 10 == Near{240, 0.5, 0});
    CHECK(r.findings.dry_run_trips >= 1);
    CHECK(r.hours[0].water_short_m3 > 0);
    CHECK(r.hours[0].limit_reason == static_cast<double>(sim::LimitReason::well_dry));
    CHECK(r.summary.soc_min > 0.49);  // the battery ends where it began, or higher
    CHECK(has(sim::water_remarks(s, r), Remark::well_drawn_down));
    CHECK(r.hours[23].well_level_m == Near{20, 0.01, 0});
}

// From the trip on the level rises at the yield until the delay is over; recovery of the whole casing would
// take 1.6 h (recomputed, as above).
TEST_CASE("the same well recovers in 1.6 hours") {
    models::WellParameters w;
    w.static_level_m.fill(20);
    w.intake_depth_m = 60;
    w.cover_m = 0;
    w.casing_inside_diameter_m = 0.152;
    w.specific_capacity_m2_s = 1;
    w.yield_limit_m3_s = 2 * gpm_m3_s;
    CHECK(models::time_to_drawdown_s(w, 40, 0.01, 0) / 3600 == Near{1.6, 0.01, 0});
}

// A well that the pump draws down in half a minute: 4 gal are above the level of the protection, the pump
// takes 10 gpm and 2 gpm flow in, so 4 / (10 - 2) min = 30 s. The protection holds the pump for 5370 s, in
// which the 4 gal return (2 min), so a run begins every 5400 s: sixteen in a day of open taps. The motor
// should run 60 s. Before, only runs from cut-in to cut-out were counted: there are none here, so the answer
// was "shortest run 0 s" and no remark.
TEST_CASE("sixteen bursts of a dry well are counted, timed and named") {
    auto s = round_pump(10 * gpm_m3_s, 0.002);
    s.motor.least_run_s = 60;
    models::WellParameters w;
    w.casing_inside_diameter_m = 0.152;
    double const depth_m = 4 * gallon_m3 / models::casing_area_m2(w);
    w.static_level_m.fill(20);
    w.intake_depth_m = 20 + depth_m;
    w.cover_m = 0;
    w.specific_capacity_m2_s = 1;  // the yield decides
    w.yield_limit_m3_s = 2 * gpm_m3_s;
    w.restart_delay_s = 5370;
    w.restart_tries = -1;
    s.well = sim::WellSystem{w, std::nullopt, {}, {}};
    for (int i = 0; i <= 24; ++i) s.well->band_edges_m.push_back(20 + depth_m * i / 24);
    s.pump_at_level.resize(24);
    for (auto& c : s.pump_at_level) c.full_speed = s.fill;
    auto const r = sim::simulate(s, steady_inputs(1e4, 0, 600 * gallon_m3, 10 * gpm_m3_s), {0, 24});
    CHECK(r.summary.pump_starts == 16);
    CHECK(r.findings.dry_run_trips == 16);
    CHECK(r.findings.dry_run_short_runs == 16);
    CHECK(r.findings.dry_run_shortest_run_s == Near{30, 0.2, 0});
    CHECK(r.summary.shortest_run_s == r.findings.dry_run_shortest_run_s);
    CHECK(r.findings.runs_below_least == 0);  // the tank is not the cause
    auto const remarks = sim::water_remarks(s, r);
    auto const bursts = std::find_if(remarks.begin(), remarks.end(),
                                     [](auto const& m) { return m.kind == Remark::short_runs_in_well; });
    REQUIRE(bursts != remarks.end());
    CHECK(bursts->count == 16);
    CHECK(bursts->limit == 60);
    CHECK(bursts->value == Near{30, 0.2, 0});
    CHECK(!has(remarks, Remark::short_cycling));
    // With three tries the fourth trip in a row leaves the pump off until someone resets it: the taps are
    // dry.
    auto few_tries = s;
    few_tries.well->casing->restart_tries = 3;
    auto const left_off =
        sim::simulate(few_tries, steady_inputs(1e4, 0, 600 * gallon_m3, 10 * gpm_m3_s), {0, 24});
    CHECK(left_off.findings.dry_run_trips == 4);
    CHECK(left_off.summary.pump_starts == 4);
    CHECK(left_off.hours[4].water_short_m3 < 599 * gallon_m3);  // the fourth run begins after 4.5 h
    for (std::size_t h = 5; h < 24; ++h)
        CHECK(left_off.hours[h].water_short_m3 == Near{600 * gallon_m3, 1e-9, 0});
    // A motor that tolerates such runs: no remark.
    s.motor.least_run_s = 20;
    auto const sound = sim::simulate(s, steady_inputs(1e4, 0, 600 * gallon_m3, 10 * gpm_m3_s), {0, 24});
    CHECK(sound.findings.dry_run_short_runs == 0);
    CHECK(sound.summary.shortest_run_s == Near{30, 0.2, 0});
    CHECK(!has(sim::water_remarks(s, sound), Remark::short_runs_in_well));
}

// A timer that keeps the motor off: run 200 s, a rest of 400 s would be needed (see constant_day_test), but
// 600 s are enforced.
TEST_CASE("a start is delayed until the rest is over, and water runs short for that reason") {
    auto s = plain_system();
    s.motor.min_rest_s = 600;
    auto const r = sim::simulate(s, steady_inputs(1e4, 0, 0.72, 0.2e-3), {0, 24});
    auto const free = sim::simulate(plain_system(), steady_inputs(1e4, 0, 0.72, 0.2e-3), {0, 24});
    CHECK(r.summary.pump_starts < free.summary.pump_starts);
    CHECK(r.findings.lowest_pressure_kpa < free.findings.lowest_pressure_kpa - 1);
    // With a longer one the taps run short.
    s.motor.min_rest_s = 3600;
    auto const dry = sim::simulate(s, steady_inputs(1e4, 0, 0.72, 0.2e-3), {0, 24});
    CHECK(dry.summary.water_short_m3 > 1);
    CHECK(std::any_of(dry.hours.begin(), dry.hours.end(), [](auto const& h) {
        return h.limit_reason == static_cast<double>(sim::LimitReason::motor_rest);
    }));
}

// Taps at 0.8 L/s against a pump of 0.6: 80 L above cut-in are gone in the first 100 s, then the pressure
// falls with the tank; when it is empty, the taps get what the pump gives.
TEST_CASE("demand above the pump's flow: pressure falls, then water is unmet") {
    auto const s = plain_system();
    auto const r = sim::simulate(s, steady_inputs(1e4, 0, 0.8e-3 * 3600, 0.8e-3), {0, 2});
    double const tank_m3 = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    double const empty_s = 100 + (tank_m3 - 0.080) / 0.2e-3;
    CHECK(r.hours[0].water_short_m3 == Near{(3600 - empty_s) * 0.2e-3, 1e-9, 0});
    CHECK(r.findings.lowest_pressure_kpa == Near{s.tank.precharge_kpa, 1e-9, 0});
    CHECK(r.hours[1].water_short_m3 == Near{0.72, 1e-9, 0});
    CHECK(r.hours[1].limit_reason == static_cast<double>(sim::LimitReason::pump_flow));
    CHECK(has(sim::water_remarks(s, r), Remark::taps_above_pump));
}

// Common practice, no source: systems that pump more than 6 to 8 hours a day need a larger battery and array.
// Three times the water: three times the pumping, and what the battery passes for the pump grows with it.
TEST_CASE("a long pumping day is pointed out, and the battery's work grows in proportion") {
    std::string const text =
        changed(changed(changed(demo_text("juniper-bend-household"), "\"10.2 kWh\"", "\"60 kWh\""),
                        "\"1.6 kW\"", "\"8 kW\""),
                "power_limit = \"1.8 kW\"", "power_limit = \"9 kW\"");
    auto const of = [&](std::string const& daily) {
        return run(changed(changed(text, "225 gal/day", daily), "\"3 gpm\"", "\"8 gpm\""), 30, 150);
    };
    auto const base = of("1500 gal/day"), triple = of("4500 gal/day"), none = of("0 gal/day");
    double const pump_base = base.result.summary.pump_energy_kwh,
                 pump_triple = triple.result.summary.pump_energy_kwh;
    CHECK(triple.result.summary.shortage_hours == 0);
    CHECK(pump_triple / pump_base == Near{3, 0, 0.05});
    double const battery_none = none.result.summary.battery_out_kwh;
    double const battery_base = base.result.summary.battery_out_kwh - battery_none,
                 battery_triple = triple.result.summary.battery_out_kwh - battery_none;
    MESSAGE("battery out for the pumps: ", battery_base, " kWh, ", battery_triple, " kWh; pump day ",
            triple.result.findings.longest_day_run_h, " h");
    CHECK(battery_triple / battery_base == Near{3, 0, 0.1});
    CHECK(has(triple.remarks, Remark::long_days));
    CHECK(!has(base.remarks, Remark::long_days));
}

TEST_CASE("the dripping tap does not wake the drive for long, and standby is paid for") {
    auto const tankless = run(demo_text("juniper-bend-tankless"));
    auto const& f = tankless.result.findings;
    CHECK(tankless.result.summary.shortage_hours == 0);
    // While it is awake it holds the set point: between wake-up and set point all year.
    CHECK(f.lowest_pressure_kpa > 49.9 * psi_kpa);
    auto const frugal =
        run(changed(demo_text("juniper-bend-tankless"), "standby    = \"15 W\"", "standby = \"0 W\""));
    double const asleep_h = 8760 - tankless.result.summary.pump_run_h;
    CHECK(tankless.result.summary.pump_energy_kwh - frugal.result.summary.pump_energy_kwh ==
          Near{0.015 * asleep_h, 0, 0.01});
}

TEST_CASE("the cistern holds its fire reserve and fills by the sun first") {
    std::string const text = demo_text("alder-flat-cistern");
    auto const sun = run(text),
               level = run(changed(
                   changed(changed(changed(text, "\"prefer-surplus\"", "\"level\""), "fill_sun_above", "#"),
                           "fill_battery_above", "#"),
                   "fill_enough", "#"));
    CHECK(sun.result.summary.shortage_hours == 0);
    CHECK(sun.result.findings.cistern_least_m3 >= 560 * gallon_m3 - 1e-6);
    CHECK(level.result.findings.cistern_least_m3 >= 560 * gallon_m3 - 1e-6);
    double sun_by_night_h = 0, level_by_night_h = 0;
    for (std::size_t h = 0; h < 8760; ++h) {
        if (sun.result.hours[h].pv_available_kw > 0.01) continue;
        sun_by_night_h += sun.result.hours[h].fill_pump_run_h;
        level_by_night_h += level.result.hours[h].fill_pump_run_h;
        if (h == 0 || sun.result.hours[h].fill_pump_run_h == 0) continue;
        // Without sun only when low, or with the battery full when the hour began.
        auto const& before = sun.result.hours[h - 1];
        bool const allowed = before.battery_soc >= 0.95 || before.cistern_water_m3 <= 800 * gallon_m3;
        CHECK(allowed);
    }
    MESSAGE("filling by night: ", sun_by_night_h, " h sun first, ", level_by_night_h, " h by level");
    CHECK(sun_by_night_h < level_by_night_h);
}

// A float that sticks: filled at 1 L/s from 9 m3 on, 10 m3 to the overflow, which runs from 1000 s on to the
// end of the hour; 0.5 m3 an hour are drawn from the second hour on. By hand.
TEST_CASE("a float that sticks spills what the cistern cannot hold, and nothing is lost or made") {
    for (bool const gravity : {true, false}) {
        CAPTURE(gravity);
        auto s = plain_system();
        s.battery.capacity_kwh = 100;
        sim::CisternSystem c;
        c.cistern.capacity_m3 = 10;
        c.cistern.fill_start_m3 = 9.5;
        c.cistern.fill_stop_m3 = 12;
        c.start_m3 = 9;
        c.resume_m3 = 0.1;
        c.gravity = gravity;
        c.filling = {{1e-3, 1000}};
        s.cistern = c;
        auto in = steady_inputs(0, 0, 0.5, 0.5e-3);
        in.demand_m3[0] = 0;
        auto const r = sim::simulate(s, in, {0, 24});
        CHECK(r.hours[0].water_spilled_m3 == Near{3.6 - 1, 1e-6, 0});
        CHECK(r.findings.water_spilled_m3 == Near{24 * 3.6 - 1 - 23 * 0.5, gravity ? 1e-6 : 0.6, 0});
        CHECK(std::abs(r.summary.water_residual_m3) < 1e-9);
        CHECK(has(sim::water_remarks(s, r), Remark::water_spilled));
    }
}

// 10 head drink 0.04 m3 an hour from a full trough of 0.5 m3; the valve opens at 0.3 m3, after 5 h, and lets
// in 0.12 m3 an hour net of 0.04: shut after 2.5 h, open again after 5 more. Without power the trough
// lasts 12.5 h.
TEST_CASE("a trough fills by its float, and lasts on without the pump") {
    auto s = plain_system();
    s.battery.capacity_kwh = 100;
    s.trough = models::TroughParameters{0.5, 0.3, 0.12 / 3600};
    auto const in = steady_inputs(0, 0, 0.04, 0.2e-3);
    auto const r = sim::simulate(s, in, {0, 24});
    CHECK(r.hours[4].trough_water_m3 == Near{0.3, 1e-9, 0});
    CHECK(r.hours[6].trough_water_m3 == Near{0.3 + 2 * 0.08, 1e-9, 0});
    CHECK(r.hours[7].trough_water_m3 == Near{0.5 - 0.5 * 0.04, 1e-9, 0});
    CHECK(r.summary.water_short_m3 == Near{0, 1e-12, 0});
    // If nothing pumps, the water in the pressure tank is used first: 0.12 m3 an hour from the fifth hour on.
    s.battery.capacity_kwh = 0;
    s.start_soc = 0;
    auto const dark = sim::simulate(s, in, {0, 24});
    double const tank_m3 = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    CHECK(dark.summary.water_delivered_m3 == Near{0.5 + tank_m3, 1e-9, 0});
    CHECK(dark.hours[23].limit_reason == static_cast<double>(sim::LimitReason::sun_too_weak));
}

// Starts of 15 an hour (rows of the waterlogged tank above), at most 100 a day: the limit is passed in the
// seventh hour, and from then on every hour of two days ends above it. Rest 120 s, as long as the run.
TEST_CASE("hours above the limit of starts, and the shortest rest") {
    auto s = round_pump(10 * gpm_m3_s, 10 * gallon_m3);
    s.motor.starts_limit_per_day = 100;
    auto const r = sim::simulate(s, steady_inputs(1e4, 0, 5 * gpm_m3_s * 3600, 5 * gpm_m3_s), {0, 48});
    CHECK(r.findings.hours_above_start_limit == 48 - 6);
    CHECK(r.findings.shortest_rest_s == Near{120, 1e-6, 0});
}

// Gravity alone: 10 m3 in the tank, 2 m3 in reserve, nothing pumped; 8 m3 are delivered, then nothing.
TEST_CASE("an elevated cistern gives its usable water by gravity, without pump or power") {
    auto s = plain_system();
    s.battery.capacity_kwh = 0;
    s.start_soc = 0;
    sim::CisternSystem c;
    c.cistern.capacity_m3 = 10;
    c.cistern.reserve_m3 = 2;
    c.cistern.fill_start_m3 = 5;
    c.cistern.fill_stop_m3 = 9.5;
    c.cistern.floor_elevation_m = 20;
    c.start_m3 = 10;
    c.resume_m3 = 2.5;
    c.gravity = true;
    c.water_temperature_c = 10;
    c.filling = {{1e-3, 1000}};
    s.cistern = c;
    auto const r = sim::simulate(s, steady_inputs(0, 0, 0.5, 0.5e-3), {0, 24});
    CHECK(r.summary.water_delivered_m3 == Near{8, 1e-6, 0});
    CHECK(r.summary.water_short_m3 == Near{4, 1e-6, 0});
    CHECK(r.hours[15].water_short_m3 == Near{0, 1e-6, 0});
    CHECK(r.hours[16].water_short_m3 == Near{0.5, 1e-6, 0});
    // 20 m of water at 10 degC (999.7 kg/m3): 196.08 kPa.
    CHECK(r.hours[23].tank_pressure_kpa == Near{999.7 * 9.80665 * 20 / 1000, 0.02, 0});
}

// The same until the first day ends, then no water: of the last 24 h, k hours later (24 - k) x 15 starts are
// left, more than 100 up to k = 17. Above the limit: hours 7 to 24 and 17 more.
TEST_CASE("hours above the limit of starts end when the starts of the day before are a day old") {
    auto s = round_pump(10 * gpm_m3_s, 10 * gallon_m3);
    s.motor.starts_limit_per_day = 100;
    auto in = steady_inputs(1e4, 0, 5 * gpm_m3_s * 3600, 5 * gpm_m3_s);
    for (std::size_t h = 24; h < 72; ++h) in.demand_m3[h] = 0;
    CHECK(sim::simulate(s, in, {0, 72}).findings.hours_above_start_limit == 18 + 17);
}

// 0.01 m3 at 0.5 L/s is drawn in 20 s; taps with a larger flow are not opened by anyone.
TEST_CASE("the largest draw is that of taps that are used") {
    auto in = steady_inputs(0, 0, 0, 0.9e-3);
    in.demand_m3[7] = 0.01;
    in.tap_flow_m3_s[7] = 0.5e-3;
    CHECK(sim::peak_draw_m3_s(in) == 0.5e-3);
    in.demand_m3[7] = 3.6;  // more than the tap gives in the hour: 1 L/s
    CHECK(sim::peak_draw_m3_s(in) == Near{1e-3, 1e-15, 0});
}

TEST_SUITE_END();
