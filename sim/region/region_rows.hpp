#pragma once

#include <array>
#include <string>
#include <vector>

#include "sim/files/table_file.hpp"
#include "sim/region/least_batteries.hpp"
#include "sim/region/region_run.hpp"
#include "sim/sweep/sweep_blocks.hpp"

namespace holdwater::sim {

/// The answer of one station for one array and one daily demand. A figure that is not known is NaN.
struct RegionRow {
    std::size_t station = 0;      ///< number from 1, in the order of the files
    std::size_t combination = 0;  ///< of array and daily demand, number from 0
    std::string name, state, file, remarks;
    double latitude_deg = 0, longitude_deg = 0, elevation_m = 0, water_temperature_c = 0, albedo = 0;
    double array_w = 0, daily_demand_m3 = 0;
    int winters = 0;
    std::array<double, winter_shares.size()> battery_kwh{};  ///< infinity: none of the list is enough
    std::string problem;                                     ///< why it cannot be served; empty: it was run
    [[nodiscard]] bool served(std::size_t share) const;      ///< a battery of the list is enough
    /// Why there is no battery for some or all shares, in words; empty: there is one for all.
    [[nodiscard]] std::string reason(double largest_kwh) const;
    /// The same for one share.
    [[nodiscard]] std::string why_not(std::size_t share, double largest_kwh) const;
};

/// All rows of a region, and what is needed to read them.
struct RegionAnswer {
    RegionBasis basis;
    std::vector<double> batteries_kwh;  ///< rising
    std::size_t stations = 0, combinations = 0;
    std::vector<RegionRow> rows;
};

/// The rows of a block, in its order.
std::vector<RegionRow> rows_of(SweepBlock const& block, std::size_t rows_per_station);

/// One line for each row and share of winters, for CSV.
Table region_table(RegionAnswer const& answer);

}  // namespace holdwater::sim
