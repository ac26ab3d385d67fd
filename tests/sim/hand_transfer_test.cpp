#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::EventKind;
using test::CheckScenario, test::Near, test::plain_system, test::steady_inputs;

namespace {

// A 10 kWh battery without losses, inverter of 0.9 with 45 W idle: 900 W of load is 1.045 kWh an hour. By
// hand at 0.4 and back at 0.6, two hours after each call.
sim::System by_hand() {
    auto s = plain_system();
    s.battery.charge_efficiency = s.battery.discharge_efficiency = 1;
    s.inverter.idle_w = 45;
    s.start_soc = 0.4;
    s.rules.restart_above = 0.2;
    s.rules.backup = sim::Backup::grid;
    s.rules.transfer_below = 0.4;
    s.rules.return_above = 0.6;
    s.rules.backup_limit_w = 1e5;
    s.rules.by_hand = true;
    s.rules.hand_response_h = 2;
    return s;
}

std::string refused(std::string const& keys) {
    CheckScenario s;
    s.set("backup", "[backup]\ntransfer_below = 0.4\nreturn_above = 0.8\n" + keys);
    s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    return s.error();
}

}  // namespace

TEST_SUITE_BEGIN("sim/hand_transfer");

// Called at once, switched at 2 h with 4 - 2.09 = 1.91 kWh left; from 3 h on 1 kW of sun charges it: 6 kWh at
// 3 + 4.09 = 7.09 h, switched back at 9.09 h. In between the grid gives the loads and nothing else.
TEST_CASE("someone bypasses the inverter at the low level and comes back at the high one") {
    auto s = by_hand();
    auto in = steady_inputs(0, 900, 0, 1e-3);
    for (std::size_t h = 3; h < 10; ++h) in.array_power_w[h] = 1000;
    auto const r = sim::simulate(s, in, {0, 12});
    CHECK(r.hours[1].battery_stored_kwh == Near{1.91, 1e-9, 0});
    CHECK(r.hours[2].battery_stored_kwh == Near{1.91, 1e-9, 0});
    CHECK(r.hours[5].grid_kw == Near{0.9, 1e-9, 0});
    CHECK(r.hours[5].pass_through_loss_kw == 0);
    CHECK(r.hours[5].battery_charge_kw == Near{1, 1e-9, 0});
    CHECK(r.summary.grid_kwh == Near{0.9 * 7.09, 1e-6, 0});
    CHECK(r.summary.transfers == 2);
    CHECK(r.summary.load_unserved_kwh < 1e-9);
    CHECK(std::abs(r.summary.energy_residual_kwh) < 1e-9);
}

// The grid goes at 5 h while the loads are straight on it: they are without power until 7 h, when someone has
// switched back.
TEST_CASE("a bypassed inverter does not take over when the grid goes") {
    auto s = by_hand();
    s.outages = {{5, 9}};
    auto const r = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 8});
    CHECK(r.summary.load_unserved_kwh == Near{2 * 0.9, 1e-6, 0});
    CHECK(r.hours[5].limit_reason == static_cast<double>(sim::LimitReason::grid_out));
    CHECK(r.hours[7].battery_discharge_kw == Near{1.045, 1e-9, 0});
    // Nobody goes while the grid is out; the call counts from its return.
    s.outages = {{0, 1}};
    s.rules.accept_delay_s = 0;
    auto const late = sim::simulate(s, steady_inputs(0, 900, 0, 1e-3), {0, 8});
    CHECK(late.hours[2].grid_kw < 1e-9);
    CHECK(late.hours[3].grid_kw == Near{0.9, 1e-9, 0});
}

// 7 kW are on when someone switches back to an inverter of 6 kW at 9.09 h. It carries them for 30 s and
// trips, four times; then it waits for someone. The first trip is a new call: bypassed again 2 h later,
// at 11.09833 h. If the grid goes at 5 h instead, they are on when someone switches back at 7 h: the loads
// come to the inverter once, and it trips once and at each of its three restarts.
TEST_CASE("an inverter that is too small for the loads trips when someone switches back") {
    auto s = by_hand();
    s.inverter.rated_power_w = 6000;
    s.inverter.surge = {{1.2, 30}};
    s.rules.trip_on_overload = true;
    auto in = steady_inputs(0, 900, 0, 1e-3);
    for (std::size_t h = 3; h < 10; ++h) in.array_power_w[h] = 1000;
    in.load_w[9] = in.load_w[10] = 7000;
    auto const r = sim::simulate(s, in, {0, 12});
    CHECK(r.findings.overload_transfers == 1);
    CHECK(r.findings.inverter_trips == 4);
    CHECK(r.hours[9].load_served_kw == Near{7 * (0.09 + 120. / 3600), 1e-6, 0});
    CHECK(r.hours[10].load_served_kw == 0);
    CHECK(r.hours[10].limit_reason == static_cast<double>(sim::LimitReason::inverter_tripped));
    CHECK(r.hours[11].grid_kw == Near{0.9 * (12 - 11.09 - 30. / 3600), 1e-6, 0});
    s.outages = {{5, 9}};
    in.load_w[7] = 7000;
    auto const out = sim::simulate(s, in, {0, 8});
    CHECK(out.findings.inverter_trips == 4);
    CHECK(out.findings.overload_transfers == 1);
    CHECK(out.hours[7].load_served_kw == Near{7 * 120. / 3600, 1e-6, 0});
    CHECK(std::abs(out.summary.energy_residual_kwh) < 1e-9);
}

// A listed bypass of two hours; the grid goes in its middle and is not back when it ends.
TEST_CASE("a listed bypass that ends without the grid counts as one transfer with too much load") {
    auto s = by_hand();
    s.rules.by_hand = false;
    s.start_soc = 0.9;
    s.rules.bypass = {{2, 4}};
    s.outages = {{3, 9}};
    s.inverter.rated_power_w = 6000;
    s.inverter.surge = {{1.2, 30}};
    s.rules.trip_on_overload = true;
    auto in = steady_inputs(0, 900, 0, 1e-3);
    in.load_w[4] = 7000;
    auto const r = sim::simulate(s, in, {0, 6});
    CHECK(r.hours[2].grid_kw == Near{0.9, 1e-9, 0});
    CHECK(r.hours[3].load_served_kw == 0);
    CHECK(r.findings.overload_transfers == 1);
    CHECK(r.findings.inverter_trips == 4);
    // With a load that fits there is none.
    in.load_w[4] = 900;
    CHECK(sim::simulate(s, in, {0, 6}).findings.overload_transfers == 0);
}

TEST_CASE("check says what a bypass means, by hand and as listed") {
    CheckScenario s;
    s.set("backup",
          "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\ntransfer = \"by-hand\"\n"
          "hand_response = \"3 h\"\n");
    auto const design = s.run();
    auto const& quiet = test::check_named(design, "bypass");
    CHECK(quiet.verdict == models::Verdict::pass);
    CHECK(quiet.value == 3);
    for (auto const* part : {"At 40 % SOC someone", "back at 80 %, each time 3 h later", "does not charge",
                             "no power until someone", "one more start", "No outage is given"}) {
        CAPTURE(part);
        CHECK(quiet.detail.find(part) != std::string::npos);
    }
    s.set("outage", "[[outage]]\nstart = \"01-05 00:00\"\nlength = \"9 h\"\n");
    auto const stormy = s.run();
    CHECK(test::check_named(stormy, "bypass").verdict == models::Verdict::marginal);
    CHECK(test::check_named(stormy, "bypass").change.find("automatic") != std::string::npos);
    // 8 h and 4 h listed: 12 h in the year, the longest is 8 h.
    s.set("backup", "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\n");
    s.set("bypass",
          "[[bypass]]\nstart = \"06-01 08:00\"\nlength = \"8 h\"\n"
          "[[bypass]]\nstart = \"07-01 08:00\"\nlength = \"4 h\"\n");
    auto const listed = s.run();
    CHECK(test::check_named(listed, "bypass").value == 8);
    CHECK(test::check_named(listed, "bypass").detail.find("Listed bypass: 12 h") != std::string::npos);
    s.set("bypass", "");
    auto const none = s.run();
    for (auto const& c : none.checks) CHECK(c.name != "bypass");
    s.set("waiver", "[[waiver]]\ncheck = \"bypass\"\nreason = \"two neighbors know the switch\"\n");
    CHECK(s.error() == "");
    s.set("waiver", "[[waiver]]\ncheck = \"tariff-reserve\"\nreason = \"no outage is known here\"\n");
    CHECK(s.error() == "");
}

TEST_CASE("keys: refused with what is accepted") {
    CHECK(refused("kind = \"grid\"\ntransfer = \"by-hand\"\nhand_response = \"3 h\"") == "");
    CHECK(refused("kind = \"grid\"\nhand_response = \"3 h\"").find("needs transfer") != std::string::npos);
    CHECK(refused("kind = \"grid\"\ntransfer = \"by-hand\"\ncharge_to = 0.9").find("out of service") !=
          std::string::npos);
    CHECK(
        refused("kind = \"grid\"\ntransfer = \"by-hand\"\nnormal_source = \"grid\"").find("normal_source") !=
        std::string::npos);
    CHECK(refused("kind = \"generator\"\ntransfer = \"by-hand\"").find("generator.start") !=
          std::string::npos);
}

TEST_SUITE_END();
