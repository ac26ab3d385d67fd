#include "sim/files/whole_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <system_error>

namespace holdwater::sim {
namespace {

namespace fs = std::filesystem;

ResultFileError cannot_write(std::string const& path, std::string const& reason) {
    return ResultFileError(fmt::format("{}: cannot be written ({})", path, reason));
}

std::string reason_of(int error) { return std::generic_category().message(error); }

struct Temporary {
    std::string name;
    int descriptor = 0;
};

Temporary open_beside(std::string const& path, std::string const& target) {
    for (int number = 0;; ++number) {
        auto name = fmt::format("{}.{}.{}.tmp", target, ::getpid(), number);
        int const descriptor = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor >= 0) return {std::move(name), descriptor};
        if (errno != EEXIST) throw cannot_write(path, reason_of(errno));
    }
}

// 0 or the error number.
int write_all(int descriptor, std::string_view bytes) {
    while (!bytes.empty()) {
        auto const written = ::write(descriptor, bytes.data(), bytes.size());
        if (written >= 0)
            bytes.remove_prefix(static_cast<std::size_t>(written));
        else if (errno != EINTR)
            return errno;
    }
    return 0;
}

// Makes sure that the last change in a folder survives a power cut. File systems that cannot do this for a
// folder answer EINVAL; the file itself is there in any case.
void bring_folder_to_disk(std::string const& of_file) {
    auto const folder = fs::path(of_file).parent_path();
    int const descriptor = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return;
    ::fsync(descriptor);
    ::close(descriptor);
}

}  // namespace

int bring_to_disk(int descriptor) {
    while (::fsync(descriptor) != 0) {
        if (errno == EINVAL || errno == ENOTSUP) return 0;  // a file system that does not support it
        if (errno != EINTR) return errno;
    }
    return 0;
}

void rename_whole_file(std::string const& from, std::string const& to) {
    if (std::rename(from.c_str(), to.c_str()) != 0) {
        int const error = errno;
        ::unlink(from.c_str());
        throw cannot_write(to, reason_of(error));
    }
    bring_folder_to_disk(to);
}

std::string write_target(std::string const& path) {
    constexpr int most_links = 40;  // like the kernel; a link that leads in a circle is replaced
    std::error_code failure;
    fs::path target = path;
    for (int links = 0; links < most_links && fs::is_symlink(target, failure); ++links) {
        auto const to = fs::read_symlink(target, failure);
        if (failure) return path;
        target = to.is_absolute() ? to : target.parent_path() / to;
    }
    return fs::is_symlink(target, failure) ? path : target.string();
}

void write_whole_file(std::string const& path, std::string_view bytes, std::string_view ending) {
    std::error_code failure;
    std::string const target = write_target(path);
    if (fs::exists(target, failure) && !fs::is_regular_file(target, failure))
        throw cannot_write(
            path, fs::is_directory(target, failure) ? "it is a folder" : "it is not an ordinary file");
    auto const [name, descriptor] = open_beside(path, target);
    int error = write_all(descriptor, bytes);
    if (error == 0) error = write_all(descriptor, ending);
    if (error == 0) error = bring_to_disk(descriptor);
    if (::close(descriptor) != 0 && error == 0) error = errno;
    if (error == 0 && std::rename(name.c_str(), target.c_str()) != 0) error = errno;
    if (error == 0) {
        bring_folder_to_disk(target);
        return;
    }
    ::unlink(name.c_str());
    throw cannot_write(path, reason_of(error));
}

void check_overwrites_hdf5(std::string const& path) {
    std::ifstream in(path, std::ios::binary);
    std::string begin(8, ' ');
    if (!in || !in.read(begin.data(), 1)) return;  // none yet, or empty
    in.read(begin.data() + 1, 7);
    if (begin != "\x89HDF\r\n\x1a\n")
        throw ResultFileError(
            path + ": is there already and no result file (HDF5); it is left alone, give another name");
}

}  // namespace holdwater::sim
