#include "sim/files/whole_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <utility>

namespace holdwater::sim {
namespace {

namespace fs = std::filesystem;

ResultFileError cannot_write(std::string const& path, std::string const& reason) {
    return ResultFileError(fmt::format("{}: cannot be written ({})", path, reason));
}

std::string reason_of(int error) { return std::generic_category().message(error); }

}  // namespace

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

int bring_to_disk(int descriptor) {
    while (::fsync(descriptor) != 0) {
        if (errno == EINVAL || errno == ENOTSUP) return 0;  // a file system that does not support it
        if (errno != EINTR) return errno;
    }
    return 0;
}

void bring_folder_to_disk(std::string const& of_file) {
    auto const folder = fs::path(of_file).parent_path();
    int const descriptor = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return;
    ::fsync(descriptor);
    ::close(descriptor);
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

WholeFile::WholeFile(std::string path) : path_(std::move(path)), target_(write_target(path_)) {
    check_ordinary(path_);
    for (int number = 0; descriptor_ < 0; ++number) {
        temporary_ = fmt::format("{}.{}.{}.tmp", target_, ::getpid(), number);
        descriptor_ = ::open(temporary_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor_ < 0 && errno != EEXIST) throw cannot_write(path_, reason_of(errno));
    }
}

WholeFile::~WholeFile() {
    if (descriptor_ < 0) return;
    ::close(descriptor_);
    ::unlink(temporary_.c_str());
}

void WholeFile::give_up(int error) {
    if (descriptor_ >= 0) ::close(descriptor_);
    descriptor_ = -1;
    ::unlink(temporary_.c_str());
    throw cannot_write(path_, reason_of(error));
}

void WholeFile::write(std::string_view bytes) {
    if (int const error = write_all(descriptor_, bytes); error != 0) give_up(error);
}

void WholeFile::close() {
    int error = bring_to_disk(descriptor_);
    if (::close(descriptor_) != 0 && error == 0) error = errno;
    descriptor_ = -1;
    if (error == 0 && std::rename(temporary_.c_str(), target_.c_str()) != 0) error = errno;
    if (error != 0) give_up(error);
    bring_folder_to_disk(target_);
}

void write_whole_file(std::string const& path, std::string_view bytes, std::string_view ending) {
    WholeFile file(path);
    file.write(bytes);
    file.write(ending);
    file.close();
}

void check_ordinary(std::string const& path) {
    std::error_code failure;
    auto const is = fs::status(path, failure);
    if (fs::exists(is) && !fs::is_regular_file(is))
        throw cannot_write(path, fs::is_directory(is) ? "it is a folder" : "it is not an ordinary file");
}

void check_overwrites_hdf5(std::string const& path) {
    check_ordinary(path);
    std::ifstream in(path, std::ios::binary);
    std::string begin(8, ' ');
    if (!in || !in.read(begin.data(), 1)) return;  // none yet, or empty
    in.read(begin.data() + 1, 7);
    if (begin != "\x89HDF\r\n\x1a\n")
        throw ResultFileError(
            path + ": is there already and no result file (HDF5); it is left alone, give another name");
}

}  // namespace holdwater::sim
