#include "sim/inputs/make_inputs.hpp"

#include <fmt/format.h>

#include <numeric>
#include <utility>

#include "sim/inputs/array_year.hpp"
#include "sim/inputs/make_demand.hpp"
#include "sim/inputs/make_loads.hpp"

namespace holdwater::sim {
namespace {

// A loss that a designer should look at; smaller losses are from dawn and dusk.
constexpr double notable_window_loss = 0.02;

void warn(HourlyInputs& in, weather::LightBeyond const& beyond) {
    if (beyond.beam_h > 0)
        in.warnings.push_back(
            fmt::format("light on the array: in {} hours the weather has more beam than comes from outside "
                        "the atmosphere "
                        "in the minutes the sun is up; {:.2f} kWh/m2 of it (facing the sun) was left out",
                        beyond.beam_h, beyond.beam_kwh_m2));
    if (beyond.sky_h > 0)
        in.warnings.push_back(fmt::format(
            "light on the array: in {} hours the sky is brighter than any the model of the sky was "
            "made for; what is above counts as even light from the whole sky",
            beyond.sky_h));
}

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

CheckedInputs with_array_and_loads(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                                   weather::SunYear const& sun, HourlyInputs in) {
    add_array(scenario, year, light_on_array(scenario, year, sun), in);
    in.ambient_c = year.temperature_c;
    add_loads(scenario, year, in);
    return CheckedInputs(std::move(in));
}

}  // namespace

void add_array(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
               ArrayLight const& light, HourlyInputs& in) {
    auto array = array_over_year(scenario, year, light);
    warn(in, light.light.beyond);
    warn(in, array, scenario);
    in.plane_light_w_m2 = std::move(array.plane_light_w_m2);
    in.cell_c = std::move(array.cell_c);
    in.array_power_w = std::move(array.offered_w);
    in.array_window_loss_w = std::move(array.window_loss_w);
}

CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    return make_inputs(scenario, year, weather::sun_over_year(year.site));
}

CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun) {
    HourlyInputs in;
    add_demand(scenario, year, in);
    return with_array_and_loads(scenario, year, sun, std::move(in));
}

CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun, HourlyInputs const& own) {
    HourlyInputs in;
    in.demand_m3 = own.demand_m3;
    in.tap_flow_m3_s = own.tap_flow_m3_s;
    in.draws = own.draws;
    in.first_draw = own.first_draw;
    in.trough_m3 = own.trough_m3;
    in.uses = own.uses;
    return with_array_and_loads(scenario, year, sun, std::move(in));
}

}  // namespace holdwater::sim
