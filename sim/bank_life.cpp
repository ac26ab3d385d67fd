#include "sim/bank_life.hpp"

#include <algorithm>
#include <cmath>

namespace holdwater::sim {

models::YearOfUse year_of_use(RunResult const& result, System const& system) {
    BankLifeSettings const& life = system.bank_life;
    double const years = static_cast<double>(result.hours.size()) / hours_per_year;
    std::vector<double> soc{system.start_soc}, temperature_c;
    double discharged_kwh = 0;
    for (HourRecord const& r : result.hours) {
        soc.push_back(r.battery_soc);
        temperature_c.push_back(r.battery_temperature_c);
        discharged_kwh += r.battery_discharge_kw;
    }
    models::YearOfUse use{0, life.calendar_life_y, 1, 0, life.throughput_life_kwh};
    if (result.hours.empty()) return use;
    if (life.cycle_life)
        use.cycling_damage = models::cycling_damage(*life.cycle_life, models::rainflow(soc)) / years;
    use.mean_calendar_factor = models::mean_calendar_factor(temperature_c, life.calendar_halving_k);
    use.discharged_kwh = discharged_kwh / years;
    return use;
}

models::BatteryLife bank_life(RunResult const& result, System const& system) {
    return models::battery_life(year_of_use(result, system), system.bank_life.combination);
}

void find_bank_life(RunResult& result, System const& system) {
    Findings& f = result.findings;
    auto const& asked = system.bank_life;
    if (!asked.cycle_life && std::isinf(asked.calendar_life_y) && std::isinf(asked.throughput_life_kwh))
        return;
    auto const life = bank_life(result, system);
    auto const known = [](double years) { return std::isfinite(years) ? years : 0; };
    f.bank_life_y = known(life.years);
    f.bank_cycling_y = known(life.cycling_y);
    f.bank_calendar_y = known(life.calendar_y);
    f.bank_throughput_y = known(life.throughput_y);
    f.bank_life_rule = static_cast<double>(life.rule);
}

}  // namespace holdwater::sim
