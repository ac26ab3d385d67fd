#pragma once

#include <vector>

#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// Array and battery of one size, with the indices of the design without grid and generator.
struct ReliabilityPoint {
    double array_factor = 1, battery_factor = 1;  ///< times the design's own size
    double array_ratio = 0;                       ///< C_A (SupplyIndices), of the typical year
    double storage_ratio_d = 0;                   ///< C_S (SupplyIndices), of the typical year [days]
};

/// The sizes that give the same availability (1 - loss-of-load probability) over many years, the smallest
/// array first. Arrays with which no battery that was tried reaches it are left out.
struct ReliabilityCurve {
    double availability = 0;
    std::vector<ReliabilityPoint> points;
};

/// Iso-reliability curves of a design: storage ratio against array ratio (Egido & Lorenzo 1992, see
/// SupplyIndices), without grid and generator, with the battery at its present age. Eight arrays from half to
/// three times the design's own, each with batteries from an eighth to eight times, run through the made
/// years of `options`; energy deficit and demand are summed over all years. Between two batteries the storage
/// ratio is interpolated: its logarithm is linear in the logarithm of the loss-of-load probability (our own
/// rule; the batteries are a quarter octave apart). Throws the same as draw_years.
std::vector<ReliabilityCurve> reliability_curves(DrawnDesign const& design, DrawOptions const& options,
                                                 std::vector<double> const& availabilities = {0.90, 0.95,
                                                                                              0.99});

}  // namespace holdwater::sim
