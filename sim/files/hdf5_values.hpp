#pragma once

#include <H5Cpp.h>

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwater::sim {

// Values of result and table files in HDF5, written and read. Texts are UTF-8; an empty text is a single zero
// byte, because HDF5 has no text of length 0. Datasets do not store the time at which they were made, so the
// same values give the same bytes. All functions throw H5::Exception.

/// Creation properties of every dataset: no time stamp; with `chunk` > 0 compressed, in one chunk of that
/// length.
H5::DSetCreatPropList dataset_properties(hsize_t chunk = 0);

/// A text of at most `size` bytes.
H5::StrType text_type(std::size_t size);

void put_text(H5::H5Object& where, std::string const& name, std::string_view text);
void put_number(H5::H5Object& where, std::string const& name, double value);
/// A text that is too long for an attribute (64 KiB), as a scalar dataset.
void put_long_text(H5::Group& group, std::string const& name, std::string_view text);
/// Lines as one long text; each line ends with a newline.
void put_lines(H5::Group& group, std::string const& name, std::vector<std::string> const& lines);
/// A column of numbers, compressed.
H5::DataSet put_column(H5::Group& group, std::string_view name, std::vector<double> const& values);

std::string get_text(H5::H5Object const& where, std::string const& name);
double get_number(H5::H5Object const& where, std::string const& name);
std::string get_long_text(H5::Group const& group, std::string const& name);
std::vector<std::string> get_lines(H5::Group const& group, std::string const& name);
std::vector<double> get_column(H5::Group const& group, std::string const& name);

/// The bytes of an HDF5 file. The file is built in memory, so that HDF5 never meets a disk error half way.
std::string hdf5_bytes(std::function<void(H5::H5File&)> const& fill);

/// Writes those bytes with their checksum as a whole file (whole_file.hpp), and replaces nothing but an HDF5
/// file. Throws ResultFileError, or std::runtime_error if there is not enough memory.
void write_hdf5(std::string const& path, std::function<void(H5::H5File&)> const& fill);

}  // namespace holdwater::sim
