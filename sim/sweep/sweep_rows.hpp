#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace holdwater::sim {

/// One run: a value for each axis; "" keeps what the scenario says.
using SweepRow = std::vector<std::string>;

/// Rows of one of `of` parts that a sweep is split into: as equal as they can be, in order.
struct RowRange {
    std::size_t first = 0, end = 0;
};
RowRange shard_rows(std::size_t all, std::size_t shard, std::size_t of);  ///< shard from 1

}  // namespace holdwater::sim
