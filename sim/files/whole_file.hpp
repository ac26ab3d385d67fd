#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace holdwater::sim {

/// A file that cannot be written, or a result file that cannot be read.
class ResultFileError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Writes a file whole or not at all: under a temporary name beside `path` (its name, process, number and
/// ".tmp"), which is brought to the disk (fsync), then renamed; then the folder is brought to the disk.
/// `path` is either the new file or what it was before, whatever happens in between: a full disk, a kill, a
/// power cut, other runs that write the same name. A process that is killed leaves its temporary file. A
/// symbolic link stays and its target is replaced; what is not an ordinary file (a folder, a device) is left
/// alone. `ending` follows the bytes. Throws ResultFileError with the system's reason.
void write_whole_file(std::string const& path, std::string_view bytes, std::string_view ending = {});

/// Brings an open file to the disk; 0 or the error number. File systems that cannot are no error.
int bring_to_disk(int descriptor);

/// Gives a file that was written whole another name in the same folder, and brings the folder to the disk.
/// When that fails it is removed.
void rename_whole_file(std::string const& from, std::string const& to);

/// The file that is written under a name: what a symbolic link leads to, else the name itself. Every command
/// writes its outputs there, so a link stays a link.
[[nodiscard]] std::string write_target(std::string const& path);

/// Throws ResultFileError when `path` is there already and neither empty nor HDF5: a result never takes the
/// place of a scenario or a weather file that was named by mistake.
void check_overwrites_hdf5(std::string const& path);

}  // namespace holdwater::sim
