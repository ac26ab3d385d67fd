#include "scenarios/sections/read_well.hpp"

#include <algorithm>

#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

void read_casing(Section& s, Scenario& scenario) {
    models::WellParameters w;
    w.static_level_m = scenario.well.static_level_m;
    w.intake_depth_m = s.quantity("intake_depth", "m", {0.5, 1000});
    w.cover_m = s.quantity("cover", "m", {0, 100}, w.cover_m);
    w.casing_inside_diameter_m =
        s.quantity("casing_inside_diameter", "m", {0.03, 2}, w.casing_inside_diameter_m);
    w.drop_pipe_outside_diameter_m = s.quantity("drop_pipe_outside_diameter", "m", {0, 1}, 0);
    w.specific_capacity_m2_s = s.quantity("specific_capacity", "m2/s", {1e-7, 1});
    w.yield_limit_m3_s = s.quantity("yield_limit", "m3/s", {1e-8, 1}, no_limit);
    w.restart_delay_s = s.quantity("restart_delay", "s", {1, 86400}, w.restart_delay_s);
    w.restart_tries = s.count("restart_tries", 0, 1000, -1);
    s.checked([&] { models::validate(w); });
    scenario.well.casing = w;
    if (!s.has("transmissivity")) {
        refuse_unused(s, {"storativity"}, "needs transmissivity");
        return;
    }
    models::AquiferParameters a;
    a.transmissivity_m2_s = s.quantity("transmissivity", "m2/s", {1e-8, 1});
    a.storativity = s.number("storativity", {1e-7, 0.5}, a.storativity);
    s.checked([&] { models::validate(a); });
    scenario.well.aquifer = a;
}

}  // namespace

void read_well(Section s, Scenario& scenario) {
    models::LiftParameters& l = scenario.lift;
    if (s.has("static_level_by_month")) {
        if (s.has("static_level"))
            s.fail("static_level", "give static_level or static_level_by_month, not both");
        auto const levels = s.list("static_level_by_month", 12, "m", {0, 400});
        std::copy(levels.begin(), levels.end(), scenario.well.static_level_m.begin());
    } else {
        scenario.well.static_level_m.fill(s.quantity("static_level", "m", {0, 400}));
    }
    auto const& levels = scenario.well.static_level_m;
    l.static_level_m = *std::max_element(levels.begin(), levels.end());
    l.specific_capacity_m2_s = s.quantity("specific_capacity", "m2/s", {1e-7, 1}, no_limit);
    l.elevation_m = s.quantity("lift_to_tank", "m", {-100, 200}, 0);
    l.water_temperature_c = s.quantity("water_temperature", "degC", {0.1, 40}, 10);
    s.checked([&] { models::validate(l); });
    if (s.has("intake_depth"))
        read_casing(s, scenario);
    else
        refuse_unused(s,
                      {"cover", "casing_inside_diameter", "drop_pipe_outside_diameter", "yield_limit",
                       "restart_delay", "restart_tries", "transmissivity", "storativity"},
                      "needs intake_depth: how deep the pump hangs decides when the well runs dry");
    s.finish();
}

}  // namespace holdwater::scenarios
