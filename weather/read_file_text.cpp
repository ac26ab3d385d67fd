#include "weather/read_file_text.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <system_error>
#include <vector>

namespace holdwater::weather {

namespace {

struct Descriptor {
    int number = -1;
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
};

std::string reason_of(int error) { return std::generic_category().message(error); }

std::string size_text(std::size_t bytes) {
    constexpr std::size_t kib = 1024, mib = kib * kib;
    return bytes >= mib ? fmt::format("{} MiB", bytes / mib) : fmt::format("{} KiB", bytes / kib);
}

// Waits until the pipe or device has a byte or has ended.
void wait_for_byte(int descriptor, int wait_ms) {
    pollfd wanted{descriptor, POLLIN, 0};
    for (;;) {
        int const ready = ::poll(&wanted, 1, wait_ms);
        if (ready > 0) return;
        if (ready == 0)
            throw FileTextError(
                fmt::format("is a pipe or device that gave nothing for {:.3g} s; give an ordinary file",
                            wait_ms / 1000.0));
        if (errno != EINTR) throw FileTextError(fmt::format("cannot be read: {}", reason_of(errno)));
    }
}

}  // namespace

std::string read_file_text(std::string const& path, FileTextLimits limits) {
    // Without O_NONBLOCK, opening a FIFO would wait for a writer.
    Descriptor const file{::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC)};
    struct stat status {};
    if (file.number < 0 || ::fstat(file.number, &status) != 0)
        throw FileTextError(fmt::format("cannot be opened: {}", reason_of(errno)));
    if (S_ISDIR(status.st_mode)) throw FileTextError("is a folder");
    bool const ordinary = S_ISREG(status.st_mode);
    auto const too_large = [&] {
        auto const most = size_text(limits.most_bytes);
        return FileTextError(
            ordinary ? fmt::format("is larger than {}, the most that is accepted", most)
                     : fmt::format("is a pipe or device that gives more than {}, the most that is accepted; "
                                   "give an ordinary file",
                                   most));
    };
    auto const size = static_cast<std::size_t>(std::max<off_t>(status.st_size, 0));
    if (size > limits.most_bytes) throw too_large();
    std::string text;
    if (ordinary) text.reserve(size);
    // For a pipe or device, whose size is not known: reads in pieces, so that refusing it needs no more
    // memory than the limit.
    std::vector<std::string> pieces;
    std::size_t in_pieces = 0;
    auto const all = [&] {
        for (auto const& one : pieces) text += one;
        return std::move(text);
    };
    auto const began = std::chrono::steady_clock::now();
    // Grows with the bytes that have arrived, never with the size that a file claims.
    for (std::string piece(std::size_t{1} << 16, '\0');;) {
        auto const count = ::read(file.number, piece.data(), piece.size());
        if (count == 0 && S_ISFIFO(status.st_mode) && pieces.empty()) {
            // Either nobody has opened the other end yet, or it was closed without a byte; poll tells which.
            wait_for_byte(file.number, limits.wait_ms);
            if (auto const again = ::read(file.number, piece.data(), piece.size()); again > 0)
                pieces.emplace_back(piece, 0, static_cast<std::size_t>(again));
            else if (again == 0)
                return text;
            continue;
        }
        if (count == 0) return all();
        if (count > 0) {
            if (ordinary)
                text.append(piece, 0, static_cast<std::size_t>(count));
            else
                pieces.emplace_back(piece, 0, static_cast<std::size_t>(count));
            in_pieces += static_cast<std::size_t>(count);
            if (in_pieces > limits.most_bytes) throw too_large();
        } else if (errno == EAGAIN) {
            wait_for_byte(file.number, limits.wait_ms);
        } else if (errno != EINTR) {
            throw FileTextError(fmt::format("cannot be read: {}", reason_of(errno)));
        }
        if (!ordinary &&
            std::chrono::steady_clock::now() - began > std::chrono::milliseconds(limits.wait_in_all_ms))
            throw FileTextError(
                fmt::format("is a pipe or device that did not end within {:.3g} s; give an ordinary file",
                            limits.wait_in_all_ms / 1000.0));
    }
}

}  // namespace holdwater::weather
