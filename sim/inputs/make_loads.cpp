#include "sim/inputs/make_loads.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "models/electric/inverter_overload.hpp"

namespace holdwater::sim {
namespace {

// Water of the uses that a load follows in an hour [m3].
double water_of(scenarios::ScenarioLoad const& load, HourlyInputs const& in, std::size_t hour) {
    if (load.of_uses.empty()) return in.demand_m3[hour];
    double sum_m3 = 0;
    for (UseOfWater const& use : in.uses)
        if (std::find(load.of_uses.begin(), load.of_uses.end(), use.name) != load.of_uses.end())
            sum_m3 += use.wanted_m3[hour];
    return sum_m3;
}

// The share of each hour of the year in which a load runs, in the order of the hours.
class Duty {
  public:
    explicit Duty(scenarios::ScenarioLoad const& load) : load_(load) {
        if (load.heater) place_c_ = load.heater->thermostat_c;
    }
    double of_hour(std::size_t hour, double outside_c, HourlyInputs const& in) {
        if (load_.heater) {
            auto const& h = *load_.heater;
            double const heat_w = models::heat_needed_w(h, place_c_, outside_c);
            place_c_ = models::place_after_c(h, place_c_, outside_c, heat_w, 1);
            return heat_w / h.power_w;
        }
        if (load_.energy_wh_per_m3 > 0)
            return std::min(load_.energy_wh_per_m3 * water_of(load_, in, hour) / load_.load.power_w, 1.0);
        return std::clamp(load_.load.profile[hour % 24] + load_.duty_per_k * (outside_c - 20), 0.0, 1.0);
    }

  private:
    scenarios::ScenarioLoad const& load_;
    double place_c_ = 0;
};

}  // namespace

bool follows_water(std::vector<scenarios::ScenarioLoad> const& loads) {
    return std::any_of(loads.begin(), loads.end(), [](auto const& l) { return l.energy_wh_per_m3 > 0; });
}

bool follows_temperature(std::vector<scenarios::ScenarioLoad> const& loads) {
    return std::any_of(loads.begin(), loads.end(),
                       [](auto const& l) { return l.heater || l.duty_per_k != 0; });
}

void add_loads(std::vector<scenarios::ScenarioLoad> const& loads, models::InverterParameters const& inverter,
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
    std::vector<models::PhaseLoad> phases(inverter.legs == 3 ? n : 0);
    struct Heated {
        HeatedPlace place;
        std::pair<int, double> shed_key;
    };
    std::vector<Heated> heated;
    for (auto const& load : loads) {
        auto const key = std::pair(load.load.priority, load.shed_below);
        Series* in_class = &inputs.load_w;
        if (key != std::pair(0, 0.0)) {
            LoadClass& c = classes[key];
            c.shed_below = load.shed_below;
            if (c.power_w.empty()) c.power_w.assign(n, 0);
            in_class = &c.power_w;
        }
        std::vector<double>& power_w = in_class->edit();
        Duty share(load);
        std::vector<double> wanted_w;
        for (std::size_t h = 0; h < n; ++h) {
            double const duty = share.of_hour(h, year.temperature_c[h], inputs);
            if (load.heater) wanted_w.push_back(duty * load.load.power_w);
            double const w = duty * load.load.power_w + (1 - duty) * load.load.phantom_w;
            power_w[h] += w;
            double const var =
                reactive ? duty * load.load.power_w * std::tan(std::acos(load.load.power_factor)) : 0;
            if (reactive) inputs.load_var[h] += var;
            // A start on one of three phases needs as much as three times it on all of them.
            if (starting && duty > 0)
                inputs.load_start_va[h] =
                    std::max(inputs.load_start_va[h],
                             (inverter.legs == 3 && load.leg > 0 ? 3 : 1) * load.load.surge_va);
            if (inverter.legs == 3 && load.leg > 0) {
                auto const phase = static_cast<std::size_t>(load.leg - 1);
                phases[h].w[phase] += w, phases[h].var[phase] += var;
            }
            leg_w[h] += load.leg == 1 ? w : load.leg == 2 ? -w : 0;
        }
        if (load.heater) heated.push_back({{load.load.name, *load.heater, {}, std::move(wanted_w)}, key});
    }
    // Only an inverter with several legs or phases can be unbalanced.
    if (inverter.legs == 2)
        for (std::size_t h = 0; h < n; ++h) inputs.leg_imbalance_w[h] = std::abs(leg_w[h]);
    for (std::size_t h = 0; h < phases.size(); ++h)
        inputs.leg_imbalance_w[h] = models::phase_imbalance_va(inverter, phases[h]);
    for (auto& [key, c] : classes) {
        for (Heated& h : heated)
            if (h.shed_key == key) h.place.shed_class = inputs.shed_first.size();
        inputs.shed_first.push_back(std::move(c));
    }
    for (Heated& h : heated) inputs.heated.push_back(std::move(h.place));
}

}  // namespace holdwater::sim
