#include "sim/inputs/make_system.hpp"

#include "sim/inputs/array_year.hpp"
#include "sim/inputs/make_water_system.hpp"

namespace holdwater::sim {

System make_system(scenarios::Scenario const& scenario) {
    System s;
    static_cast<WaterSystem&>(s) = make_water_system(scenario, !scenario.inverter.surge.empty());
    s.battery = scenario.battery;
    s.start_soc = scenario.start_soc;
    s.controller_efficiency = controller_efficiency(scenario);
    s.controller_limit_w = controller_limit_w(scenario);
    s.dc_standby_w = scenario.controller.standby_w + scenario.battery_standby_w;
    s.inverter = scenario.inverter;
    s.charger = scenario.charger;
    s.outages = scenario.outages;
    s.generator = scenario.generator;
    s.battery_behavior = scenario.battery_behavior;
    s.battery_life = scenario.battery_life;
    s.rules = scenario.rules;
    s.pump_gate = scenario.pump_gate;
    s.generator_operation = scenario.generator_operation;
    s.generator_operation.elevation_m = scenario.elevation_m;
    return s;
}

}  // namespace holdwater::sim
