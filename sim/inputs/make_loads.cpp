#include "sim/inputs/make_loads.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace holdwater::sim {

void add_loads(std::vector<scenarios::ScenarioLoad> const& loads, int inverter_legs,
               weather::WeatherYear const& year, HourlyInputs& inputs) {
    auto const n = static_cast<std::size_t>(hours_per_year);
    inputs.load_w.assign(n, 0);
    inputs.leg_imbalance_w.assign(n, 0);
    bool reactive = false, starting = false;
    for (auto const& load : loads) {
        reactive = reactive || load.load.power_factor < 1;
        starting = starting || load.load.surge_va > 0;
    }
    if (reactive) inputs.load_var.assign(n, 0);
    if (starting) inputs.load_start_va.assign(n, 0);
    // Classes in the order in which they are shed: the highest priority number first, and within it the
    // highest shed_below. Loads of priority 0 without shed_below are shed last.
    std::map<std::pair<int, double>, LoadClass, std::greater<>> classes;
    std::vector<double> leg_w(n, 0);
    for (auto const& load : loads) {
        auto const key = std::pair(load.load.priority, load.shed_below);
        std::vector<double>* power_w = &inputs.load_w;
        if (key != std::pair(0, 0.0)) {
            LoadClass& c = classes[key];
            c.shed_below = load.shed_below;
            c.power_w.resize(n, 0);
            power_w = &c.power_w;
        }
        for (std::size_t h = 0; h < n; ++h) {
            double const warm_k = year.temperature_c[h] - 20;
            double const duty = std::clamp(load.load.profile[h % 24] + load.duty_per_k * warm_k, 0.0, 1.0);
            double const w = duty * load.load.power_w + (1 - duty) * load.load.phantom_w;
            (*power_w)[h] += w;
            if (reactive)
                inputs.load_var[h] += duty * load.load.power_w * std::tan(std::acos(load.load.power_factor));
            if (starting && duty > 0)
                inputs.load_start_va[h] = std::max(inputs.load_start_va[h], load.load.surge_va);
            leg_w[h] += load.leg == 1 ? w : load.leg == 2 ? -w : 0;
        }
    }
    // Only a split-phase inverter has legs that can be unbalanced.
    if (inverter_legs == 2)
        for (std::size_t h = 0; h < n; ++h) inputs.leg_imbalance_w[h] = std::abs(leg_w[h]);
    for (auto& [key, c] : classes) inputs.shed_first.push_back(std::move(c));
}

}  // namespace holdwater::sim
