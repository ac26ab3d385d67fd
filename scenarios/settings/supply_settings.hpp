#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "models/battery/battery.hpp"
#include "models/battery/battery_aging.hpp"
#include "models/battery/battery_bank.hpp"
#include "models/battery/battery_temperature.hpp"
#include "models/battery/battery_voltage.hpp"
#include "models/electric/grid.hpp"
#include "models/electric/inverter_overload.hpp"
#include "models/generator/generator_run.hpp"
#include "models/numeric/daily_span.hpp"

namespace holdwater::scenarios {

enum class Backup { none, grid, generator };

/// A generator behind the same inverter as the grid: it is called only while the grid is away, and the loads
/// leave it as soon as the grid is back. Limits are states of charge.
struct SecondBackup {
    double transfer_below = 0;  ///< without the grid: called at or below this
    double return_above = 1;    ///< released at or above this
    double charge_to = 0;       ///< the charger charges up to this while on the generator; 0: no charging
    double break_s = 0;         ///< time for which a transfer to or from it interrupts the AC loads
};

/// A tariff of two or three prices of the grid by the hour of day, the same every day, and how the battery
/// works for it while the grid is the normal source: in the hours of the high price the loads are on the
/// inverter down to the reserve, and the charger charges from the grid in those of the low price, or, without
/// any, outside those of the high price. At other times it charges up to the reserve only.
struct Tariff {
    models::DailyHours peak, low;  ///< the high and the low price
    double peak_price = 0;         ///< money per kWh, >= 0
    double low_price = 0;          ///< money per kWh, >= 0
    double reserve = 1;            ///< SOC down to which it is discharged; 1: not at all
};

/// When the AC loads transfer; limits are states of charge. DEVELOPERS.md has the rules in words.
struct SupplyRules {
    Backup backup = Backup::none;
    bool grid_first = false;    ///< the grid is the normal source; the battery is the reserve for its outages
    double transfer_below = 0;  ///< transfer to the backup at or below this
    double return_above = 1;    ///< return to the inverter at or above this
    double charge_to = 0;       ///< the charger charges up to this while on the backup; 0: no charging
    double restart_above = 0;   ///< after minimum SOC the inverter comes back at this
    double backup_limit_w = 0;  ///< highest power of the backup, loads and charger [W]; may be infinite
    double transfer_below_v =
        0;  ///< transfer also if the battery under load is below this voltage [V]; 0: not used
    double transfer_delay_s = 60;   ///< for this time
    double accept_delay_s = 0;      ///< time for which the grid must be back before it is used
    double break_s = 0;             ///< time for which a transfer interrupts the AC loads
    bool trip_on_overload = false;  ///< a start that does not fit trips the inverter; false: it is held back
    models::TripParameters trip;    ///< what happens after a trip
    double trip_reset_h = 24;       ///< time after which someone resets a locked-out inverter
    models::OutageList bypass;      ///< inverter out of service, loads directly on the grid
    bool by_hand = false;  ///< instead of transferring by itself: someone bypasses the inverter, and back
    double hand_response_h = 0;  ///< from the call, or its end, until someone has switched
    /// Outages of `forewarned_over_h` and more are known this long ahead: until they begin the loads are on
    /// the grid and the battery is charged to `forewarned_charge_to`. 0: none is.
    double forewarned_h = 0, forewarned_over_h = 8, forewarned_charge_to = 1;
    std::optional<SecondBackup> second;  ///< beside the grid only
    std::optional<Tariff> tariff;        ///< of the grid
};

/// Whether the battery is discharged every day in the hours of the tariff's high price.
inline bool works_for_the_bill(SupplyRules const& rules) {
    return rules.backup == Backup::grid && rules.grid_first && rules.tariff && rules.tariff->reserve < 1;
}
/// Hours of the year in which the inverter is out of service and the loads are straight on the grid, as
/// listed.
inline double listed_bypass_h(SupplyRules const& rules) {
    double hours = 0;
    if (rules.backup == Backup::grid)
        for (auto const& b : rules.bypass) hours += b.end_h - b.start_h;
    return hours;
}
/// Whether someone puts the loads straight on the grid by hand.
inline bool bypassed_by_hand(SupplyRules const& rules) {
    return rules.backup == Backup::grid && rules.by_hand;
}
/// Whether a generator can supply the loads.
inline bool uses_generator(SupplyRules const& rules) {
    return rules.backup == Backup::generator || rules.second.has_value();
}
/// Without grid and generator: only sun and battery. What has these rules has no generator either.
inline SupplyRules without_backup(SupplyRules rules) {
    rules.backup = Backup::none;
    rules.grid_first = false;
    rules.second.reset();
    return rules;
}
/// SOC up to which the charger charges while the loads are on the generator; 0: no charging.
inline double generator_charge_to(SupplyRules const& rules) {
    return rules.second ? rules.second->charge_to : rules.charge_to;
}

/// How a battery differs from a simple store of energy; the default is a simple store.
struct BatteryBehavior {
    models::BatteryStore store;                              ///< its kind
    models::BatteryVoltageParameters voltage;                ///< no rows: no voltage model
    double cold_resistance_factor = 1;                       ///< resistance at 0 deg C / at 25 deg C
    std::vector<models::CapacityAtTemperature> capacity_at;  ///< empty: the same at every temperature
    models::ChargeTemperatureRule charge_rule;
    std::optional<models::BatteryThermalParameters> thermal;  ///< none: 25 deg C all year
    double place_offset_k = 0;                   ///< place of the battery warmer than the outside air [K]
    std::optional<models::Chemistry> chemistry;  ///< none: not given
};

/// How the generator is operated, in addition to its nameplate.
struct GeneratorOperation {
    models::GeneratorRunParameters run{
        .warm_up_h = 0, .cool_down_h = 0, .min_run_h = 0, .min_rest_h = 0, .crank_s = 0};
    double emergency_below = 0;  ///< quiet hours are ignored at or below this state of charge; 0: never
    double top_up_below = 0;     ///< called at or below this SOC during run.top_up_within_h
    double longest_day_h = std::numeric_limits<double>::infinity();  ///< most running hours a day
    double refuel_after_h = 24;                                      ///< from an empty tank to a full one
    double repair_after_h = 24;                                      ///< from a failed start to the next try
    double start_va = std::numeric_limits<double>::infinity();       ///< largest motor start it carries [VA]
    double elevation_m = 0;
    std::uint64_t seed = 1;
};

/// Inputs for the years until the battery is replaced; if none is set, the years are not computed.
struct BatteryLifeSettings {
    std::optional<models::CycleLife> cycle_life;
    double calendar_life_y = std::numeric_limits<double>::infinity();  ///< at 25 deg C
    double calendar_halving_k = 10;
    double throughput_life_kwh = std::numeric_limits<double>::infinity();
    models::LifeCombination combination = models::LifeCombination::shortest;
};

}  // namespace holdwater::scenarios
