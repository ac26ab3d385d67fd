#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/series.hpp"
#include "sim/inputs/array_light.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Power of the array in each hour of a year, as hourly means.
///
/// A module described only by its rated power has no voltage, so all of its power is available. For a
/// single-diode module the voltage window of the controller is applied in every hour, with the battery at
/// `scenario.battery_nominal_v`: below its start voltage the controller is off; below battery voltage plus
/// headroom, and outside the tracking range, the array is held at the limit; and a PWM controller holds the
/// array at battery voltage. The power lost by this is the window loss, which does not reach the controller.
/// The current and power limits are not applied here, because what they curtail depends on what the battery
/// takes in each hour. Leaves out: change of the battery voltage with its charge (a higher voltage narrows
/// the window; it matters for a few percent of the power of a PWM controller).
struct ArrayYear {
    std::vector<double> offered_w;  ///< at the array terminals, as far as the controller can use it
    Series window_loss_w;           ///< maximum power minus offered_w
    Series plane_light_w_m2;        ///< beam, sky and ground on the plane with the horizon, before
                                    ///< soiling, shading, glass and snow
    std::vector<double> cell_c;     ///< with soiled and shaded light; air temperature without light
    int over_voltage_h = 0;         ///< hours with an open-circuit voltage above input_max
};
ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
                          ArrayLight const& light);
ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year);

/// Controller output divided by array power, and its highest output [W], for the year loop. PWM: the battery
/// gets the current of the array at its own voltage.
double controller_efficiency(scenarios::ArrayScenario const& scenario);
double controller_limit_w(scenarios::ArrayScenario const& scenario);

}  // namespace holdwater::sim
