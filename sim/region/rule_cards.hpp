#pragma once

#include <array>
#include <string>
#include <vector>

#include "sim/region/region_rows.hpp"

namespace holdwater::sim {

/// The batteries of the stations of one state for one array, daily demand and share of winters.
struct RuleLine {
    std::size_t share = 0;             ///< place in winter_shares
    std::size_t served = 0;            ///< stations with a battery of the list
    RegionRow const* least = nullptr;  ///< station with the smallest battery (the first of several)
    RegionRow const* most = nullptr;   ///< and with the largest; null: none is served
    [[nodiscard]] double least_kwh() const { return least->battery_kwh[share]; }
    [[nodiscard]] double most_kwh() const { return most->battery_kwh[share]; }
};

/// The lines of one array and one daily demand.
struct RuleCombination {
    std::size_t combination = 0;
    std::size_t run = 0;  ///< stations that could be run
    double array_w = 0;
    double least_demand_m3 = 0, most_demand_m3 = 0;  ///< per day; they differ where it follows the weather
    std::array<RuleLine, winter_shares.size()> lines{};
    /// Rank correlation (Spearman) of the battery for 95 % of winters with the latitude away from the equator
    /// and with the elevation of the served stations; NaN: fewer than 5 of them, or all alike.
    double with_latitude = 0, with_elevation = 0;
};

/// What a region found for a state or province.
struct RuleCard {
    std::string state;  ///< "" where the files name none
    std::size_t stations = 0;
    std::vector<RuleCombination> combinations;
    std::vector<RegionRow const*> not_served;  ///< one row for each station that could not be run at all
};

/// One card for each state, in alphabetical order; the one without a name last. The rows must outlive it.
std::vector<RuleCard> rule_cards(std::vector<RegionRow> const& rows);

/// Spearman's rank correlation, equal values with their mean rank; NaN for fewer than 2 pairs or a series
/// without any difference. Pre: equally many of both.
double rank_correlation(std::vector<double> const& x, std::vector<double> const& y);

}  // namespace holdwater::sim
