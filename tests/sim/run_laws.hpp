#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "models/well.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::test {

/// What a run of a design got wrong, in words.
struct Trouble {
    std::vector<std::string> lines;
    void want(bool holds, std::string const& what) {
        if (!holds) lines.push_back(what);
    }
    void same(std::string const& what, double a, double b, double absolute, double relative) {
        want(std::abs(a - b) <= absolute + relative * std::abs(b), fmt::format("{}: {} and {}", what, a, b));
    }
};

/// The laws of every design: ledgers of every hour close, values are finite and within bounds, and there is a
/// reason for everything that did not come.
inline void laws(sim::System const& s, sim::RunResult const& result, Trouble& trouble) {
    bool const gravity = s.cistern && s.cistern->gravity;
    double stored_kwh = s.start_soc * s.bank.capacity_kwh;
    double stored_m3 = (gravity ? 0 : s.fill.cut_out_m3) + (s.cistern ? s.cistern->start_m3 : 0) +
                       (s.trough ? s.trough->full_m3 : 0);
    double level_m = s.well ? s.well->casing->static_level_m[0] : 0;
    double worst_kwh = 0, worst_m3 = 0, lowest = 0, over_full = 0, starved = 0, not_finite = 0;
    for (auto const& r : result.hours) {
        double const energy = r.array_used_kw + r.grid_kw + r.generator_kw - r.load_served_kw - r.pump_kw -
                              r.inverter_loss_kw - r.charger_loss_kw - r.controller_loss_kw - r.standby_kw -
                              r.heater_kw - r.battery_loss_kw - (r.battery_stored_kwh - stored_kwh);
        double const load = r.load_wanted_kw - r.load_served_kw - r.load_unserved_kw;
        double const now_m3 = r.tank_water_m3 + r.cistern_water_m3 + r.trough_water_m3;
        double const water =
            r.water_pumped_m3 - r.water_delivered_m3 - r.water_spilled_m3 - (now_m3 - stored_m3);
        double const wanted = r.water_demand_m3 - r.water_delivered_m3 - r.water_unmet_m3;
        double const well = s.well ? r.well_inflow_m3 - r.water_pumped_m3 -
                                         models::casing_area_m2(*s.well->casing) * (level_m - r.well_level_m)
                                   : 0;
        for (double const x : {energy, load}) worst_kwh = std::max(worst_kwh, std::abs(x));
        for (double const x : {water, wanted, well}) worst_m3 = std::max(worst_m3, std::abs(x));
        for (auto const& field : sim::series_fields()) {
            if (!std::isfinite(r.*field.value)) not_finite = 1;
            if (field.name != "well_inflow_m3" && field.name != "tank_pressure_kpa" &&
                field.name != "battery_temperature_c")
                lowest = std::min(lowest, r.*field.value);
        }
        over_full = std::max(over_full, r.battery_stored_kwh - s.bank.capacity_kwh);
        if (r.limit_reason == 0) starved = std::max({starved, r.load_unserved_kw, r.water_unmet_m3});
        stored_kwh = r.battery_stored_kwh;
        stored_m3 = now_m3;
        level_m = r.well_level_m;
    }
    trouble.want(not_finite == 0, "a value is not finite");
    trouble.same("energy of an hour, kWh", worst_kwh, 0, 1e-9, 0);
    trouble.same("water of an hour, m3", worst_m3, 0, 1e-9, 0);
    trouble.want(lowest > -1e-6, fmt::format("below zero: {}", lowest));
    trouble.want(over_full < 1e-9, fmt::format("fuller than full: {} kWh", over_full));
    trouble.want(starved < 1e-6, fmt::format("not supplied without a reason: {}", starved));
}

}  // namespace holdwater::test
