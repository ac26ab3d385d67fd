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

    scenarios::BackupSettings const& b = scenario.backup;
    s.rules = {Backup::none, b.transfer_below,       b.return_above,
               b.charge_to,  scenario.restart_above, b.limit_w};
    if (b.kind == scenarios::BackupKind::grid) s.rules.backup = Backup::grid;
    if (b.kind == scenarios::BackupKind::generator) {
        s.rules.backup = Backup::generator;
        s.rules.backup_limit_w = scenario.generator->rated_power_w;
    }
    return s;
}

}  // namespace holdwater::sim
