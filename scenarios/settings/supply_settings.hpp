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

namespace holdwater::scenarios {

enum class Backup { none, grid, generator };

/// When the AC loads change over, levels as states of charge. See DEVELOPERS.md for the rules in words.
struct SupplyRules {
    Backup backup = Backup::none;
    bool grid_first =
        false;  ///< on the grid whenever it is there; the battery is the reserve for its outages
    double transfer_below = 0;  ///< to the backup at or below this
    double return_above = 1;    ///< back to the inverter at or above this
    double charge_to = 0;      ///< the charger fills the battery up to this while transferred; 0: no charging
    double restart_above = 0;  ///< an inverter that ran the battery to its floor comes back at this
    double backup_limit_w = 0;  ///< most the backup carries, load and charger together [W]; may be infinite
    double transfer_below_v =
        0;  ///< also to the backup when the battery is under this under load [V]; 0: not used
    double transfer_delay_s = 60;   ///< for so long
    double accept_delay_s = 0;      ///< a grid that returned must be there so long before it is used
    double break_s = 0;             ///< how long a transfer interrupts the AC loads
    bool trip_on_overload = false;  ///< a start that does not fit trips the inverter; else it is held back
    models::TripParameters trip;    ///< what follows a trip
    double trip_reset_h = 24;       ///< a locked-out inverter is reset by hand after this long
    models::OutageList bypass;      ///< inverter out of service, loads straight on the grid
};

/// How a battery differs from a plain store of energy; the default is a plain store.
struct BatteryBehavior {
    models::BatteryKind kind = models::BatteryKind::energy_bucket;
    double available_fraction = 0.5, exchange_per_h = 0.5;  ///< two wells
    double acceptance_per_h = std::numeric_limits<double>::infinity();
    models::BatteryVoltageParameters voltage;                ///< no rows: no voltage model
    double cold_resistance_factor = 1;                       ///< at 0 deg C over 25 deg C
    std::vector<models::CapacityAtTemperature> capacity_at;  ///< empty: the same at every temperature
    models::ChargeTemperatureRule charge_rule;
    std::optional<models::BatteryThermalParameters> thermal;  ///< none: 25 deg C all year
    double place_offset_k = 0;                   ///< the place the battery stands in over the outside air [K]
    std::optional<models::Chemistry> chemistry;  ///< none: not said
};

/// How the generator is operated beside its nameplate.
struct GeneratorOperation {
    models::GeneratorRunParameters run{
        .warm_up_h = 0, .cool_down_h = 0, .min_run_h = 0, .min_rest_h = 0, .crank_s = 0};
    double emergency_below = 0;  ///< quiet hours are ignored at or below this state of charge; 0: never
    double top_up_below = 0;     ///< called at or below this during run.top_up_within_h
    double longest_day_h = std::numeric_limits<double>::infinity();  ///< most hours of running a day
    double refuel_after_h = 24;                                      ///< from an empty tank to a full one
    double repair_after_h = 24;                                      ///< from a failed start to the next try
    double start_va = std::numeric_limits<double>::infinity();       ///< largest motor start it carries [VA]
    double elevation_m = 0;
    std::uint64_t seed = 1;
};

/// What the years to the battery's replacement are reckoned from; nothing set: not reckoned.
struct BatteryLifeSettings {
    std::optional<models::CycleLife> cycle_life;
    double calendar_life_y = std::numeric_limits<double>::infinity();  ///< at 25 deg C
    double calendar_halving_k = 10;
    double throughput_life_kwh = std::numeric_limits<double>::infinity();
    models::LifeCombination combination = models::LifeCombination::shortest;
};

}  // namespace holdwater::scenarios
