#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace holdwater::sim {

/// A file that cannot be written, or a result file that cannot be read.
class ResultFileError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Writes a file completely or not at all. It is written under a temporary name beside `path` (its name,
/// process, number and ".tmp") and to the disk (fsync), then renamed, and then the folder is written to the
/// disk. `path` is either the new file or what it was before, whatever happens in between: a full disk, a
/// killed process, a power cut, other runs that write the same name. A killed process leaves its temporary
/// file. A symbolic link stays, and its target is replaced. A name that is not an ordinary file (a folder, a
/// device) is an error. `ending` is written after the bytes. Throws ResultFileError with the reason given by
/// the system.
void write_whole_file(std::string const& path, std::string_view bytes, std::string_view ending = {});

/// Writes an open file to the disk; 0 or the error number. It is not an error if the file system cannot do
/// this.
int bring_to_disk(int descriptor);

/// Gives a finished file another name in the same folder, and writes the folder to the disk. If this fails,
/// the file is removed.
void rename_whole_file(std::string const& from, std::string const& to);

/// The file that is written for a name: the target if the name is a symbolic link, otherwise the name itself.
/// Every command writes its outputs there, so a link stays a link.
[[nodiscard]] std::string write_target(std::string const& path);

/// Throws ResultFileError if `path` exists and is neither empty nor an HDF5 file, so that a result never
/// replaces a scenario or a weather file whose name was given by mistake.
void check_overwrites_hdf5(std::string const& path);

}  // namespace holdwater::sim
