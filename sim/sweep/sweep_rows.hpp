#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace holdwater::sim {

/// One run: a value for each axis; "" leaves the value of the scenario.
using SweepRow = std::vector<std::string>;

/// Rows of one of the `of` parts into which a sweep is split: of nearly equal size, in order.
struct RowRange {
    std::size_t first = 0, end = 0;
};
RowRange shard_rows(std::size_t all, std::size_t shard, std::size_t of);  ///< number of the shard, from 1

}  // namespace holdwater::sim
