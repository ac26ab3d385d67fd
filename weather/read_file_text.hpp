#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>

namespace holdwater::weather {

/// A file that cannot be read completely; the reason in words without the name of the file: "cannot be
/// opened: No such file or directory".
class FileTextError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct FileTextLimits {
    std::size_t most_bytes = 0;
    /// For pipes and devices: the longest wait for the next byte and for all bytes [ms].
    int wait_ms = 10000, wait_in_all_ms = 60000;
};

inline constexpr std::size_t largest_weather_file = std::size_t{256} << 20;

/// The bytes of a file. A file that is too large is refused before it is read. A pipe or a device is read if
/// it ends within the limits (the output of another command, /dev/null). It is refused if it gives more bytes
/// (/dev/zero) or nothing for too long (a FIFO that nobody writes to). Throws FileTextError.
std::string read_file_text(std::string const& path, FileTextLimits limits);

}  // namespace holdwater::weather
