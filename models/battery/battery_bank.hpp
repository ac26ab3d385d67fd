#pragma once

#include "models/battery/battery.hpp"
#include "models/battery/battery_temperature.hpp"
#include "models/battery/battery_voltage.hpp"

namespace holdwater::models {

enum class Chemistry { flooded_lead_acid, sealed_lead_acid, lithium_iron_phosphate };

/// Usual values for a chemistry, for a design that has no data sheet yet. The figures are from memory unless
/// marked "practice": those are common practice, no source.
struct ChemistryDefaults {
    double one_way_efficiency = 0;        ///< charge and discharge each [-]
    double min_soc = 0;                   ///< 1 - usual depth of discharge [-] (practice)
    double charge_rate_per_h = 0;         ///< usual charge limit, share of capacity per hour [1/h]
    double discharge_rate_per_h = 0;      ///< usual continuous limit [1/h]
    double self_discharge_per_month = 0;  ///< [-]
    double acceptance_per_h = 0;          ///< see lead_acid_charging.hpp; infinite: no taper
    double block_resistance_ohm = 0;      ///< of a 12 V, 100 Ah block at 25 deg C [ohm]
    double cold_resistance_factor = 0;    ///< at 0 deg C [-]
    double calendar_life_y = 0;           ///< at 25 deg C [y]
    double calendar_halving_k = 0;        ///< temperature rise that halves it [K] (practice for lead-acid)
};

ChemistryDefaults chemistry_defaults(Chemistry chemistry);
ChargeTemperatureRule charge_temperature_rule(Chemistry chemistry);
std::vector<CapacityAtTemperature> capacity_table(Chemistry chemistry);
std::vector<VoltagePoint> open_circuit_12v(Chemistry chemistry);

}  // namespace holdwater::models
