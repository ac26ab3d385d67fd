#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace holdwater::sim {

/// A file that cannot be written, or a result file that cannot be read.
class ResultFileError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// A file that is written completely or not at all. It is written under a temporary name beside `path` (its
/// name, process, number and ".tmp"); `close` brings it to the disk (fsync), renames it, and writes the
/// folder to the disk. `path` is either the new file or what it was before, whatever happens in between: a
/// full disk, a killed process, a power cut, other runs that write the same name. Without `close` the
/// temporary file is removed; a killed process leaves it. A symbolic link stays, and its target is replaced.
/// A name that is not an ordinary file (a folder, a device) is an error. Every function throws
/// ResultFileError with the reason given by the system.
class WholeFile {
  public:
    explicit WholeFile(std::string path);
    ~WholeFile();
    WholeFile(WholeFile const&) = delete;
    WholeFile& operator=(WholeFile const&) = delete;
    void write(std::string_view bytes);
    void close();

  private:
    [[noreturn]] void give_up(int error);

    std::string path_, target_, temporary_;
    int descriptor_ = -1;
};

/// The whole of such a file at once; `ending` is written after the bytes.
void write_whole_file(std::string const& path, std::string_view bytes, std::string_view ending = {});

/// Writes all bytes to an open file; 0 or the error number.
int write_all(int descriptor, std::string_view bytes);
/// Makes sure that an open file survives a power cut (fsync); 0 or the error number. It is not an error if
/// the file system cannot do this.
int bring_to_disk(int descriptor);
/// The same for the last change in the folder of a file. File systems that cannot do this for a folder answer
/// EINVAL; the file itself is there in any case.
void bring_folder_to_disk(std::string const& of_file);

/// Gives a finished file another name in the same folder, and writes the folder to the disk. If this fails,
/// the file is removed.
void rename_whole_file(std::string const& from, std::string const& to);

/// The file that is written for a name: the target if the name is a symbolic link, otherwise the name itself.
/// Every command writes its outputs there, so a link stays a link.
[[nodiscard]] std::string write_target(std::string const& path);

/// Throws ResultFileError if `path` exists and is not an ordinary file: a folder, a device, a pipe, which
/// opening would wait for.
void check_ordinary(std::string const& path);

/// The same, and throws if `path` is neither empty nor an HDF5 file, so that a result never replaces a
/// scenario or a weather file whose name was given by mistake.
void check_overwrites_hdf5(std::string const& path);

}  // namespace holdwater::sim
