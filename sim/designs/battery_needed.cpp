#include "sim/designs/battery_needed.hpp"

#include <cmath>
#include <limits>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {

bool spares_battery(scenarios::Scenario const& s) {
    bool const cistern_hours = s.cistern && s.cistern->fill_hours != models::DailyHours{};
    bool const trough = s.trough && (std::isfinite(s.trough->fill_battery_above) ||
                                     s.trough->fill_hours != models::DailyHours{});
    return s.pump_gate || cistern_hours || trough || s.rules.forewarned_h > 0;
}

double battery_needed_kwh(System const& system, CheckedInputs const& hourly) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    if (!(system.battery.capacity_kwh > 0)) return infinity;
    auto const enough = [&](double factor) {
        bool dry = false;
        watch(with_battery_factor(system, factor), hourly, Clock{}, [&](int, HourRecord const& r, auto) {
            dry = r.water_short_m3 > some_water_m3;
            return !dry;
        });
        return !dry;
    };
    double low = 1.0 / 64, high = 64;
    if (enough(low)) return 0;
    if (!enough(high)) return infinity;
    while (high > 1.02 * low) {
        double const middle = std::sqrt(low * high);
        (enough(middle) ? high : low) = middle;
    }
    return high * system.battery.capacity_kwh;
}

}  // namespace holdwater::sim
