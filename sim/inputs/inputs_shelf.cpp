#include "sim/inputs/inputs_shelf.hpp"

#include "sim/inputs/make_demand.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_loads.hpp"

namespace holdwater::sim {

std::shared_ptr<CheckedInputs const> InputsShelf::of(scenarios::Scenario const& s, Year const& year) {
    auto const array = arrays_.of({s, year}, [&] {
        auto const light =
            lights_.of({s, year}, [&] { return light_on_array(s, *year, *sun_of(year->site)); });
        HourlyInputs in;
        add_array(s, *year, *light, in);
        return in;
    });
    auto seen = s.demand;  // without the seed, if nothing is drawn with it
    if (!scenarios::varies_by_day(seen) && !scenarios::draws_events(seen)) seen.seed = 0;
    auto const demand =
        demands_.of({seen, s.trough.has_value(), follows_temperature(seen) ? year : nullptr}, [&] {
            HourlyInputs in;
            add_demand(s, *year, in);
            return in;
        });
    auto const water = follows_water(s.loads) ? demand : nullptr;
    auto const loads = loads_.of({s.loads, s.inverter.legs, models::phase_headroom_va(s.inverter),
                                  follows_temperature(s.loads) ? year : nullptr, water},
                                 [&] {
                                     HourlyInputs in;
                                     if (water) in.demand_m3 = water->demand_m3, in.uses = water->uses;
                                     add_loads(s, *year, in);
                                     return in;
                                 });
    return whole_.of({array, demand, loads}, [&] {
        HourlyInputs in = *demand;
        in.array_power_w = array->array_power_w;
        in.array_window_loss_w = array->array_window_loss_w;
        in.plane_light_w_m2 = array->plane_light_w_m2;
        in.cell_c = array->cell_c;
        in.warnings = array->warnings;
        in.load_w = loads->load_w;
        in.shed_first = loads->shed_first;
        in.leg_imbalance_w = loads->leg_imbalance_w;
        in.load_var = loads->load_var;
        in.load_start_va = loads->load_start_va;
        in.heated = loads->heated;
        in.ambient_c = year->temperature_c;
        return CheckedInputs(std::move(in));
    });
}

}  // namespace holdwater::sim
