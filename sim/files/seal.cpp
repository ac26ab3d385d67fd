#include "sim/files/seal.hpp"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <vector>

namespace holdwater::sim {
namespace {

constexpr std::string_view seal_words = "\nholdwater crc ";
constexpr std::size_t seal_size = 24;

// CRC-32 of bytes that follow those with the checksum `before`; of none it is 0.
std::uint32_t crc_of(std::string_view bytes, std::uint32_t before = 0) {
    return static_cast<std::uint32_t>(
        crc32_z(before, reinterpret_cast<Bytef const*>(bytes.data()), bytes.size()));
}

std::string seal_text(std::uint32_t crc) { return fmt::format("{}{:08x}\n", seal_words, crc); }

}  // namespace

std::string seal_of(std::string_view bytes) { return seal_text(crc_of(bytes)); }

std::string sealed(std::string bytes) {
    bytes += seal_of(bytes);
    return bytes;
}

bool seal_holds(std::string_view bytes) {
    return bytes.size() > seal_size &&
           bytes.substr(bytes.size() - seal_size) == seal_of(bytes.substr(0, bytes.size() - seal_size));
}

bool file_seal_holds(std::string const& path) {
    std::error_code failure;
    if (!std::filesystem::is_regular_file(path, failure)) return false;
    auto const size = std::filesystem::file_size(path, failure);
    if (failure || size <= seal_size) return false;
    std::ifstream in(path, std::ios::binary);
    std::uint32_t crc = 0;
    std::vector<char> piece(std::size_t{1} << 16);
    for (auto rest = size - seal_size; rest > 0;) {
        auto const count = static_cast<std::size_t>(std::min<std::uintmax_t>(rest, piece.size()));
        if (!in.read(piece.data(), static_cast<std::streamsize>(count))) return false;
        crc = crc_of({piece.data(), count}, crc);
        rest -= count;
    }
    std::string seal(seal_size, ' ');
    return in.read(seal.data(), static_cast<std::streamsize>(seal_size)) && seal == seal_text(crc);
}

bool ends_with_seal(std::string const& path) {
    std::ifstream in(path, std::ios::binary);
    std::string seal(seal_size, ' ');
    constexpr std::string_view digits = "0123456789abcdef";
    return in.seekg(-static_cast<std::streamoff>(seal_size), std::ios::end) &&
           in.read(seal.data(), static_cast<std::streamsize>(seal_size)) && seal.starts_with(seal_words) &&
           seal.ends_with("\n") && seal.find_first_not_of(digits, seal_words.size()) == seal_size - 1;
}

}  // namespace holdwater::sim
