#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "models/battery/battery_bank.hpp"
#include "scenarios/settings/scenario.hpp"
#include "tests/support/command.hpp"
#include "tests/support/error_of.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::Backup, scenarios::Provenance, scenarios::read_scenario_text, scenarios::Scenario,
    test::error_of, test::Near;

namespace {

// The household demo with supply tables of its own: [battery], [inverter], [charger], loads and backup side.
std::string with(std::string const& battery, std::string const& inverter, std::string const& rest) {
    std::string const demo = test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    return demo.substr(0, demo.find("[battery]")) + "[battery]\n" + battery +
           "\n[inverter]\nrated_power = \"6 kW\"\nefficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]\n" +
           "idle = \"30 W\"\n" + inverter + "\n" + rest + "\n" + demo.substr(demo.find("[well]"));
}

std::string const lithium =
    "chemistry = \"lithium-iron-phosphate\"\ncapacity = \"10 kWh\"\nnominal_voltage = \"51.2 V\"\n";
std::string const lead =
    "chemistry = \"flooded-lead-acid\"\ncapacity = \"10 kWh\"\nnominal_voltage = \"48 V\"\n";
std::string const charger = "[charger]\npower_limit = \"2 kW\"\n";
std::string const grid = charger + "[backup]\nkind = \"grid\"\ntransfer_below = 0.6\nreturn_above = 0.9\n";
std::string const set = charger +
                        "[backup]\nkind = \"generator\"\ntransfer_below = 0.6\nreturn_above = 0.9\n" +
                        "[generator]\nrated_power = \"5 kW\"\nfuel_at_half_load = \"1.9 L/h\"\n" +
                        "fuel_at_full_load = \"2.9 L/h\"\n";

scenarios::Scenario read(std::string const& text) { return read_scenario_text(text, "test.toml"); }

}  // namespace

TEST_SUITE_BEGIN("scenarios/read_supply");

TEST_CASE("a chemistry stands in for what is left out, a key overrides it") {
    auto const s = read(with(lithium, "", ""));
    auto const usual = models::chemistry_defaults(models::Chemistry::lithium_iron_phosphate);
    CHECK(s.battery.min_soc == usual.min_soc);
    CHECK(s.battery.charge_limit_kw == Near{10 * usual.charge_rate_per_h, 1e-12, 0});
    CHECK(s.battery_behavior.voltage.open_circuit.empty());
    CHECK(!s.battery_behavior.thermal);
    CHECK(std::isinf(s.battery_life.calendar_life_y));
    CHECK(s.rules.restart_above == Near{usual.min_soc + 0.1, 1e-12, 0});
    auto const own = read(with(lithium + "usable_fraction = 0.7\ncharge_limit = \"3 kW\"\n", "", ""));
    CHECK(own.battery.min_soc == Near{0.3, 1e-12, 0});
    CHECK(own.battery.charge_limit_kw == 3);
    CHECK(read(with(lead, "", "")).battery_behavior.store.acceptance_per_h == 1);
}

TEST_CASE("the trade's short names of a chemistry are taken") {
    auto const short_name = [](std::string text, std::string const& from, std::string const& to) {
        return read(with(text.replace(text.find(from), from.size(), to), "", ""));
    };
    using models::Chemistry;
    auto const usual = [](Chemistry c) { return models::chemistry_defaults(c).self_discharge_per_month; };
    REQUIRE(usual(Chemistry::lithium_iron_phosphate) != usual(Chemistry::sealed_lead_acid));
    auto const per_h = [](double per_month) { return models::self_discharge_per_h(per_month); };
    CHECK(short_name(lithium, "lithium-iron-phosphate", "LFP").battery.self_discharge_per_h ==
          per_h(usual(Chemistry::lithium_iron_phosphate)));
    CHECK(short_name(lithium, "lithium-iron-phosphate", "AGM").battery.self_discharge_per_h ==
          per_h(usual(Chemistry::sealed_lead_acid)));
}

TEST_CASE("units in series and parallel; the rated capacities are those of one unit") {
    std::string const units =
        "chemistry = \"flooded-lead-acid\"\nunit_voltage = \"6 V\"\nunit_capacity = \"370 Ah\"\n"
        "in_series = 8\nin_parallel = 2\n";
    auto const plain = read(with(units, "", ""));
    CHECK(plain.battery.capacity_kwh == Near{48 * 740e-3, 1e-12, 0});
    CHECK(plain.battery_v == 48);
    // Recomputed fit of this table: c 0.48485, k 0.30344 1/h, 434.63 Ah; half a percent.
    auto const wells =
        read(with(units + "rated_hours = [\"5 h\", \"10 h\", \"20 h\", \"48 h\", \"100 h\"]\n"
                          "rated_capacities = [\"281 Ah\", \"326 Ah\", \"370 Ah\", \"405 Ah\", \"420 Ah\"]\n",
                  "", ""));
    CHECK(wells.battery_behavior.store.kind == models::BatteryKind::two_well);
    CHECK(wells.battery_behavior.store.available_fraction == Near{0.48485, 0, 0.005});
    CHECK(wells.battery_behavior.store.exchange_per_h == Near{0.30344, 0, 0.005});
    CHECK(wells.battery.capacity_kwh == Near{48 * 2 * 434.63e-3, 0, 0.005});
}

TEST_CASE("voltage, temperature and life") {
    auto const s =
        read(with(lithium + "voltage_model = true\n[battery.temperature]\nheater = \"60 W\"\n"
                            "[battery.life]\ndepths = [0.2, 0.5, 0.8]\ncycles = [9000, 4000, 2500]\n",
                  "low_voltage_cutout = \"44 V\"", ""));
    CHECK(s.battery_behavior.voltage.open_circuit.back().volts ==
          Near{54.4, 1e-9, 0});  // 16 cells, from memory
    REQUIRE(s.battery_behavior.thermal);
    CHECK(s.battery_behavior.thermal->heater_w == 60);
    CHECK(s.battery_behavior.thermal->time_constant_h == 12);
    CHECK(s.battery_behavior.charge_rule.refuse_below_c == 0);
    CHECK(!s.battery_behavior.capacity_at.empty());
    REQUIRE(s.battery_life.cycle_life);
    CHECK(s.battery_life.calendar_life_y == 12);
    CHECK(s.inverter.low_voltage_v == 44);
    auto const warm = read(
        with(lithium + "[battery.temperature]\ncold_charge_refused = false\ncold_takes_capacity = false\n",
             "", ""));
    CHECK(std::isinf(warm.battery_behavior.charge_rule.refuse_below_c));
    CHECK(warm.battery_behavior.capacity_at.empty());
}

TEST_CASE("inverter, loads, backup: defaults and what the keys become") {
    auto const plain = read(with(lithium, "", grid));
    CHECK(plain.inverter.surge.empty());
    CHECK(plain.inverter.legs == 2);
    CHECK(std::isinf(plain.inverter.pass_through_va));
    CHECK(!plain.rules.trip_on_overload);
    CHECK(!plain.rules.grid_first);
    CHECK(plain.rules.charge_to == 0);
    CHECK(plain.rules.accept_delay_s == 60);
    CHECK(plain.rules.break_s == Near{0.02, 1e-12, 0});
    auto const s = read(with(
        lithium,
        "surge_power = [\"12 kW\", \"9 kW\"]\nsurge_times = [\"5 s\", \"30 s\"]\nsplit_phase = false\n"
        "search_draw = \"5 W\"\nsearch_wakes_at = \"20 W\"\npass_through = \"7 kW\"\non_overload = \"trip\"\n"
        "trip_restart_delay = \"1 min\"\ntrip_restarts = 2\ntrip_reset_after = \"12 h\"\ndc_voltage = \"48 "
        "V\"",
        "[[load]]\nname = \"fridge\"\npower = \"100 W\"\nduty = 0.4\nduty_per_kelvin = 0.02\npriority = 2\n"
        "shed_below = 0.3\nleg = 1\nphantom = \"2 W\"\n" +
            charger +
            "[backup]\nkind = \"grid\"\nnormal_source = \"grid\"\naccept_delay = \"5 min\"\ntransfer_time = "
            "\"3 s\"\n"
            "[[outage]]\nstart = \"01-02 00:00\"\nlength = \"5 h\"\n[[bypass]]\nstart = \"02-01 "
            "00:00\"\nlength = \"1 h\"\n"
            "[outage_statistics]\nsaifi = 6\ncaidi = \"2 h\"\nseed = 3\n"));
    REQUIRE(s.inverter.surge.size() == 2);
    CHECK(s.inverter.surge[0].ratio == 2);
    CHECK(s.inverter.surge[1].seconds == 30);
    CHECK(s.inverter.legs == 1);
    CHECK(s.inverter.search_wake_w == 20);
    CHECK(s.rules.trip_on_overload);
    CHECK(s.rules.trip.restart_delay_s == Near{60, 1e-9, 0});
    CHECK(s.rules.trip.restarts == 2);
    CHECK(s.rules.trip_reset_h == 12);
    REQUIRE(s.loads.size() == 1);
    CHECK(s.loads[0].load.priority == 2);
    CHECK(s.loads[0].shed_below == 0.3);
    CHECK(s.loads[0].leg == 1);
    CHECK(s.loads[0].duty_per_k == 0.02);
    CHECK(s.rules.grid_first);
    CHECK(s.rules.transfer_below == s.battery.min_soc);
    CHECK(s.rules.accept_delay_s == Near{300, 1e-9, 0});
    CHECK(s.rules.bypass.size() == 1);
    CHECK(s.outages.size() > 1);
    CHECK(read(with(lithium, "", grid + "[outage_statistics]\nsaifi = 6\ncaidi = \"2 h\"\nseed = 3\n"))
              .outages ==
          read(with(lithium, "", grid + "[outage_statistics]\nsaifi = 6\ncaidi = \"2 h\"\nseed = 3\n"))
              .outages);
}

TEST_CASE(
    "outages by the utility's figures: major events are a second list, and without storms a warning says "
    "so") {
    std::string const grid = "[backup]\nkind = \"grid\"\nnormal_source = \"grid\"\n";
    std::string const ordinary = "[outage_statistics]\nsaifi = 1.064\ncaidi = \"118.1 min\"\n";
    auto const warns = [](Scenario const& s) {
        return std::any_of(s.warnings.begin(), s.warnings.end(),
                           [](auto const& w) { return w.find("storms are left out") != w.npos; });
    };
    auto const spread_of = [](Scenario const& s, std::string const& key) {
        return std::find_if(s.provenance.begin(), s.provenance.end(),
                            [&](auto const& p) { return p.input == key; });
    };
    auto const s = read(with(lithium, "", grid + ordinary));
    REQUIRE(s.outage_statistics.has_value());
    CHECK(s.outage_statistics->ordinary.mean_duration_h == Near{118.1 / 60, 1e-12, 0});
    CHECK(s.outage_statistics->ordinary.log_sigma == 1.3);
    CHECK(!s.outage_statistics->major_events);
    CHECK(warns(s));
    auto const spread = spread_of(s, "outage_statistics.length_spread");
    REQUIRE(spread != s.provenance.end());
    CHECK(spread->provenance == Provenance::assumed);
    CHECK(spread->low == "1.0");
    CHECK(spread->high == "1.5");

    auto const stated = read(with(lithium, "", grid + ordinary + "length_spread = 1.1\n"));
    CHECK(spread_of(stated, "outage_statistics.length_spread") == stated.provenance.end());
    CHECK(!warns(read(
        with(lithium, "", grid + ordinary + "[[outage]]\nstart = \"01-02 00:00\"\nlength = \"60 h\"\n"))));
    auto const both =
        read(with(lithium, "", grid + ordinary + "major_saifi = 5\nmajor_caidi = \"615.2 min\"\n"));
    CHECK(!warns(both));
    REQUIRE(both.outage_statistics->major_events.has_value());
    CHECK(both.outage_statistics->major_events->mean_duration_h == Near{615.2 / 60, 1e-12, 0});
    CHECK(both.outages.size() > s.outages.size());
}

TEST_CASE("generator: defaults and what the keys become") {
    auto const plain = read(with(lithium, "", set)).generator_operation;
    CHECK(plain.run.warm_up_h == Near{1. / 60, 1e-12, 0});
    CHECK(plain.run.min_run_h == 0.5);
    CHECK(plain.run.min_rest_h == 0.25);
    CHECK(!plain.run.started_by_hand);
    CHECK(std::isinf(plain.longest_day_h));
    CHECK(plain.run.top_up_within_h == 0);
    auto const s = read(
        with(lithium, "",
             set + "least_load = 0.2\nfuel_tank = \"20 L\"\nstart = \"by-hand\"\nhand_response = \"2 h\"\n"
                   "attended_from = \"07:00\"\nattended_to = \"21:30\"\nquiet_from = \"22:00\"\n"
                   "quiet_to = \"06:00\"\ntop_up_within = \"3 h\"\ntop_up_below = 0.7\nemergency_below = "
                   "0.2\nlongest_day = \"8 h\"\n"
                   "start_failure = 0.1\nrepair_after = \"3 h\"\nrefuel_after = \"10 h\"\n"
                   "motor_start = \"9 kW\"\nseed = 5\n"));
    auto const& o = s.generator_operation;
    CHECK(s.generator->least_load_fraction == 0.2);
    CHECK(s.generator->fuel_tank_l == 20);
    CHECK(o.run.started_by_hand);
    CHECK(o.run.hand_response_h == 2);
    CHECK(o.run.attended_to_h == 21.5);
    CHECK(o.run.quiet_from_h == 22);
    CHECK(o.run.top_up_within_h == 3);
    CHECK(o.top_up_below == 0.7);
    CHECK(o.emergency_below == 0.2);
    CHECK(o.longest_day_h == 8);
    CHECK(o.repair_after_h == 3);
    CHECK(o.refuel_after_h == 10);
    CHECK(o.start_va == 9000);
    CHECK(o.seed == 5);
}

// 5 kW: loads of a quarter, half, three quarters and all of it are 1.25, 2.5, 3.75 and 5 kW.
TEST_CASE("a generator's fuel by a table of more than two points") {
    std::string const two = "fuel_at_half_load = \"1.9 L/h\"\nfuel_at_full_load = \"2.9 L/h\"\n";
    auto const table = [&](std::string const& keys) {
        auto text = set;
        return with(lithium, "", text.replace(text.find(two), two.size(), keys));
    };
    auto const s =
        read(table("fuel_loads = [0.25, 0.5, 0.75, 1]\n"
                   "fuel_rates = [\"1.3 L/h\", \"1.9 L/h\", \"2.6 L/h\", \"3.5 L/h\"]\n"));
    REQUIRE(s.generator->fuel_table.size() == 4);
    CHECK(models::fuel_l_per_h(*s.generator, 2500) == Near{1.9, 1e-12, 0});
    CHECK(models::fuel_l_per_h(*s.generator, 4375) == Near{3.05, 1e-12, 0});
    CHECK(models::fuel_l_per_h(*s.generator, 0) == Near{0.7, 1e-12, 0});
    for (auto const& [keys, message] : {
             std::pair<std::string, std::string>{
                 two + "fuel_loads = [0.5, 1]\nfuel_rates = [\"1.9 L/h\", \"2.9 L/h\"]\n",
                 "key 'generator.fuel_at_half_load': is given beside fuel_loads; take the two points or the "
                 "table"},
             {"fuel_loads = [0.5, 1]\n", "key 'generator.fuel_rates': is missing"},
             {"fuel_rates = [\"1.9 L/h\", \"2.9 L/h\"]\n", "key 'generator.fuel_loads': is missing"},
             {"fuel_loads = [1]\nfuel_rates = [\"2.9 L/h\"]\n", "must have two or more loads"},
             {"fuel_loads = [0.5, 0.5, 1]\nfuel_rates = [\"1 L/h\", \"2 L/h\", \"3 L/h\"]\n",
              "0.5 does not come after 0.5; list the loads from low to high"},
             {"fuel_loads = [0.25, 0.5, 1]\nfuel_rates = [\"2 L/h\", \"1.9 L/h\", \"3 L/h\"]\n",
              "the rate at load 0.5 must be above that at less load"},
             {"fuel_loads = [0.5, 1]\nfuel_rates = [\"1 L/h\", \"2.9 L/h\"]\n",
              "the line through the first two points goes down to -0.9 L/h at no load"},
             {"fuel_loads = [0.5, 1, 1.5]\nfuel_rates = [\"1 L/h\", \"2 L/h\", \"3 L/h\"]\n",
              "key 'generator.fuel_loads'"},
         }) {
        CAPTURE(message);
        auto const said = error_of(table(keys));
        CAPTURE(said);
        CHECK(said.find(message) != said.npos);
    }
}

TEST_CASE("contradictions and values out of range name the key and the physical reason") {
    struct Row {
        std::string battery, inverter, rest, message;
    };
    std::string const cold = "[battery.temperature]\n",
                      evening = "quiet_from = \"22:00\"\nquiet_to = \"06:00\"\n",
                      second =
                          "[second_backup]\nkind = \"generator\"\ntransfer_below = 0.3\n"
                          "return_above = 0.8\n",
                      grid_tariff = grid + "[tariff]\npeak_from = 16\npeak_until = 21\npeak_price = 0.4\n";
    for (auto const& [battery, inverter, rest, message] : std::vector<Row>{
             {"chemistry = \"nickel\"\ncapacity = \"1 kWh\"\n", "", "", "\"nickel\" is not a choice"},
             {lithium + "unit_voltage = \"12 V\"\n", "", "", "give capacity, or unit_voltage"},
             {"chemistry = \"flooded-lead-acid\"\ncapacity = \"9 kWh\"\nrated_hours = [\"5 h\"]\n", "", "",
              "needs nominal_voltage (or unit_voltage) to turn Ah into kWh"},
             {lead + "rated_hours = [\"5 h\", \"10 h\", \"20 h\"]\nrated_capacities = [\"281 Ah\", \"326 "
                     "Ah\"]\n",
              "", "", "must be a list of 3 values, not 2"},
             {lead + "rated_hours = [\"5 h\", \"10 h\", \"100 h\"]\nrated_capacities = [\"281 Ah\", \"276 "
                     "Ah\", \"300 Ah\"]\n",
              "", "", "battery"},
             {"capacity = \"9 kWh\"\nusable_fraction = 0.8\n", "", "",
              "the key 'charge_efficiency' is missing"},
             {"capacity = \"9 kWh\"\nusable_fraction = 0.8\ncharge_efficiency = 0.9\ndischarge_efficiency = "
              "0.9\n"
              "charge_limit = \"3 kW\"\ndischarge_limit = \"3 kW\"\nvoltage_model = true\n",
              "", "", "needs chemistry and nominal_voltage"},
             {lithium + "restart_above = 0.1\n", "", "", "would switch on and off without end"},
             {lead + "restart_above = 0.99\n", "", "", "takes less and less as it fills"},
             {lithium + "self_discharge_per_month = 0.9\n", "", "", "key 'battery.self_discharge_per_month'"},
             {lithium + cold + "heater = \"50 W\"\ntime_constant = \"0 h\"\n", "", "", "without inertia"},
             {lithium + cold + "heater_on_below = \"9 degC\"\n", "", "",
              "heater off above = 7 °C (must be above heater_on_below)"},
             {lithium + "[battery.life]\ndepths = [0.2, 0.5]\ncycles = [900, 4000]\n", "", "",
              "battery.life"},
             {lithium, "low_voltage_cutout = \"44 V\"", "", "needs battery.voltage_model = true"},
             {lithium, "dc_voltage = \"24 V\"", "", "24 V does not suit a battery of 51.2 V"},
             {lithium, "output_voltage = \"120 V\"\nsplit_phase = false", "",
              "volts = 230 V with inverter.output_voltage = 120 V: the inverter does not make this voltage"},
             {lithium, "search_draw = \"80 W\"\nsearch_wakes_at = \"10 W\"", "", "search"},
             {lithium, "surge_power = [\"12 kW\", \"9 kW\"]\nsurge_times = [\"5 s\"]", "",
              "must be a list of 2 values"},
             {lithium, "surge_power = [\"3 kW\"]\nsurge_times = [\"5 s\"]", "",
              "surge ratio = 0.5 (must be above 1: it is a multiple of the rating)"},
             {lithium, "on_overload = \"explode\"", "", "accepted: hold, trip"},
             {lithium, "", "[[load]]\nname = \"x\"\npower = \"1 W\"\nleg = 3\n", "key 'load.leg'"},
             {lithium, "", "[[load]]\nname = \"x\"\npower = \"1 W\"\nprofile = [1, 1]\n",
              "must be a list of 24 values"},
             {lithium, "", set + "quiet_from = \"22:00\"\n", "quiet hours need quiet_from and quiet_to"},
             {lithium, "", set + "top_up_within = \"3 h\"\n", "needs top_up_within and top_up_below"},
             {lithium, "", set + "top_up_below = 0.7\n", "needs top_up_within and top_up_below"},
             {lithium, "", set + "top_up_within = \"3 h\"\ntop_up_below = 0.7\n",
              "\"3 h\": needs quiet hours"},
             {lithium, "", set + evening + "top_up_within = \"17 h\"\ntop_up_below = 0.7\n",
              "\"17 h\": must be at most the time from quiet_to to quiet_from"},
             {lithium, "", set + evening + "top_up_within = \"3 h\"\ntop_up_below = 0.5\n",
              "key 'generator.top_up_below': 0.5 must be at least transfer_below = 0.6 and at "
              "least 0.01 below return_above = 0.9"},
             {lithium, "", set + evening + "top_up_within = \"3 h\"\ntop_up_below = 0.9\n",
              "0.9 must be at least transfer_below = 0.6 and at least 0.01 below return_above = 0.9"},
             {lithium, "", set + "start_failure = 2\n", "key 'generator.start_failure'"},
             {lithium, "", set + "least_load = 0.95\n", "key 'generator.least_load'"},
             {lithium, "",
              charger + "[backup]\nkind = \"generator\"\ntransfer_below = 0.6\nreturn_above = 0.9\n",
              "needs a table [generator]"},
             {lithium, "", charger + "[backup]\nkind = \"generator\"\nnormal_source = \"grid\"\n",
              "normal_source = \"grid\" needs kind = \"grid\""},
             {lead, "", charger + "[backup]\nkind = \"grid\"\ntransfer_below = 0.6\nreturn_above = 1\n",
              "keep the loads on the backup for days"},
             {lithium, "",
              "[backup]\nkind = \"grid\"\ntransfer_below = 0.6\nreturn_above = 0.9\ncharge_to = 0.9\n",
              "needs a table [charger]"},
             {lithium, "", grid + "transfer_below_voltage = \"47 V\"\n",
              "needs battery.voltage_model = true"},
             {lithium, "", "[[bypass]]\nstart = \"02-01 00:00\"\nlength = \"1 h\"\n",
              "needs backup.kind = \"grid\""},
             {lithium, "",
              grid + "[[outage]]\nstart = \"02-01 00:00\"\nlength = \"9 h\"\n[[outage]]\nstart = \"02-01 "
                     "05:00\"\nlength = \"1 h\"\n",
              "starts before the one above it has ended"},
             {lithium, "", grid + "[outage_statistics]\nsaifi = 5\ncaidi = \"0 h\"\n",
              "key 'outage_statistics.caidi'"},
             {lithium, "", grid + "[outage_statistics]\nsaifi = 5\ncaidi = \"2 h\"\nmajor_saifi = 1\n",
              "the key 'major_caidi' is missing"},
             {lithium, "", grid + "[outage_statistics]\nsaifi = 5\ncaidi = \"2 h\"\nby_month = [1, 2]\n",
              "must be a list of 12 values"},
             {lithium, "", grid + "forewarned = \"24 h\"\nforewarned_charge_to = 0.5\n",
              "0.5 must not be below transfer_below = 0.6"},
             {lithium, "",
              "[backup]\nkind = \"grid\"\ntransfer_below = 0.6\nreturn_above = 0.9\nforewarned = \"24 h\"\n",
              "needs a table [charger]"},
             {lithium, "", set + second, "the second backup is called while the grid is away"},
             {lithium, "", grid + "transfer = \"by-hand\"\n" + second, "a bypassed inverter passes nothing"},
             {lithium, "", grid + second, "kind = \"generator\" needs a table [generator]"},
             {lithium, "", grid_tariff + "low_from = 19\nlow_until = 6\nlow_price = 0.1\n",
              "the hour from 19:00 has the high and the low price"},
             {lithium, "", grid_tariff + "reserve = 0.7\n", "needs backup.normal_source = \"grid\""},
             {lithium + "voltage_model = true\n", "low_voltage_cutout = \"52 V\"", "",
              "52 V is not below the battery's 51.2 V: the inverter would never run"},
             {lithium, "",
              "[[load]]\nname = \"x\"\npower = \"1 W\"\nenergy_per_volume = \"1 Wh/L\"\nof_uses = "
              "[\"bath\"]\n",
              "\"bath\" is not a [[use]]; there is none: leave of_uses out"},
         }) {
        CAPTURE(message);
        std::string const error = error_of(with(battery, inverter, rest));
        CAPTURE(error);
        CHECK(error.find(message) != std::string::npos);
        CHECK(error.starts_with("test.toml:"));
    }
}

TEST_CASE("possible but unusual supply inputs warn") {
    auto const s = read(with(lithium, "",
                             charger + "[backup]\nkind = \"grid\"\ntransfer_below = 0.5\nreturn_above = 0.9\n"
                                       "charge_to = 0.7\n"));
    REQUIRE(s.warnings.size() == 1);
    CHECK(s.warnings[0].find("until the sun has brought the rest") != std::string::npos);
}

TEST_SUITE_END();
