#include "sim/year/energy_day.hpp"

#include "models/numeric/expects.hpp"

namespace holdwater::sim {

EnergyDay mean_energy_day(std::span<HourRecord const> hours) {
    HOLDWATER_EXPECTS(!hours.empty());
    EnergyDay e;
    for (auto const& h : hours) {
        e.pump_kwh += h.pump_kw;
        e.loads_kwh += h.load_served_kw;
        e.inverter_kwh += h.inverter_loss_kw + h.pass_through_loss_kw;
        e.battery_kwh += h.battery_loss_kw;
        e.other_kwh += h.controller_loss_kw + h.charger_loss_kw + h.standby_kw + h.heater_kw;
    }
    double const days = static_cast<double>(hours.size()) / 24;
    for (double* part : {&e.pump_kwh, &e.loads_kwh, &e.inverter_kwh, &e.battery_kwh, &e.other_kwh})
        *part /= days;
    return e;
}

HourSource hour_source(HourRecord const& h, Backup backup) {
    if (h.backup_h >= 0.5)
        return backup == Backup::generator || h.generator_kw > h.grid_kw ? HourSource::generator
                                                                         : HourSource::grid;
    if (h.inverter_off_h >= 0.5) return HourSource::nothing;
    return h.pv_used_kw > 0 && h.battery_discharge_kw <= h.pv_used_kw ? HourSource::array
                                                                      : HourSource::battery;
}

}  // namespace holdwater::sim
