#include "scenarios/settings/metered_pump.hpp"

#include <fmt/format.h>

#include <numeric>

#include "models/numeric/trade_units.hpp"

namespace holdwater::scenarios {
namespace {

// Mean demand of the year, with the multiplier; animals at 20 degC.
double entered_m3_per_day(DemandSettings const& d) {
    auto const mean_day_m3 = [](models::WaterUse const& u) {
        double const months = std::accumulate(u.month_factor.begin(), u.month_factor.end(), 0.0) / 12;
        double const weekdays = (5 * u.weekday_factor + 2 * u.weekend_factor) / 7;
        double const base_m3 =
            u.drinking.empty() ? u.daily_m3 : u.heads * models::drinking_m3_per_head(u.drinking, 20);
        return base_m3 * months * weekdays;
    };
    if (d.varying) return mean_day_m3(*d.varying);
    if (d.uses.empty()) return d.daily_m3;
    double sum_m3 = d.series ? d.daily_m3 : 0;
    for (auto const& use : d.uses) sum_m3 += mean_day_m3(use);
    return sum_m3;
}

}  // namespace

double metered_water_m3_per_day(Scenario const& s) {
    double const middle_kpa = 0.5 * (s.tank.cut_in_kpa + s.tank.cut_out_kpa);
    auto const point = models::operating_point(s.pump, s.motor, s.piping, s.lift, middle_kpa);
    return point.flow_m3_s * 86400 * s.demand.metered_pump_w / point.electrical_w;
}

std::string metered_pump_warning(Scenario const& s) {
    if (!(s.demand.metered_pump_w > 0)) return {};
    double const metered_m3 = metered_water_m3_per_day(s),
                 entered_m3 = entered_m3_per_day(s.demand) / s.demand.multiplier;
    if (entered_m3 <= 2 * metered_m3 && metered_m3 <= 2 * entered_m3) return {};
    double const hours = 24 * s.demand.metered_pump_w /
                         models::operating_point(s.pump, s.motor, s.piping, s.lift,
                                                 0.5 * (s.tank.cut_in_kpa + s.tank.cut_out_kpa))
                             .electrical_w;
    return fmt::format(
        "demand.metered_pump_energy: runs this pump {:.0f} minutes a day, which brings {:.0f} L, as {:.1f} "
        "to "
        "{:.1f} persons use, but {:.0f} L a day are entered; check the number of persons, the pump's watts "
        "(not volt-amperes) and the meter",
        60 * hours, 1e3 * metered_m3, metered_m3 / (100 * models::m3_per_gal),
        metered_m3 / (50 * models::m3_per_gal), 1e3 * entered_m3);
}

}  // namespace holdwater::scenarios
