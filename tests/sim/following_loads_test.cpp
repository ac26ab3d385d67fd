#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "scenarios/text/scenario_error.hpp"
#include "sim/inputs/make_demand.hpp"
#include "sim/inputs/make_loads.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/water_remarks.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::CheckScenario, test::Near, test::plain_system, test::steady_inputs;

namespace {

weather::WeatherYear cold(double temperature_c) {
    weather::WeatherYear year;
    year.temperature_c.assign(8760, temperature_c);
    return year;
}

scenarios::Scenario with_load(std::string const& load, std::string const& demand = "") {
    CheckScenario s;
    s.set("load", "[[load]]\nname = \"it\"\n" + load);
    if (!demand.empty()) s.set("demand", demand);
    return s.read();
}

sim::HourlyInputs inputs_of(scenarios::Scenario const& s, double temperature_c = 20) {
    sim::HourlyInputs in;
    sim::add_demand(s, cold(temperature_c), in);
    sim::add_loads(s, cold(temperature_c), in);
    return in;
}

std::string load_error(std::string const& load) {
    try {
        (void)with_load(load);
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_SUITE_BEGIN("sim/following_loads");

// By hand: 0.4 kWh/m3 of 1 m3 a day is 400 Wh a day, with the water; 0.4 kWh/m3 is 1.51 Wh/gal.
TEST_CASE("a load that follows the water takes its energy per volume, in the hours of the water") {
    auto const s = with_load("power = \"600 W\"\nenergy_per_volume = \"0.4 kWh/m3\"",
                             "[demand]\ndaily = \"1 m3/day\"\ntap_flow = \"3 gpm\"");
    auto const in = inputs_of(s);
    double day_wh = 0;
    for (std::size_t h = 0; h < 24; ++h) {
        CHECK(in.load_w[h] == Near{400 * in.demand_m3[h], 1e-9, 0});
        day_wh += in.load_w[h];
    }
    CHECK(day_wh == Near{400, 1e-9, 0});
    // Never more than its power: a tenth of it would be 20 W in the busiest hour of 85 L.
    auto const weak = inputs_of(with_load("power = \"20 W\"\nenergy_per_volume = \"0.4 kWh/m3\"",
                                          "[demand]\ndaily = \"1 m3/day\"\ntap_flow = \"3 gpm\""));
    CHECK(weak.load_w[7] == Near{20, 1e-12, 0});
    auto const gallons = with_load("power = \"1 kW\"\nenergy_per_volume = \"1.514 Wh/gal\"");
    CHECK(gallons.loads[0].energy_wh_per_m3 == Near{400, 0.1, 0});
}

// The effluent pump lifts the water of the house and not that of the garden; a backwash of 0.3 m3 on every
// third night belongs to the house's own use.
TEST_CASE("only with the water of the uses it names; a backwash draws on its schedule") {
    std::string const uses =
        "[[use]]\nname = \"house\"\nkind = \"household\"\npersons = 4\nper_person = \"0.2 m3/day\"\n"
        "[[use]]\nname = \"garden\"\nkind = \"other\"\ndaily = \"2 m3/day\"\n"
        "[[use]]\nname = \"softener\"\nkind = \"backwash\"\nvolume = \"0.3 m3\"\ntap_flow = \"20 L/min\"\n"
        "every_days = 3\nat_hour = 2\n";
    auto const s = with_load(
        "power = \"900 W\"\nenergy_per_volume = \"0.5 kWh/m3\"\nof_uses = [\"house\", \"softener\"]", uses);
    auto const in = inputs_of(s);
    double week_wh = 0, softener_m3 = 0;
    for (std::size_t h = 0; h < 24 * 6; ++h) {
        week_wh += in.load_w[h];
        softener_m3 += in.uses[2].wanted_m3[h];
        CHECK(in.uses[2].wanted_m3[h] == Near{h % 72 == 2 ? 0.3 : 0, 1e-12, 0});
    }
    CHECK(softener_m3 == Near{0.6, 1e-12, 0});
    CHECK(week_wh == Near{500 * (6 * 0.8 + 0.6), 1e-9, 0});
    // The tap of 20 L/min is open for 15 min from 02:00 on.
    double open_s = 0;
    for (auto i = in.first_draw[2]; i < in.first_draw[3]; ++i)
        if (in.draws[i].flow_m3_s > 0.3e-3) open_s = in.draws[i].until_s;
    CHECK(open_s == Near{900, 1e-6, 0});
}

// Outage from 18:00 of the first day; -15 degC. The battery lasts until the second night; then the heater is
// off and the pump house falls below 0 degC within 2 hours: 6 h ln(20/15) after it.
TEST_CASE("a frozen pipe in the second night") {
    auto s = plain_system();
    s.battery = {6, 1, 1, 0, 1e3, 1e3, 0};
    s.start_soc = 1;
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.backup_limit_w = 1e5;
    s.rules.restart_above = 0.5;
    s.outages = {{18, 66}};
    s.inverter.k1 = 0;
    auto in = steady_inputs(0, 0, 0, 1e-3);
    scenarios::Scenario house;
    house.loads.resize(1);
    auto& load = house.loads[0];
    load.load.name = "pump house";
    load.load.power_w = 300;
    load.heater = models::FrostHeater{300, 5, 0.1, 6, 0};
    house.inverter.legs = 1;
    sim::HourlyInputs loads;
    sim::add_loads(house, cold(-15), loads);
    in.load_w = loads.load_w;
    in.heated = loads.heated;
    in.ambient_c.assign(8760, -15);
    CHECK(in.load_w[100] == Near{200, 1e-9, 0});
    auto const r = sim::simulate(s, in, {0, 96});
    // 6 kWh at 200 W: off 30 h later, at midnight of the second night.
    REQUIRE(r.frozen.size() == 1);
    CHECK(r.frozen[0].name == "pump house");
    CHECK(r.frozen[0].unpowered);
    CHECK(r.frozen[0].first_h == 49);
    CHECK(r.frozen[0].coldest_c == Near{-15 + 20 * std::exp(-18.0 / 6), 1e-3, 0});
    CHECK(r.frozen[0].hours >= 66 - 49);
    CHECK(r.findings.freezing_h == r.frozen[0].hours);
    bool said = false;
    for (auto const& remark : sim::water_remarks(s, r))
        said = said || (remark.kind == sim::WaterRemarkKind::frozen_unpowered && remark.name == "pump house");
    CHECK(said);
    // With power all the time it does not freeze; a heater of 120 W is too weak.
    s.outages.clear();
    CHECK(sim::simulate(s, in, {0, 96}).frozen.empty());
    load.load.power_w = 120;
    load.heater->power_w = 120;
    sim::HourlyInputs weak;
    sim::add_loads(house, cold(-15), weak);
    in.load_w = weak.load_w;
    in.heated = weak.heated;
    auto const froze = sim::simulate(s, in, {0, 96});
    REQUIRE(froze.frozen.size() == 1);
    CHECK(!froze.frozen[0].unpowered);
    CHECK(froze.frozen[0].coldest_c == Near{-3, 0.01, 0});
}

// A heater that is shed before other loads loses all of a shortage, and one that is shed last none of it.
TEST_CASE("the heater loses energy in the order in which loads are shed") {
    auto s = plain_system();
    s.start_soc = 1;
    s.battery = {1000, 1, 1, 0, 1e3, 1e3, 0};
    s.inverter.rated_power_w = 300;
    for (int const priority : {0, 5}) {
        CAPTURE(priority);
        scenarios::Scenario house;
        house.inverter.legs = 1;
        house.loads.resize(2);
        house.loads[0].load.name = "heat", house.loads[0].load.power_w = 300;
        house.loads[0].load.priority = priority;
        house.loads[0].heater = models::FrostHeater{300, 5, 0.1, 6, 0};
        house.loads[1].load.name = "light", house.loads[1].load.power_w = 200;
        house.loads[1].load.profile.fill(1);
        house.loads[1].load.priority = 3;
        auto in = steady_inputs(0, 0, 0, 1e-3);
        sim::HourlyInputs loads;
        sim::add_loads(house, cold(-15), loads);
        in.load_w = loads.load_w, in.shed_first = loads.shed_first, in.heated = loads.heated;
        in.ambient_c.assign(8760, -15);
        CHECK(sim::simulate(s, in, {0, 48}).frozen.empty() == (priority == 0));
    }
}

TEST_CASE("what cannot be is refused with its key") {
    struct Row {
        std::string text, key, reason;
    };
    for (auto const& r : {
             Row{"power = \"0 W\"\nenergy_per_volume = \"1 kWh/m3\"", "power", "must be above 0"},
             Row{"power = \"9 W\"\nof_uses = [\"house\"]", "of_uses", "needs energy_per_volume"},
             Row{"power = \"9 W\"\nenergy_per_volume = \"1 kWh/m3\"\nof_uses = [\"house\"]", "of_uses",
                 "\"house\" is not a [[use]]"},
             Row{"power = \"9 W\"\nenergy_per_volume = \"1 kWh/m3\"\nduty = 0.5", "duty",
                 "it runs with the water"},
             Row{"power = \"9 W\"\nthermostat = \"5 degC\"", "rise_k_per_w", "missing"},
             Row{"power = \"9 W\"\nthermostat = \"5 degC\"\nrise_k_per_w = 0.1\nduty = 1", "duty",
                 "beside thermostat"},
             Row{"power = \"9 W\"\nthermostat = \"5 degC\"\nrise_k_per_w = 0.1\nfreezes_below = \"6 degC\"",
                 "freezes_below", "below the thermostat"},
             Row{"power = \"9 W\"\nrise_k_per_w = 0.1", "rise_k_per_w", "needs thermostat"},
         }) {
        CAPTURE(r.text);
        std::string const error = load_error(r.text);
        CAPTURE(error);
        CHECK(error.find("test.toml:") != std::string::npos);
        CHECK(error.find(r.key) != std::string::npos);
        CHECK(error.find(r.reason) != std::string::npos);
    }
}

TEST_SUITE_END();
