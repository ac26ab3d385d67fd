#include "sim/make_system.hpp"

#include "sim/array_year.hpp"

namespace holdwater::sim {

System make_system(scenarios::Scenario const& scenario) {
    System s;
    s.bank = scenario.bank;
    s.start_soc = scenario.start_soc;
    s.controller_efficiency = controller_efficiency(scenario);
    s.controller_limit_w = controller_limit_w(scenario);
    s.dc_standby_w = scenario.controller.standby_w + scenario.bank_standby_w;
    s.inverter = scenario.inverter;
    s.charger = scenario.charger;
    s.outages = scenario.outages;
    s.generator = scenario.generator;
    s.tank = scenario.tank;
    s.fill =
        models::make_fill_curve(scenario.tank, scenario.pump, scenario.motor, scenario.piping, scenario.lift);

    s.bank_behaviour = scenario.bank_behaviour;
    s.bank_life = scenario.bank_life;
    s.rules = scenario.rules;
    s.generator_operation = scenario.generator_operation;
    s.generator_operation.elevation_m = scenario.elevation_m;
    if (!scenario.inverter.surge.empty()) s.pump_start = models::start_draw(scenario.motor);
    return s;
}

}  // namespace holdwater::sim
