#pragma once

#include <algorithm>

#include "models/numeric/lanes.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/supply/battery_side.hpp"

namespace holdwater::sim {

/// The source of the AC loads over a step.
enum class Feed {
    nothing,  ///< inverter off or tripped, or the moment of a transfer
    inverter,
    backup,  ///< grid or generator through the transfer; the charger may run
    bypass,  ///< directly on the grid; inverter and charger are out of service
};

/// All powers during one step [W]. They are constant over the step, except in a taper (`battery.taper`): then
/// the battery takes less and less, array and charger follow, and their figures below are the highest they
/// can give.
struct PowerFlow {
    Feed feed = Feed::nothing;
    double load_w = 0, pump_w = 0;
    double inverter_dc_w = 0;   ///< into the inverter
    double standby_w = 0;       ///< controller and battery management
    double heater_w = 0;        ///< battery heater
    double array_w = 0;         ///< available from the array
    double sun_w = 0;           ///< out of the charge controller
    double charger_dc_w = 0;    ///< out of the charger
    double pass_through_w = 0;  ///< from the backup, lost in the inverter on the way to the loads
    bool asleep = false;        ///< inverter in search mode
    BatteryFlow battery;
    double peak_battery_w =
        0;  ///< at the terminals at the highest draw of the running motors, > 0 discharges
    double dc_w() const { return inverter_dc_w + standby_w + heater_w; }
    double ac_w() const { return load_w + pump_w; }
};

/// Power of the battery [W], > 0 discharges, if array and charger offer this much more than inverter, standby
/// and heater take. The battery supplies what is missing, and takes what is left up to its limit.
template <class Real>
Real battery_power_w(Real const& offered_w, Real const& charge_limit_w) {
    return -models::least(offered_w, charge_limit_w);
}

/// Power used from the array if the battery takes `taken_w` >= 0 [W].
template <class Real>
Real sun_taken_w(Real const& sun_w, Real const& dc_w, Real const& taken_w) {
    return models::least(sun_w, dc_w + taken_w);
}

/// Highest output of the charge controller at an array power [W].
template <class Real>
Real controller_output_w(Real const& array_w, Real const& efficiency, Real const& limit_w) {
    return models::least(array_w * efficiency, limit_w);
}

/// The powers of a step for AC demands that the source can carry.
///
/// The array power goes to the needs of the DC side first, then to the battery up to what it accepts; the
/// rest is curtailed at the array. On the backup the loads are supplied directly, the array charges the
/// battery, and the charger adds what the backup has left (`charger_max_dc_w`), within the limits of the
/// battery and up to charge_to.
inline PowerFlow power_flow(System const& s, Battery const& battery, Feed feed, double array_w, double load_w,
                            double pump_w, double charger_max_dc_w, double charge_to) {
    double inverter_dc_w = 0;
    bool asleep = false;
    if (feed == Feed::inverter) {
        asleep = models::sleeps(s.inverter, load_w + pump_w);
        inverter_dc_w = asleep ? s.inverter.search_w : models::dc_input_w(s.inverter, load_w + pump_w);
        if (asleep) load_w = pump_w = 0;
    }
    double const sun_max_w = controller_output_w(array_w, s.controller_efficiency, s.controller_limit_w);
    double const stored_kwh = battery.stored_kwh();
    bool const charging = feed == Feed::backup && charge_to > 0;
    double const level_kwh = charge_to * battery.capacity_kwh();
    // Below charge_to the charger gives all it can; at charge_to it only holds the battery there.
    double charger_w = charging && stored_kwh < level_kwh ? charger_max_dc_w : 0;
    // If the battery cannot supply standby and heater, they get only what array and charger give.
    bool const fed = battery.feeds_standby();
    double const others_w = sun_max_w + charger_w;
    double const standby_w = fed ? s.dc_standby_w : std::min(s.dc_standby_w, others_w);
    double const heater_w = fed ? battery.heater_w() : std::min(battery.heater_w(), others_w - standby_w);

    double const dc_w = inverter_dc_w + standby_w + heater_w;
    if (charging && stored_kwh == level_kwh)
        charger_w = std::clamp(1e3 * battery.holding_kw() + dc_w - sun_max_w, 0.0, charger_max_dc_w);
    double const offered_w = sun_max_w + charger_w - dc_w;
    double sun_w = sun_max_w;
    BatteryFlow battery_flow;
    if (offered_w <= 0) {
        // If the inverter is off and the battery drained, standby and heater take everything; only rounding
        // is left.
        if (fed || feed == Feed::inverter) battery_flow.power_kw = -1e-3 * offered_w;
    } else {
        double const into_w = -battery_power_w(offered_w, 1e3 * battery.charge_limit_kw());
        battery_flow.taper = battery.tapers_at(1e-3 * into_w);
        double const taken_w = battery_flow.taper ? 1e3 * battery.accepted_kw() : into_w;
        battery_flow.power_kw = -1e-3 * taken_w;
        sun_w = sun_taken_w(sun_max_w, dc_w, taken_w);
        double const rest_w = dc_w + taken_w - sun_w;
        charger_w = charger_w > 0 && rest_w > 1e-9 * taken_w ? rest_w : 0;
    }
    return {.feed = feed,
            .load_w = load_w,
            .pump_w = pump_w,
            .inverter_dc_w = inverter_dc_w,
            .standby_w = standby_w,
            .heater_w = heater_w,
            .array_w = array_w,
            .sun_w = sun_w,
            .charger_dc_w = charger_w,
            .pass_through_w = 0,
            .asleep = asleep,
            .battery = battery_flow,
            .peak_battery_w = 0};
}

}  // namespace holdwater::sim
