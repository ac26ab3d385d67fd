#include "sim/make_inputs.hpp"

#include <fmt/format.h>

#include <numeric>
#include <utility>

#include "sim/array_year.hpp"
#include "sim/make_demand.hpp"
#include "sim/make_loads.hpp"

namespace holdwater::sim {
namespace {

// A loss worth a designer's attention; smaller ones are dawn and dusk.
constexpr double notable_window_loss = 0.02;

void warn(HourlyInputs& in, ArrayYear const& array, scenarios::ArrayScenario const& scenario) {
    auto const kwh = [](std::vector<double> const& hours_w) {
        return std::accumulate(hours_w.begin(), hours_w.end(), 0.0) * 1e-3;
    };
    double const lost_kwh = kwh(array.window_loss_w), best_kwh = kwh(array.offered_w) + lost_kwh;
    if (array.over_voltage_h > 0)
        in.warnings.push_back(fmt::format(
            "controller: in {} hours of the year the string's open-circuit voltage passes input_max ({:.0f} "
            "V); the run counts nothing then, a real controller would be destroyed: fewer modules in series",
            array.over_voltage_h, scenario.controller.input_max_v));
    if (lost_kwh > notable_window_loss * best_kwh)
        in.warnings.push_back(fmt::format(
            "controller: its voltage window keeps {:.0f} kWh a year, {:.0f} % of the array's best, from the "
            "battery (series array_window_loss_kw)",
            lost_kwh, 100 * lost_kwh / best_kwh));
}

}  // namespace

void add_array(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
               ArrayLight const& light, HourlyInputs& in) {
    auto array = array_over_year(scenario, year, light);
    warn(in, array, scenario);
    in.array_power_w = std::move(array.offered_w);
    in.array_window_loss_w = std::move(array.window_loss_w);
}

HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    return make_inputs(scenario, year, weather::sun_over_year(year.site));
}

HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         weather::SunYear const& sun) {
    HourlyInputs in;
    add_array(scenario, year, light_on_array(scenario, year, sun), in);
    add_demand(scenario, year, in);
    in.ambient_c = year.temperature_c;
    add_loads(scenario, year, in);
    return in;
}

}  // namespace holdwater::sim
