#include "sim/year/battery_life.hpp"

#include <algorithm>
#include <cmath>

namespace holdwater::sim {

namespace {

models::YearOfUse use_of(std::vector<double> const& soc, double mean_calendar_factor, double discharged_kwh,
                         BatteryLifeSettings const& life) {
    models::YearOfUse use{0, life.calendar_life_y, 1, 0, life.throughput_life_kwh};
    if (soc.size() < 2) return use;
    double const years = static_cast<double>(soc.size() - 1) / hours_per_year;
    if (life.cycle_life)
        use.cycling_damage = models::cycling_damage(*life.cycle_life, models::rainflow(soc)) / years;
    use.mean_calendar_factor = mean_calendar_factor;
    use.discharged_kwh = discharged_kwh / years;
    return use;
}

}  // namespace

models::YearOfUse year_of_use(RunResult const& result, System const& system) {
    BatteryLifeSettings const& life = system.battery_life;
    std::vector<double> soc{system.start_soc}, temperature_c;
    double discharged_kwh = 0;
    for (HourRecord const& r : result.hours) {
        soc.push_back(r.battery_soc);
        temperature_c.push_back(r.battery_temperature_c);
        discharged_kwh += r.battery_discharge_kw;
    }
    return use_of(soc, models::mean_calendar_factor(temperature_c, life.calendar_halving_k), discharged_kwh,
                  life);
}

models::YearOfUse year_of_use(std::vector<double> const& soc, double temperature_c, double discharged_kwh,
                              BatteryLifeSettings const& life) {
    std::vector<double> const warm{temperature_c};
    return use_of(soc, models::mean_calendar_factor(warm, life.calendar_halving_k), discharged_kwh, life);
}

bool asks_for_life(BatteryLifeSettings const& life) {
    return life.cycle_life || !std::isinf(life.calendar_life_y) || !std::isinf(life.throughput_life_kwh);
}

models::BatteryLife battery_life(RunResult const& result, System const& system) {
    return models::battery_life(year_of_use(result, system), system.battery_life.combination);
}

void find_battery_life(RunResult& result, System const& system) {
    if (asks_for_life(system.battery_life)) put_battery_life(result.findings, battery_life(result, system));
}

void put_battery_life(Findings& f, models::BatteryLife const& life) {
    auto const known = [](double years) { return std::isfinite(years) ? years : 0; };
    f.battery_life_y = known(life.years);
    f.battery_cycling_y = known(life.cycling_y);
    f.battery_calendar_y = known(life.calendar_y);
    f.battery_throughput_y = known(life.throughput_y);
    f.battery_life_rule = static_cast<double>(life.rule);
}

}  // namespace holdwater::sim
