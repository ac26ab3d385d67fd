#pragma once

#include <H5Cpp.h>

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwater::sim {

// What result and table files put into HDF5 and get out of it. Texts are UTF-8; an empty one is a single
// zero, for HDF5 has no text of length 0. No dataset carries the time it was made at: the same values give
// the same bytes. All of it throws H5::Exception.

/// Creation properties of every dataset: without a time; `chunk` > 0: packed, in one piece of that length.
H5::DSetCreatPropList dataset_properties(hsize_t chunk = 0);

/// A text of at most `size` bytes.
H5::StrType text_type(std::size_t size);

void put_text(H5::H5Object& where, std::string const& name, std::string_view text);
void put_number(H5::H5Object& where, std::string const& name, double value);
/// A text too long for an attribute (64 KiB) as a scalar dataset.
void put_long_text(H5::Group& group, std::string const& name, std::string_view text);
/// Lines as one long text, each closed by a newline.
void put_lines(H5::Group& group, std::string const& name, std::vector<std::string> const& lines);
/// A column of numbers, packed.
H5::DataSet put_column(H5::Group& group, std::string_view name, std::vector<double> const& values);

std::string get_text(H5::H5Object const& where, std::string const& name);
double get_number(H5::H5Object const& where, std::string const& name);
std::string get_long_text(H5::Group const& group, std::string const& name);
std::vector<std::string> get_lines(H5::Group const& group, std::string const& name);
std::vector<double> get_column(H5::Group const& group, std::string const& name);

/// The bytes of an HDF5 file. It is built in memory, so that no disk error meets HDF5 half way through.
std::string hdf5_bytes(std::function<void(H5::H5File&)> const& fill);

/// Writes those bytes, sealed, whole (whole_file.hpp), over nothing but another HDF5 file. Throws
/// ResultFileError, or std::runtime_error where there is not the memory for it.
void write_hdf5(std::string const& path, std::function<void(H5::H5File&)> const& fill);

}  // namespace holdwater::sim
