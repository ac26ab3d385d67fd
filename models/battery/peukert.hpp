#pragma once

namespace holdwater::models {

/// Peukert's law of capacity against rate, for comparison with data sheets only: it has no recovery and no
/// ceiling at slow rates (see two_well_battery.hpp for what the simulation uses).
///   t = H (C / (I H))^n,  C: capacity at the H-hour rate
/// n about 1.05-1.15 sealed, 1.2-1.3 flooded lead-acid, 1.00-1.05 lithium iron phosphate, from memory.
struct PeukertParameters {
    double capacity_ah = 0;  ///< at the rated time [Ah], > 0
    double rated_hours = 0;  ///< H [h], > 0
    double exponent = 0;     ///< n [-], [1, 2]
};

/// Throws ParameterError naming the field.
void validate(PeukertParameters const& parameters);

/// Hours of discharge at a constant current [A] > 0.
double discharge_hours(PeukertParameters const& parameters, double current_a);

/// Capacity delivered [Ah] when discharged evenly in `hours`.
double capacity_ah(PeukertParameters const& parameters, double hours);

/// Through two rated points: n = ln(T2 / T1) / ln(I1 / I2), I = capacity / T. The slower one is the rating.
/// Throws ParameterError for points that are not two rates.
PeukertParameters peukert_through(double slow_hours, double slow_ah, double fast_hours, double fast_ah);

}  // namespace holdwater::models
