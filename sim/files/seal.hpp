#pragma once

#include <string>
#include <string_view>

namespace holdwater::sim {

/// The bytes with a line behind them that holds their CRC-32; HDF5 does not look beyond the end it knows of.
std::string sealed(std::string bytes);
/// Whether the bytes end with the line that belongs to them: not a byte has changed since `sealed`. The HDF5
/// library is not safe with damaged files: it may crash on them or ask for any amount of memory.
bool seal_holds(std::string_view bytes);

}  // namespace holdwater::sim
