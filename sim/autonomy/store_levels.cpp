#include "sim/autonomy/store_levels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "models/numeric/expects.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

void check_level(char const* name, std::optional<double> level, double most) {
    if (level && !(*level >= 0 && *level <= most))
        throw std::invalid_argument(
            fmt::format("start level of the {} = {} (must be 0 .. {:g})", name, *level, most));
}

bool has_casing(System const& s) { return s.well && s.well->casing; }

std::shared_ptr<std::vector<double> const> pumped_until(RunResult const& year) {
    auto sums = std::make_shared<std::vector<double>>(1, 0.0);
    for (HourRecord const& r : year.hours) sums->push_back(sums->back() + r.water_pumped_m3);
    return sums;
}

// A day ends at the hour at which the period begins.
CarriedWell carried_well(WellStart const& start) {
    CarriedWell well{start.level_m};
    if (!start.pumped_until_m3) return well;
    auto const& until_m3 = *start.pumped_until_m3;
    for (int end = start.hour % 24 + 24; end <= start.hour; end += 24) {
        auto const h = static_cast<std::size_t>(end);
        well.day_flow_m3_s.push_back((until_m3[h] - until_m3[h - 24]) / 86400);
    }
    return well;
}

}  // namespace

std::vector<StoreLevels> levels_of_year(System const& system, RunResult const& year) {
    HOLDWATER_EXPECTS(year.clock.first_hour == 0 && year.hours.size() == std::size_t{hours_per_year});
    bool const warm = system.battery_behavior.thermal.has_value(), cased = has_casing(system);
    auto const pumped_until_m3 = cased && system.well->aquifer ? pumped_until(year) : nullptr;
    std::vector<StoreLevels> levels;
    levels.reserve(year.hours.size());
    for (std::size_t h = 0; h < year.hours.size(); ++h) {
        HourRecord const& before = h > 0 ? year.hours[h - 1] : year.hours.back();
        StoreLevels level{before.battery_soc, before.cistern_water_m3, before.trough_water_m3};
        if (cased)
            level.well = WellStart{h > 0 ? before.well_level_m : year.start.well_level_m, static_cast<int>(h),
                                   pumped_until_m3};
        if (warm) {
            level.battery_c = before.battery_temperature_c;
            level.charge_refused = before.charge_refused_h > 0;
        }
        levels.push_back(std::move(level));
    }
    return levels;
}

std::vector<StoreLevels> start_levels(System const& design, HourlyInputs const& inputs,
                                      NamedLevels const& named) {
    check_level("battery", named.soc, 1);
    if (design.cistern) check_level("cistern", named.cistern_m3, design.cistern->cistern.capacity_m3);
    if (design.trough) check_level("trough", named.trough_m3, design.trough->full_m3);
    bool const all_named = named.soc && (!design.cistern || named.cistern_m3) &&
                           (!design.trough || named.trough_m3) && !has_casing(design) &&
                           !design.battery_behavior.thermal;
    auto levels = all_named ? std::vector<StoreLevels>(hours_per_year)
                            : levels_of_year(design, simulate(design, inputs, Clock{}));
    for (auto& level : levels) {
        if (named.soc) level.soc = *named.soc;
        if (design.cistern && named.cistern_m3) level.cistern_m3 = *named.cistern_m3;
        if (design.trough && named.trough_m3) level.trough_m3 = *named.trough_m3;
    }
    return levels;
}

StoreLevels levels_at_share(System const& s, double share, StoreLevels const& rest) {
    StoreLevels level = rest;
    level.soc = s.battery.min_soc + share * (1 - s.battery.min_soc);
    level.cistern_m3 = level.trough_m3 = 0;
    if (s.cistern) {
        double const floor_m3 = models::usable_from_m3(s.cistern->cistern);
        level.cistern_m3 = floor_m3 + share * (s.cistern->cistern.fill_stop_m3 - floor_m3);
    }
    if (s.trough) level.trough_m3 = share * s.trough->full_m3;
    return level;
}

System with_levels(System system, StoreLevels const& levels) {
    system.start_soc = levels.soc;
    system.carried_supply.reset();
    if (levels.battery_c) {
        models::BatteryParameters const battery{system.battery_behavior.store, system.battery};
        system.carried_supply = CarriedSupply{models::at_soc(battery, levels.soc), false,
                                              levels.charge_refused, *levels.battery_c, 0};
    }
    if (!system.cistern && !system.trough && !levels.well) return system;
    bool const tank = !system.cistern || !system.cistern->gravity;
    system.carried_water =
        CarriedWater{tank ? models::stored_water_m3(system.tank, system.tank.cut_out_kpa) : 0,
                     levels.cistern_m3, levels.trough_m3, std::nullopt};
    if (levels.well) system.carried_water->well = carried_well(*levels.well);
    return system;
}

double cistern_full_m3(System const& system) {
    if (!system.cistern) return 0;
    auto const& c = *system.cistern;
    return c.rule == models::FillRule::level ? c.cistern.fill_start_m3
                                             : c.cistern.fill_stop_m3 - c.fill_band_m3;
}

double trough_full_m3(System const& system) { return system.trough ? system.trough->open_m3 : 0; }

StoredWater stored_water(System const& system) {
    StoredWater stored;
    double cistern_m3 = 0;
    if (system.cistern) {
        auto const& c = system.cistern->cistern;
        cistern_m3 = std::max(0.0, c.fill_stop_m3 - c.dead_m3 - c.reserve_m3);
    }
    if (system.cistern && system.cistern->gravity) {
        stored.at_taps_m3 = cistern_m3;
    } else {
        stored.at_taps_m3 = models::stored_water_m3(system.tank, system.tank.cut_out_kpa);
        stored.behind_booster_m3 = cistern_m3;
    }
    if (system.trough) stored.trough_m3 = system.trough->full_m3;
    return stored;
}

}  // namespace holdwater::sim
