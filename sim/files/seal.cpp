#include "sim/files/seal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/crc.hpp>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <vector>

namespace holdwater::sim {
namespace {

constexpr std::string_view seal_words = "\nholdwater crc ";
constexpr std::size_t seal_size = 24;

std::string seal_text(boost::crc_32_type const& crc) {
    return fmt::format("{}{:08x}\n", seal_words, crc.checksum());
}

}  // namespace

std::string seal_of(std::string_view bytes) {
    boost::crc_32_type crc;
    crc.process_bytes(bytes.data(), bytes.size());
    return seal_text(crc);
}

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
    boost::crc_32_type crc;
    std::vector<char> piece(std::size_t{1} << 16);
    for (auto rest = size - seal_size; rest > 0;) {
        auto const count = static_cast<std::size_t>(std::min<std::uintmax_t>(rest, piece.size()));
        if (!in.read(piece.data(), static_cast<std::streamsize>(count))) return false;
        crc.process_bytes(piece.data(), count);
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
