#pragma once

#include <string>
#include <string_view>

namespace holdwater::sim {

/// A line with the CRC-32 of the bytes, to stand behind them; HDF5 does not look beyond the end it knows of.
std::string seal_of(std::string_view bytes);
/// The bytes with their seal behind them.
std::string sealed(std::string bytes);
/// Whether the bytes end with the line that belongs to them: not a byte has changed since `sealed`. The HDF5
/// library is not safe with damaged files: it may crash on them or ask for any amount of memory.
bool seal_holds(std::string_view bytes);
/// The same of an ordinary file, read piece by piece; false when it cannot be read.
bool file_seal_holds(std::string const& path);

}  // namespace holdwater::sim
