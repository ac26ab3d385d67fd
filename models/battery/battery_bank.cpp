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

void validate(BatteryBankParameters const& b) {
    require(b.unit_v > 0 && b.unit_v <= 800, "unit_v", b.unit_v, "must be above 0 and at most 800");
    require(b.unit_ah > 0 && std::isfinite(b.unit_ah), "unit_ah", b.unit_ah, "must be above 0");
    require(b.in_series >= 1, "in_series", b.in_series, "must be at least 1");
    require(b.in_parallel >= 1, "in_parallel", b.in_parallel, "must be at least 1");
    require(b.unit_charge_limit_a > 0, "unit_charge_limit_a", b.unit_charge_limit_a, "must be above 0");
    require(b.unit_discharge_limit_a > 0, "unit_discharge_limit_a", b.unit_discharge_limit_a,
            "must be above 0");
    require(b.management_w >= 0, "management_w", b.management_w, "must be >= 0");
    require(b.remaining_capacity > 0 && b.remaining_capacity <= 1, "remaining_capacity", b.remaining_capacity,
            "must be above 0 and at most 1");
}

void check_voltage(BatteryBankParameters const& b, double inverter_nominal_v) {
    double const ratio = battery_v(b) / inverter_nominal_v;
    require(ratio > 0.9 && ratio < 1.1, "battery_v", battery_v(b),
            "must be within 10 % of the inverter's DC voltage: change the number of units in series");
}

BatteryParameters battery_of(BatteryBankParameters const& battery) {
    auto const usual = chemistry_defaults(battery.chemistry);
    double const kwh = battery_kwh(battery) * battery.remaining_capacity;
    double const kw_per_a = battery_v(battery) * battery.in_parallel / 1000;
    BatteryParameters b;
    b.energy = {kwh,
                usual.one_way_efficiency,
                usual.one_way_efficiency,
                usual.min_soc,
                std::min(usual.charge_rate_per_h * kwh, battery.unit_charge_limit_a * kw_per_a),
                std::min(usual.discharge_rate_per_h * kwh, battery.unit_discharge_limit_a * kw_per_a),
                self_discharge_per_h(usual.self_discharge_per_month)};
    b.acceptance_per_h = usual.acceptance_per_h;
    return b;
}

BatteryParameters two_well_battery_of(BatteryBankParameters const& battery,
                                      std::vector<RatedCapacity> const& unit_ah) {
    TwoWellParameters wells = fit_two_well(unit_ah).parameters;
    wells.capacity_kwh *= battery.in_parallel * battery_v(battery) / 1000 * battery.remaining_capacity;
    return with_wells(battery_of(battery), wells);
}

double battery_cells(BatteryBankParameters const& battery) {
    double const cell_v = battery.chemistry == Chemistry::lithium_iron_phosphate ? 3.2 : 2;
    return std::max(1.0, std::round(battery.unit_v / cell_v)) * battery.in_series;
}

BatteryVoltageParameters voltage_of(BatteryBankParameters const& battery) {
    double const cells_per_block = battery.chemistry == Chemistry::lithium_iron_phosphate ? 4 : 6;
    double const blocks = battery_cells(battery) / cells_per_block;
    return {in_series(open_circuit_12v(battery.chemistry), blocks),
            battery_resistance_ohm(chemistry_defaults(battery.chemistry).block_resistance_ohm, 12 * blocks,
                                   battery_ah(battery))};
}

}  // namespace holdwater::models
