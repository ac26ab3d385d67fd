#include "sim/make_system.hpp"

#include <limits>

#include "models/pv_array.hpp"
#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::sim {

System make_system(scenarios::Scenario const& scenario) {
    System s;
    s.bank = scenario.bank;
    s.start_soc = scenario.start_soc;
    s.controller_efficiency = scenario.controller.efficiency;
    s.controller_limit_w = scenario.controller.power_limit_w;
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

HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    auto const sun = weather::sun_over_year(year.site);
    auto const plane =
        weather::plane_of_array(year, sun, scenario.plane, scenario.transposition, scenario.albedo);
    auto const day_load = models::day_load(scenario.loads);
    auto const day_water = models::hourly_volumes_m3(scenario.demand.profile, scenario.demand.daily_m3);

    HourlyInputs in;
    for (std::size_t h = 0; h < static_cast<std::size_t>(hours_per_year); ++h) {
        models::PlaneSample const sample{plane.beam_w_m2[h],     plane.circumsolar_w_m2[h],
                                         plane.sky_w_m2[h],      plane.ground_w_m2[h],
                                         plane.incidence_deg[h], scenario.plane.tilt_deg};
        in.array_power_w.push_back(models::array_power_w(scenario.array, sample, year.temperature_c[h],
                                                         year.wind_m_s[h],
                                                         month_of_hour(static_cast<int>(h))));
        in.load_w.push_back(day_load[h % 24].power_w);
        in.demand_m3.push_back(day_water[h % 24]);
        in.tap_flow_m3_s.push_back(scenario.demand.tap_flow_m3_s);
    }
    return in;
}

}  // namespace holdwater::sim
