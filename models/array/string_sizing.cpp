#include "models/array/string_sizing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {
namespace {

// 600 V / 60 V must be 10 even if a calculation gave 60 V with a rounding error.
constexpr double rounding = 1e-9;

}  // namespace

void validate(StringModule const& m) {
    require(m.voc_v >= 0.1 && m.voc_v <= 1000, "voc_v", m.voc_v, "must be 0.1 to 1000 V");
    require(m.vmp_v > 0 && m.vmp_v < m.voc_v, "vmp_v", m.vmp_v,
            "must be above 0 and below the open-circuit voltage");
    require(m.isc_a >= 0.01 && m.isc_a <= 100, "isc_a", m.isc_a, "must be 0.01 to 100 A");
    require(m.voc_coefficient_per_k >= -0.01 && m.voc_coefficient_per_k <= 0, "voc_coefficient_per_k",
            m.voc_coefficient_per_k, "must be -0.01 to 0 per K; a data sheet's -0.27 %/K is -0.0027");
    require(m.vmp_coefficient_per_k >= -0.01 && m.vmp_coefficient_per_k <= 0, "vmp_coefficient_per_k",
            m.vmp_coefficient_per_k, "must be -0.01 to 0 per K; a data sheet's -0.34 %/K is -0.0034");
}

void validate(StringSite const& s) {
    require(s.ambient_min_c >= -70 && s.ambient_min_c <= 40, "ambient_min_c", s.ambient_min_c,
            "must be -70 to 40 C");
    require(s.cell_hot_c >= 25 && s.cell_hot_c <= 110, "cell_hot_c", s.cell_hot_c, "must be 25 to 110 C");
    require(s.voltage_limit_v > 0 && s.voltage_limit_v <= 2000, "voltage_limit_v", s.voltage_limit_v,
            "must be above 0 V and at most 2000 V");
    require(s.battery_max_v > 0 && s.battery_max_v <= 2000, "battery_max_v", s.battery_max_v,
            "must be above 0 V and at most 2000 V");
    require(s.headroom_v >= 0 && s.headroom_v <= 20, "headroom_v", s.headroom_v, "must be 0 to 20 V");
    require(s.tracking_min_v >= 0 && s.tracking_min_v <= 2000, "tracking_min_v", s.tracking_min_v,
            "must be 0 to 2000 V");
}

double cold_open_circuit_v(StringModule const& m, double ambient_min_c) {
    return m.voc_v * (1.0 + m.voc_coefficient_per_k * (ambient_min_c - 25.0));
}

double cold_voltage_factor(double ambient_min_c) {
    struct Row {
        double from_c = 0, factor = 0;
    };
    constexpr std::array<Row, 13> rows{{{20, 1.02},
                                        {15, 1.04},
                                        {10, 1.06},
                                        {5, 1.08},
                                        {0, 1.10},
                                        {-5, 1.12},
                                        {-10, 1.14},
                                        {-15, 1.16},
                                        {-20, 1.18},
                                        {-25, 1.20},
                                        {-30, 1.21},
                                        {-35, 1.23},
                                        {-40, 1.25}}};
    require(ambient_min_c >= -40, "ambient_min_c", ambient_min_c,
            "is below -40 C, where the table of factors ends; use the maker's coefficient");
    if (ambient_min_c >= 25) return 1.0;
    // Rows begin at whole degrees, so the comparison with the lower end rounds a fraction down.
    return std::find_if(rows.begin(), rows.end(), [&](Row const& r) { return ambient_min_c >= r.from_c; })
        ->factor;
}

double hot_mpp_v(StringModule const& m, double cell_hot_c) {
    return m.vmp_v * (1.0 + m.vmp_coefficient_per_k * (cell_hot_c - 25.0));
}

double site_voltage_limit_v(PvSite site) {
    switch (site) {
        case PvSite::dwelling:
            return 600;
        case PvSite::other_building:
            return 1000;
        case PvSite::not_on_building:
            break;
    }
    return 1500;
}

int longest_string(double limit_v, double cold_module_v) {
    return static_cast<int>(std::floor(limit_v / cold_module_v * (1 + rounding)));
}

int shortest_string(double needed_v, double hot_module_v) {
    return std::max(1, static_cast<int>(std::ceil(needed_v / hot_module_v * (1 - rounding))));
}

double source_circuit_current_a(double isc_a, int strings) { return 1.25 * isc_a * strings; }

double source_conductor_current_a(double isc_a, int strings) {
    return 1.25 * source_circuit_current_a(isc_a, strings);
}

double equipment_circuit_current_a(double rated_a) { return 1.25 * rated_a; }

StringLimits string_limits(StringModule const& m, StringSite const& s) {
    validate(m);
    validate(s);
    StringLimits l;
    l.cold_v = s.method == ColdVoltageMethod::coefficient ? cold_open_circuit_v(m, s.ambient_min_c)
                                                          : m.voc_v * cold_voltage_factor(s.ambient_min_c);
    l.hot_v = hot_mpp_v(m, s.cell_hot_c);
    l.longest = longest_string(s.voltage_limit_v, l.cold_v);
    l.shortest = shortest_string(std::max(s.battery_max_v + s.headroom_v, s.tracking_min_v), l.hot_v);
    return l;
}

}  // namespace holdwater::models
