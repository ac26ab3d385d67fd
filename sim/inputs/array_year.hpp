#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/array_light.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// What the array gives in each hour of a year, hour means.
///
/// A module described by its rated power alone has no voltage: everything it can give is offered. With a
/// single-diode module the controller's voltage window is looked at in every hour with the battery at
/// `scenario.battery_nominal_v`: below its start voltage the controller stays off, below battery plus
/// headroom and beyond its tracking range the array is held at the edge, and a PWM controller holds the array
/// at the battery's voltage. What that costs is window loss and never reaches the controller. The current and
/// power limits are not looked at here: what they leave on the roof depends on what the battery takes, hour
/// by hour. Leaves out: the battery's voltage moving with its charge (a rising voltage narrows the window, a
/// few per cent of a PWM controller's power).
struct ArrayYear {
    std::vector<double> offered_w;         ///< at the array terminals, what the controller can take
    std::vector<double> window_loss_w;     ///< best power minus the above
    std::vector<double> plane_light_w_m2;  ///< beam, sky and ground on the plane, hills on the horizon taken
                                           ///< off, before soiling, shading, glass and snow
    std::vector<double> cell_c;            ///< by soiled and shaded light; the air's without light
    int over_voltage_h = 0;                ///< hours in which open circuit passes the controller's input_max
};
ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
                          ArrayLight const& light);
ArrayYear array_over_year(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year);

/// Controller output over array power, and the most it puts out [W], as the year loop takes them. PWM: the
/// battery takes the array's current at its own voltage.
double controller_efficiency(scenarios::ArrayScenario const& scenario);
double controller_limit_w(scenarios::ArrayScenario const& scenario);

}  // namespace holdwater::sim
