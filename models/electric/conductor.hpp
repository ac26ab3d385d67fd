#pragma once

#include <span>
#include <string>
#include <string_view>

namespace holdwater::models {

/// One copper conductor size.
struct Conductor {
    std::string_view size;                         ///< AWG: "14" ... "4/0"
    double ohm_per_kft = 0;                        ///< DC at 75 deg C, uncoated, stranded [ohm/kft]
    double amp_60c = 0, amp_75c = 0, amp_90c = 0;  ///< ampacity at 30 deg C ambient by insulation rating [A]
};

constexpr double meters_per_foot = 0.3048;

/// Copper conductors, smallest first. Resistance: NEC Chapter 9 Table 8, 75 deg C, DC, uncoated stranded;
/// sizes 6 to 4/0 compared with a public reproduction, 14 to 8 from memory. Ampacity: NEC Table 310.16, 30
/// deg C ambient, not more than three conductors in raceway, cable or earth. The 60 deg C column, 14 to 3/0
/// at 75 deg C and 14 to 1 at 90 deg C are compared with a public reproduction, the rest is from memory.
/// Editions 2017 to 2023. The adopted edition and the authority having jurisdiction have the last word. Some
/// lists print the values of solid conductors (14: 3.07) as stranded.
std::span<Conductor const> copper_conductors();

/// Throws ParameterError for a size that is not in the table.
Conductor const& copper(std::string_view size);

/// DC resistance of one conductor at 75 deg C [ohm/m].
inline double ohm_per_m(Conductor const& c) { return c.ohm_per_kft / 1000 / meters_per_foot; }

/// The standard spelling of a conductor size. AWG: "12" for "12", "12 AWG", "AWG 12" or "#12", and "4/0" in
/// the same way. Metric, 0.5 to 1000 mm2: "2.5 mm2" for "2.5 mm2", "2.5mm2" or "2.5 mm²". Throws
/// ParameterError for any other text.
std::string conductor_size(std::string_view text);

/// Cross section [mm2] of a metric size in the spelling of conductor_size; 0 for an AWG size.
double section_mm2(std::string_view size);

/// Computed resistance [ohm/m] of one stranded copper conductor with a cross section [mm2, above 0] at a
/// temperature [deg C]: 1.7241e-8 ohm m at 20 deg C, 0.00393 per kelvin, 2 % more because the strands are
/// twisted (all three from memory). This is not the table of a standard. A cable sold under a nominal cross
/// section may have some percent more resistance; its data sheet has precedence.
double computed_ohm_per_m(double area_mm2, double temperature_c);

/// DC resistance of one conductor at 75 deg C [ohm/m], for any size in the spelling of conductor_size: from
/// the table for AWG, computed for mm2.
double size_ohm_per_m(std::string_view size);

/// Metric cross sections in which cable is commonly sold [mm2], smallest first, from memory.
std::span<double const> common_sections_mm2();

/// Smallest common cross section [mm2], at least `least_mm2`, whose voltage drop over a one-way length is at
/// most `drop_fraction` of `volts`. Throws ParameterError if there is none. It does not check ampacity.
double smallest_section_mm2(double least_mm2, double length_m, double current_a, double volts,
                            double drop_fraction);

/// A run of cable to a load and back.
struct CableRun {
    double length_m = 0;   ///< ONE WAY [m], >= 0
    double ohm_per_m = 0;  ///< of one conductor at its working temperature [ohm/m], >= 0
    double reactance_ohm_per_m =
        0;  ///< of one conductor [ohm/m]; about 1.6e-4 small sizes in plastic conduit, from memory
};

/// Throws ParameterError naming the field.
void validate(CableRun const& run);

inline double loop_ohm(CableRun const& r) { return 2 * r.length_m * r.ohm_per_m; }
inline double loop_reactance_ohm(CableRun const& r) { return 2 * r.length_m * r.reactance_ohm_per_m; }

/// Voltage drop [V] of a run at a current [A]: 2 L I (R cos + X sin). Holds for DC and single phase; with a
/// power factor below 1 it is the usual approximation for small drops.
double voltage_drop_v(CableRun const& run, double current_a, double power_factor = 1);

/// Longest run, one way [m], whose drop at unity power factor is `drop_fraction` of `volts` at `current_a`.
/// Usual: 0.05 of the motor voltage at its highest (service-factor) current. A maker's table has precedence.
double longest_run_m(double drop_fraction, double volts, double current_a, double ohm_per_m);

enum class Insulation { c60, c75, c90 };

/// Ampacity at 30 deg C ambient [A].
double ampacity_a(Conductor const& conductor, Insulation insulation);

/// Factor for ampacity by ambient temperature, NEC 310.15(B)(1), base 30 deg C, 2021 edition (compared with a
/// public reproduction). Fractions of a degree are rounded up. 0 if the insulation may not be used there.
double ambient_factor(Insulation insulation, double ambient_c);

/// Factor for ampacity with more than three current-carrying conductors, NEC 310.15(C)(1), from memory.
double bundling_factor(int current_carrying);

/// Ampacity after both factors [A], but not above the ampacity at 30 deg C for the rating of the terminals.
/// Terminals are usually rated 60 or 75 deg C (NEC 110.14(C), from memory).
double corrected_ampacity_a(Conductor const& conductor, Insulation insulation, Insulation terminals,
                            double ambient_c, int current_carrying = 3);

/// Smallest standard overcurrent device [A] that is not below a current, NEC 240.6(A), from memory. Throws
/// ParameterError above the list.
double next_overcurrent_a(double current_a);

/// Voltage drop of a balanced three-phase run divided by that of a single-phase run with the same current in
/// each conductor: sqrt(3) L I R against 2 L I R (circuit laws).
inline constexpr double three_phase_drop_ratio = 0.86602540378443865;

/// Smallest ampacity [A] of the branch-circuit conductors of a motor: 125 % of the larger of table and
/// nameplate current (NEC 430.22, from memory).
inline double motor_branch_ampacity_a(double table_a, double nameplate_a) {
    return 1.25 * (table_a > nameplate_a ? table_a : nameplate_a);
}

/// Largest inverse-time breaker [A] of a motor: 250 % of the table current (NEC 430.52, from memory).
inline double motor_breaker_limit_a(double table_a) { return 2.5 * table_a; }

/// Smallest copper size that carries `needed_ampacity_a` by its 60 deg C column and whose voltage drop over a
/// one-way length is at most `drop_fraction` of `volts`. Throws ParameterError if there is none.
Conductor const& smallest_copper(double needed_ampacity_a, double length_m, double current_a, double volts,
                                 double drop_fraction);

}  // namespace holdwater::models
