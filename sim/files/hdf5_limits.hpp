#pragma once

#include <H5Cpp.h>

#include <cstddef>
#include <string>

namespace holdwater::sim {

/// Limits for reading a file. A file can have a valid checksum and still be made to do harm: with datasets of
/// any size that need no space in the file, links to other files and devices, or compressed data that need
/// more memory than there is.
struct Hdf5Limits {
    std::size_t all_bytes = 0;  ///< of all datasets together, uncompressed
    std::size_t chunk_bytes = std::size_t{32} << 20;
};

/// Looks at every object of the file without reading values. Throws H5::Exception with a message if the file
/// is above a limit, or contains something that Holdwater does not write: links, values in other files,
/// compression other than its own, groups within groups.
void check_hdf5(H5::H5File const& file, Hdf5Limits limits);

/// Uncompressed values of a result of `simulate`; ten years of hours take 50 MB.
inline constexpr std::size_t largest_run = std::size_t{96} << 20;

/// Opens a file for reading after its checksum (seal.hpp) and these limits have been checked. Throws
/// H5::Exception.
H5::H5File open_checked(std::string const& path, Hdf5Limits limits);

/// Bytes of a text in an attribute, and of the text of one row in a sweep file.
inline constexpr std::size_t longest_short_text = std::size_t{1} << 20;

}  // namespace holdwater::sim
