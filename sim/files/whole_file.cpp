#include "sim/files/whole_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
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

}  // namespace

std::string write_target(std::string const& path) {
    std::error_code failure;
    if (!fs::is_symlink(path, failure)) return path;
    auto const target = fs::weakly_canonical(path, failure).string();
    return failure || target.empty() ? path : target;
}

void write_whole_file(std::string const& path, std::string_view bytes) {
    std::error_code failure;
    std::string const target = write_target(path);
    if (fs::exists(target, failure) && !fs::is_regular_file(target, failure))
        throw cannot_write(
            path, fs::is_directory(target, failure) ? "it is a folder" : "it is not an ordinary file");
    auto const [name, descriptor] = open_beside(path, target);
    int error = write_all(descriptor, bytes);
    if (::close(descriptor) != 0 && error == 0) error = errno;
    if (error == 0 && ::rename(name.c_str(), target.c_str()) != 0) error = errno;
    if (error == 0) return;
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
