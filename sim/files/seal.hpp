#pragma once

#include <string>
#include <string_view>

namespace holdwater::sim {

/// A line with the CRC-32 of the bytes, which is written after them. HDF5 does not read beyond its own end of
/// the file.
std::string seal_of(std::string_view bytes);
/// The bytes followed by their checksum line.
std::string sealed(std::string bytes);
/// Whether the bytes end with the right checksum line, so that no byte has changed since `sealed`. This is
/// checked first because the HDF5 library is not safe with damaged files: it may crash or ask for any amount
/// of memory.
bool seal_holds(std::string_view bytes);
/// The same for a file, which is read in pieces; false if it cannot be read.
bool file_seal_holds(std::string const& path);
/// Whether a file ends with a checksum line, right or wrong.
bool ends_with_seal(std::string const& path);

}  // namespace holdwater::sim
