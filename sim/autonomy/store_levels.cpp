#include "sim/autonomy/store_levels.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "models/numeric/expects.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

void check_level(char const* name, std::optional<double> level, double most) {
    if (level && !(*level >= 0 && *level <= most))
        throw std::invalid_argument(
            fmt::format("start level of the {} = {} (must be 0 .. {:g})", name, *level, most));
}

}  // namespace

std::vector<StoreLevels> levels_of_year(System const& system, RunResult const& year) {
    HOLDWATER_EXPECTS(year.clock.first_hour == 0 && year.hours.size() == std::size_t{hours_per_year});
    StoreLevels begin{system.start_soc, system.cistern ? system.cistern->start_m3 : 0,
                      system.trough ? system.trough->full_m3 : 0};
    std::vector<StoreLevels> levels{begin};
    levels.reserve(year.hours.size());
    for (std::size_t h = 0; h + 1 < year.hours.size(); ++h)
        levels.push_back(
            {year.hours[h].battery_soc, year.hours[h].cistern_water_m3, year.hours[h].trough_water_m3});
    return levels;
}

std::vector<StoreLevels> start_levels(System const& design, HourlyInputs const& inputs,
                                      NamedLevels const& named) {
    check_level("battery", named.soc, 1);
    if (design.cistern) check_level("cistern", named.cistern_m3, design.cistern->cistern.capacity_m3);
    if (design.trough) check_level("trough", named.trough_m3, design.trough->full_m3);
    bool const all_named =
        named.soc && (!design.cistern || named.cistern_m3) && (!design.trough || named.trough_m3);
    auto levels = all_named ? std::vector<StoreLevels>(hours_per_year)
                            : levels_of_year(design, simulate(design, inputs, Clock{}));
    for (auto& level : levels) {
        if (named.soc) level.soc = *named.soc;
        if (design.cistern && named.cistern_m3) level.cistern_m3 = *named.cistern_m3;
        if (design.trough && named.trough_m3) level.trough_m3 = *named.trough_m3;
    }
    return levels;
}

StoreLevels levels_at_share(System const& s, double share) {
    StoreLevels level{s.battery.min_soc + share * (1 - s.battery.min_soc), 0, 0};
    if (s.cistern) {
        double const floor_m3 = models::usable_from_m3(s.cistern->cistern);
        level.cistern_m3 = floor_m3 + share * (s.cistern->cistern.fill_stop_m3 - floor_m3);
    }
    if (s.trough) level.trough_m3 = share * s.trough->full_m3;
    return level;
}

System with_levels(System system, StoreLevels const& levels) {
    system.start_soc = levels.soc;
    if (!system.cistern && !system.trough) return system;
    bool const tank = !system.cistern || !system.cistern->gravity;
    system.carried_water =
        CarriedWater{tank ? models::stored_water_m3(system.tank, system.tank.cut_out_kpa) : 0,
                     levels.cistern_m3, levels.trough_m3};
    return system;
}

double cistern_full_m3(System const& system) {
    if (!system.cistern) return 0;
    auto const& c = *system.cistern;
    return c.rule == models::FillRule::level ? c.cistern.fill_start_m3
                                             : c.cistern.fill_stop_m3 - c.fill_band_m3;
}

}  // namespace holdwater::sim
