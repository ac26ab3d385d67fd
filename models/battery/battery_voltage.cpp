#include "models/battery/battery_voltage.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(BatteryVoltageParameters const& p) {
    require(p.resistance_ohm >= 0 && std::isfinite(p.resistance_ohm), "resistance_ohm", p.resistance_ohm,
            "must be >= 0");
    require(p.open_circuit.size() >= 2, "open_circuit rows", static_cast<double>(p.open_circuit.size()),
            "at least two rows are needed, at state of charge 0 and 1");
    require(p.open_circuit.front().soc == 0, "open_circuit soc", p.open_circuit.front().soc,
            "must begin at 0");
    require(p.open_circuit.back().soc == 1, "open_circuit soc", p.open_circuit.back().soc, "must end at 1");
    for (std::size_t i = 0; i < p.open_circuit.size(); ++i) {
        auto const [soc, volts] = p.open_circuit[i];
        require(volts > 0, "open_circuit volts", volts, "must be above 0");
        if (i == 0) continue;
        require(soc > p.open_circuit[i - 1].soc, "open_circuit soc", soc, "must rise from row to row");
        require(volts > p.open_circuit[i - 1].volts, "open_circuit volts", volts,
                "must rise from row to row: a fuller battery rests higher");
    }
}

double open_circuit_v(BatteryVoltageParameters const& p, double soc) {
    auto const& t = p.open_circuit;
    if (soc <= t.front().soc) return t.front().volts;
    if (soc >= t.back().soc) return t.back().volts;
    auto const above = std::upper_bound(t.begin(), t.end(), soc,
                                        [](double s, VoltagePoint const& row) { return s < row.soc; });
    auto const below = above - 1;
    return below->volts + (above->volts - below->volts) * (soc - below->soc) / (above->soc - below->soc);
}

double soc_at_open_circuit(BatteryVoltageParameters const& p, double volts) {
    auto const& t = p.open_circuit;
    if (volts <= t.front().volts) return t.front().soc;
    if (volts >= t.back().volts) return t.back().soc;
    auto const above = std::upper_bound(t.begin(), t.end(), volts,
                                        [](double v, VoltagePoint const& row) { return v < row.volts; });
    auto const below = above - 1;
    return below->soc + (above->soc - below->soc) * (volts - below->volts) / (above->volts - below->volts);
}

namespace {

std::vector<VoltagePoint> tenths(std::array<double, 11> const& volts) {
    std::vector<VoltagePoint> table;
    for (std::size_t i = 0; i < volts.size(); ++i) table.push_back({static_cast<double>(i) / 10, volts[i]});
    return table;
}

}  // namespace

std::vector<VoltagePoint> flooded_lead_open_circuit_12v() {
    return tenths({11.36, 11.51, 11.66, 11.81, 11.96, 12.10, 12.24, 12.37, 12.50, 12.62, 12.73});
}

std::vector<VoltagePoint> sealed_lead_open_circuit_12v() {
    auto table = flooded_lead_open_circuit_12v();
    for (auto& row : table) row.volts += 0.15;
    return table;
}

std::vector<VoltagePoint> lithium_iron_phosphate_open_circuit_12v() {
    return tenths({10.00, 12.00, 12.80, 12.90, 13.00, 13.05, 13.10, 13.20, 13.30, 13.40, 13.60});
}

std::vector<VoltagePoint> in_series(std::vector<VoltagePoint> table, double blocks) {
    for (auto& row : table) row.volts *= blocks;
    return table;
}

double battery_resistance_ohm(double block_ohm, double nominal_v, double capacity_ah) {
    return block_ohm * (nominal_v / 12) * (100 / capacity_ah);
}

double cold_resistance_factor(double temperature_c, double factor_at_0_c) {
    return 1 + (factor_at_0_c - 1) * std::max(0.0, 25 - temperature_c) / 25;
}

}  // namespace holdwater::models
