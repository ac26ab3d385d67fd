#pragma once

namespace holdwater::models {

/// Module values for the design of a string, at 1000 W/m2 and 25 C cell.
struct StringModule {
    double voc_v = 0;                  // 0.1 .. 1000
    double vmp_v = 0;                  // 0 .. voc_v
    double isc_a = 0;                  // 0.01 .. 100
    double voc_coefficient_per_k = 0;  // relative: -0.27 %/K is -0.0027; -0.01 .. 0
    double vmp_coefficient_per_k = 0;  // relative; -0.01 .. 0
};

void validate(StringModule const&);

/// Voc (1 + beta (T_min - 25)) of one module. NEC 690.7(A)(1): use the maker's coefficient if it is
/// published. T_min: lowest expected ambient temperature. An informational note accepts the ASHRAE extreme
/// annual mean minimum (from memory); a record low is more cautious.
double cold_open_circuit_v(StringModule const&, double ambient_min_c);

/// Factor for Voc from the table of NEC 690.7(A), crystalline silicon only, 2017-2023 editions, compared with
/// a public reproduction and not with the text of the code. A temperature between whole degrees is rounded
/// down. 1 above 24 C. Throws ParameterError below -40 C, where the table ends. The result can differ from
/// that of the coefficient by a module per string, so choose one method and say which.
double cold_voltage_factor(double ambient_min_c);

/// Vmp (1 + gamma_vmp (T - 25)) of one module with hot cells.
double hot_mpp_v(StringModule const&, double cell_hot_c);

enum class PvSite { dwelling, other_building, not_on_building };
/// Highest PV system voltage by NEC 690.7: one- and two-family dwellings 600 V, other buildings 1000 V,
/// elsewhere 1500 V. Compared with a public reproduction only.
double site_voltage_limit_v(PvSite);

/// floor(limit / cold voltage of one module). The limit is the smaller one of controller and site.
int longest_string(double limit_v, double cold_module_v);
/// ceil(lowest voltage that the controller needs / hot voltage of one module).
int shortest_string(double needed_v, double hot_module_v);

/// NEC 690.8(A): 1.25 x Isc x parallel strings. Compared with a public reproduction only.
double source_circuit_current_a(double isc_a, int strings);
/// NEC 690.8(B): 1.25 x the above (1.5625 Isc), for conductor and fuse, before correction factors. Compared
/// with a public reproduction only.
double source_conductor_current_a(double isc_a, int strings);
/// NEC 690.8, controller output and inverter input circuits: 1.25 x the rated continuous current of the
/// equipment. Compared with a public reproduction only.
double equipment_circuit_current_a(double rated_a);

struct StringLimits {
    int longest = 0, shortest = 0;
    double cold_v = 0, hot_v = 0;  // of one module
};

enum class ColdVoltageMethod { coefficient, table };

struct StringSite {
    double ambient_min_c = -10, cell_hot_c = 70;
    double voltage_limit_v = 250;  // smaller of controller input and site
    double battery_max_v = 57.6;   // at absorption
    double headroom_v = 2.0;       // that a step-down converter needs
    double tracking_min_v = 0;     // of the controller
    ColdVoltageMethod method = ColdVoltageMethod::coefficient;
};

void validate(StringSite const&);

StringLimits string_limits(StringModule const&, StringSite const&);

}  // namespace holdwater::models
