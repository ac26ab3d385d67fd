#include "sim/make_system.hpp"

#include <limits>

#include "models/pv_array.hpp"
#include "sim/make_loads.hpp"
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

    s.bank_behaviour = scenario.bank_behaviour;
    s.rules = scenario.rules;
    s.generator_operation = scenario.generator_operation;
    s.generator_operation.elevation_m = scenario.elevation_m;
    if (!scenario.inverter.surge.empty()) s.pump_start = models::start_draw(scenario.motor);
    return s;
}

HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    auto const sun = weather::sun_over_year(year.site);
    auto const plane =
        weather::plane_of_array(year, sun, scenario.plane, scenario.transposition, scenario.albedo);
    auto const day_water = models::hourly_volumes_m3(scenario.demand.profile, scenario.demand.daily_m3);

    HourlyInputs in;
    for (std::size_t h = 0; h < static_cast<std::size_t>(hours_per_year); ++h) {
        models::PlaneSample const sample{plane.beam_w_m2[h],     plane.circumsolar_w_m2[h],
                                         plane.sky_w_m2[h],      plane.ground_w_m2[h],
                                         plane.incidence_deg[h], scenario.plane.tilt_deg};
        in.array_power_w.push_back(models::array_power_w(scenario.array, sample, year.temperature_c[h],
                                                         year.wind_m_s[h],
                                                         month_of_hour(static_cast<int>(h))));
        in.demand_m3.push_back(day_water[h % 24]);
        in.tap_flow_m3_s.push_back(scenario.demand.tap_flow_m3_s);
    }
    in.ambient_c = year.temperature_c;
    add_loads(scenario, year, in);
    return in;
}

}  // namespace holdwater::sim
