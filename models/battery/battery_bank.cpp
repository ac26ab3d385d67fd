#include "models/battery/battery_bank.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

ChemistryDefaults chemistry_defaults(Chemistry chemistry) {
    double constexpr no_taper = std::numeric_limits<double>::infinity();
    switch (chemistry) {
        case Chemistry::flooded_lead_acid:
            return {0.905, 0.5, 0.2, 0.25, 0.05, 1.0, 0.012, 1.75, 7, 9};
        case Chemistry::sealed_lead_acid:
            return {0.93, 0.5, 0.25, 0.25, 0.03, 1.0, 0.012, 1.75, 7, 9};
        case Chemistry::lithium_iron_phosphate:
            return {0.97, 0.15, 0.5, 0.5, 0.025, no_taper, 0.006, 1.75, 12, 12};
    }
    return {};
}

ChargeTemperatureRule charge_temperature_rule(Chemistry chemistry) {
    return chemistry == Chemistry::lithium_iron_phosphate ? lithium_iron_phosphate_charge_rule()
                                                          : ChargeTemperatureRule{};
}

std::vector<CapacityAtTemperature> capacity_table(Chemistry chemistry) {
    return chemistry == Chemistry::lithium_iron_phosphate ? lithium_iron_phosphate_capacity_table()
                                                          : lead_acid_capacity_table();
}

std::vector<VoltagePoint> open_circuit_12v(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::flooded_lead_acid:
            return flooded_lead_open_circuit_12v();
        case Chemistry::sealed_lead_acid:
            return sealed_lead_open_circuit_12v();
        case Chemistry::lithium_iron_phosphate:
            return lithium_iron_phosphate_open_circuit_12v();
    }
    return {};
}

}  // namespace holdwater::models
