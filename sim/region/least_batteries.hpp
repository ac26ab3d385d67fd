#pragma once

#include <array>
#include <vector>

#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// The shares of winters for which a region answers.
inline constexpr std::array winter_shares{0.90, 0.95, 0.99};

/// The smallest battery of a list for each of winter_shares.
struct LeastBatteries {
    int winters = 0;                                         ///< made years that could be run
    std::array<double, winter_shares.size()> battery_kwh{};  ///< infinity: none of the list is enough
};

/// For each design the smallest of `batteries_kwh` (rising) with which it meets [required] of its scenario in
/// that share of its made years (verdict_of): the battery as [required] judges it, by default at the end of
/// its life, without grid and generator. The limits of charge and discharge are in proportion to the
/// capacity. DrawnDesign::battery_factor is not used. Found by bisection: without a backup more of the same
/// battery is not short of water sooner (tests/sim/monotone_facts_test.cpp). If hours short are allowed and a
/// larger battery is worse in some range because of its restart level, the result is one boundary, not always
/// the smallest.
/// Pre: all designs have the same weather, and a battery. Throws the same as draw_years; StudyStopped.
std::vector<LeastBatteries> least_batteries(std::vector<DrawnDesign> designs,
                                            std::vector<double> const& batteries_kwh,
                                            DrawOptions const& options);

}  // namespace holdwater::sim
