#pragma once

#include "models/battery/battery.hpp"
#include "models/battery/battery_temperature.hpp"
#include "models/battery/battery_voltage.hpp"
#include "models/battery/lead_acid_charging.hpp"

namespace holdwater::models {

enum class Chemistry { flooded_lead_acid, sealed_lead_acid, lithium_iron_phosphate };

/// Usual values for a chemistry, for a design that has no data sheet yet. The figures are from memory unless
/// marked "practice": those are common practice, no source. None is a maker's value.
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

/// Equal units in series and in parallel.
struct BatteryBankParameters {
    Chemistry chemistry = Chemistry::lithium_iron_phosphate;
    double unit_v = 0;    ///< nominal voltage of one unit [V], > 0
    double unit_ah = 0;   ///< rated capacity of one unit [Ah], > 0
    int in_series = 0;    ///< units per string, >= 1
    int in_parallel = 0;  ///< strings, >= 1
    double unit_charge_limit_a = std::numeric_limits<double>::infinity();     ///< of one unit [A]
    double unit_discharge_limit_a = std::numeric_limits<double>::infinity();  ///< of one unit, continuous [A]
    double management_w = 0;        ///< constant draw of the management system, whole battery [W], >= 0
    double remaining_capacity = 1;  ///< share of new, for a battery that has aged [-], (0, 1]
};

/// Throws ParameterError naming the field.
void validate(BatteryBankParameters const& battery);

/// Throws ParameterError if the nominal voltages of battery and inverter differ by more than 10 %. (A 51.2 V
/// battery suits a 48 V inverter.)
void check_voltage(BatteryBankParameters const& battery, double inverter_nominal_v);

inline double battery_v(BatteryBankParameters const& b) { return b.unit_v * b.in_series; }
inline double battery_ah(BatteryBankParameters const& b) { return b.unit_ah * b.in_parallel; }

/// Nominal energy when new [kWh].
inline double battery_kwh(BatteryBankParameters const& b) { return battery_v(b) * battery_ah(b) / 1000; }

/// The battery as an energy bucket with the usual values of its chemistry. Each limit is the lower one of
/// chemistry and units. The caller replaces values that a data sheet gives.
BatteryParameters battery_of(BatteryBankParameters const& battery);

/// The battery with two wells, fitted to the rated capacities of one unit in Ah. The limits are those of
/// `battery_of`. `fit_two_well` with the same table gives the quality of the fit.
BatteryParameters two_well_battery_of(BatteryBankParameters const& battery,
                                      std::vector<RatedCapacity> const& unit_ah);

/// Cells in series: the cells of one unit times the units in series. The cells of a unit follow from its
/// nominal voltage, with 2 V for a lead-acid cell and 3.2 V for a lithium iron phosphate cell (so 12 V and
/// 12.8 V are both four cells, 48 V is 15 and 51.2 V is 16).
double battery_cells(BatteryBankParameters const& battery);

/// The voltage parameters of the battery with the usual values of its chemistry; resistance at 25 deg C, new.
BatteryVoltageParameters voltage_of(BatteryBankParameters const& battery);

}  // namespace holdwater::models
