#include "sim/inputs/array_year.hpp"

#include <algorithm>

#include "models/array/array_curve.hpp"
#include "models/array/charge_controller.hpp"
#include "models/array/snow_cover.hpp"
#include "sim/base/clock.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::sim {

ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year) {
    return array_over_year(scenario, year, light_on_array(scenario, year, weather::sun_over_year(year.site)));
}

ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
                          ArrayLight const& on) {
    models::PvArrayParameters const& array = scenario.array;
    models::ChargeControllerParameters const& controller = scenario.controller;
    bool const knows_voltage = array.module_model == models::ModuleModel::single_diode;
    double const battery_v = scenario.battery_nominal_v;

    ArrayYear out;
    out.offered_w.resize(weather::hours_per_year);
    out.plane_light_w_m2 = on.total_w_m2;
    static Series const nothing_lost(weather::hours_per_year, 0);
    out.window_loss_w = nothing_lost;
    out.cell_c.resize(weather::hours_per_year);
    bool running = false, bare = true;
    int month = 1;
    for (std::size_t h = 0; h < out.offered_w.size(); ++h) {
        if (int const hour = static_cast<int>(h); hour % 24 == 0) {
            bare = models::snow_factor(scenario.snow, day_of_hour(hour) + 1) > 0;
            month = month_of_hour(hour);
        }
        models::PlaneSample const sample{on.light.beam_w_m2[h],     on.light.circumsolar_w_m2[h],
                                         on.light.sky_w_m2[h],      on.light.ground_w_m2[h],
                                         on.light.incidence_deg[h], on.tilt_deg(h)};
        auto const conditions =
            models::array_conditions(array, sample, year.temperature_c[h], year.wind_m_s[h], month);
        out.cell_c[h] = bare ? conditions.cell_c : year.temperature_c[h];
        if (!bare) {
            running = false;
            continue;
        }
        if (!knows_voltage) {
            out.offered_w[h] = models::array_power_w(array, conditions);
            continue;
        }
        auto const best = models::array_hour(array, sample, year.temperature_c[h], year.wind_m_s[h], month);
        if (!(best.power_w > 0) || models::tracks_freely(controller, best, battery_v)) {
            out.offered_w[h] = best.power_w;
            running = best.power_w > 0;
            continue;
        }
        auto const curve = models::array_curve(array, conditions);
        auto const point = models::controller_point(controller, curve, battery_v, 0, running);
        running = point.running;
        if (point.over_voltage) ++out.over_voltage_h;
        out.window_loss_w[h] = std::clamp(point.flows.window_loss_w, 0.0, best.power_w);
        out.offered_w[h] = best.power_w - out.window_loss_w[h];
    }
    return out;
}

double controller_efficiency(scenarios::ArrayScenario const& scenario) {
    models::ChargeControllerParameters const& c = scenario.controller;
    if (c.kind == models::ControllerKind::direct)
        return scenario.battery_nominal_v / (scenario.battery_nominal_v + c.drop_v);
    return c.efficiency;
}

double controller_limit_w(scenarios::ArrayScenario const& scenario) {
    models::ChargeControllerParameters const& c = scenario.controller;
    return std::min(c.power_limit_w, c.current_limit_a * scenario.battery_nominal_v);
}

}  // namespace holdwater::sim
