#pragma once

#include <H5Cpp.h>

#include <cstddef>

namespace holdwater::sim {

/// What reading a file may take. A file can be sealed and yet be made by somebody to harm: datasets of any
/// size that take no room in the file, links to other files and devices, packing that unpacks to more than a
/// memory holds.
struct Hdf5Limits {
    std::size_t all_bytes = 0;  ///< of all datasets together, unpacked
    std::size_t chunk_bytes = std::size_t{32} << 20;
};

/// Looks at every object of the file, reading no values. Throws H5::Exception in words when there is more
/// than the limits allow, or what Holdwater does not write: links, values in other files, other packing than
/// its own, groups within groups.
void check_hdf5(H5::H5File const& file, Hdf5Limits limits);

/// Bytes of a text in an attribute, and of one row's text in a sweep's file.
inline constexpr std::size_t longest_short_text = std::size_t{1} << 20;

}  // namespace holdwater::sim
