#pragma once

#include <algorithm>

#include "models/numeric/lanes.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/supply/battery_side.hpp"

namespace holdwater::sim {

/// What feeds the AC loads over a step.
enum class Feed {
    nothing,  ///< inverter off or tripped, or the moment of a transfer
    inverter,
    backup,  ///< grid or generator through the transfer; the charger may run
    bypass,  ///< straight on the grid, inverter and charger out of service
};

/// All powers during one step [W]; constant over the step, except that in a taper the battery takes less and
/// less
/// (`battery.taper`) and sun and charger follow: then the charger and sun figures below are the most they
/// could give.
struct PowerFlow {
    Feed feed = Feed::nothing;
    double load_w = 0, pump_w = 0;
    double inverter_dc_w = 0;   ///< into the inverter
    double standby_w = 0;       ///< controller and battery management
    double heater_w = 0;        ///< battery heater
    double array_w = 0;         ///< what the array could give
    double sun_w = 0;           ///< out of the controller
    double charger_dc_w = 0;    ///< out of the charger
    double pass_through_w = 0;  ///< of the backup, lost in the inverter on the way to the loads
    bool asleep = false;        ///< inverter in search mode
    BatteryFlow battery;
    double peak_battery_w =
        0;  ///< at the terminals at the highest draw of the running motors, > 0 discharges
    double dc_w() const { return inverter_dc_w + standby_w + heater_w; }
    double ac_w() const { return load_w + pump_w; }
};

/// What the battery does [W], > 0 discharges, where sun and charger offer so much more than inverter, standby
/// and heater take: it makes up for what is missing and takes what is left, up to its limit.
template <class Real>
Real battery_power_w(Real const& offered_w, Real const& charge_limit_w) {
    return -models::least(offered_w, charge_limit_w);
}

/// What of the sun is taken when the battery takes `taken_w` >= 0 [W].
template <class Real>
Real sun_taken_w(Real const& sun_w, Real const& dc_w, Real const& taken_w) {
    return models::least(sun_w, dc_w + taken_w);
}

/// Most the controller puts out for an array power [W].
template <class Real>
Real controller_output_w(Real const& array_w, Real const& efficiency, Real const& limit_w) {
    return models::least(array_w * efficiency, limit_w);
}

/// Splits the power for AC demands that the source can carry.
///
/// The sun goes to the DC side's needs first, then to the battery up to what it accepts; what is left is
/// curtailed at the array. On the backup the loads are fed directly, the sun charges the battery, and the
/// charger adds what the backup's headroom (`charger_max_dc_w`), and the battery's limits leave, up to the
/// charge-to level.
inline PowerFlow power_flow(System const& s, Battery const& battery, Feed feed, double array_w, double load_w,
                            double pump_w, double charger_max_dc_w) {
    double inverter_dc_w = 0;
    bool asleep = false;
    if (feed == Feed::inverter) {
        asleep = models::sleeps(s.inverter, load_w + pump_w);
        inverter_dc_w = asleep ? s.inverter.search_w : models::dc_input_w(s.inverter, load_w + pump_w);
        if (asleep) load_w = pump_w = 0;
    }
    double const sun_max_w = controller_output_w(array_w, s.controller_efficiency, s.controller_limit_w);
    double const stored_kwh = battery.stored_kwh();
    bool const charging = feed == Feed::backup && s.rules.charge_to > 0;
    double const level_kwh = s.rules.charge_to * battery.capacity_kwh();
    // Up to the charge-to level the charger gives all it may, at the level it only holds it.
    double charger_w = charging && stored_kwh < level_kwh ? charger_max_dc_w : 0;
    // A battery that cannot feed standby and heater leaves them what sun and charger give.
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
        // Off and drained, standby and heater take all there is: nothing but rounding is left.
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
