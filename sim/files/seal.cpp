#include "sim/files/seal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
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

// The remainders of a byte followed by 0 .. 7 zero bytes, for the polynomial of CRC-32 in reflected order.
using CrcTables = std::array<std::array<std::uint32_t, 256>, 8>;
constexpr CrcTables crc_tables = [] {
    CrcTables t{};
    for (std::uint32_t byte = 0; byte < 256; ++byte) {
        std::uint32_t rest = byte;
        for (int bit = 0; bit < 8; ++bit) rest = (rest >> 1) ^ ((rest & 1) != 0 ? 0xedb88320 : 0);
        t[0][byte] = rest;
    }
    for (std::size_t zeros = 1; zeros < t.size(); ++zeros)
        for (std::size_t byte = 0; byte < 256; ++byte) {
            std::uint32_t const before = t[zeros - 1][byte];
            t[zeros][byte] = (before >> 8) ^ t[0][before & 0xff];
        }
    return t;
}();

// CRC-32 of a stream of bytes. Eight bytes are looked up at once, each in its own table, so that no look-up
// waits for the one before.
class Crc32 {
  public:
    void add(std::string_view bytes) {
        auto const& t = crc_tables;
        std::size_t at = 0;
        auto const byte = [&](std::size_t i) { return static_cast<std::uint8_t>(bytes[at + i]); };
        for (; at + t.size() <= bytes.size(); at += t.size())
            rest_ = t[7][(rest_ & 0xff) ^ byte(0)] ^ t[6][(rest_ >> 8 & 0xff) ^ byte(1)] ^
                    t[5][(rest_ >> 16 & 0xff) ^ byte(2)] ^ t[4][(rest_ >> 24) ^ byte(3)] ^ t[3][byte(4)] ^
                    t[2][byte(5)] ^ t[1][byte(6)] ^ t[0][byte(7)];
        for (; at < bytes.size(); ++at) rest_ = (rest_ >> 8) ^ t[0][(rest_ & 0xff) ^ byte(0)];
    }
    [[nodiscard]] std::uint32_t checksum() const { return ~rest_; }

  private:
    std::uint32_t rest_ = 0xffffffff;
};

std::string seal_text(Crc32 const& crc) { return fmt::format("{}{:08x}\n", seal_words, crc.checksum()); }

}  // namespace

std::string seal_of(std::string_view bytes) {
    Crc32 crc;
    crc.add(bytes);
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
    Crc32 crc;
    std::vector<char> piece(std::size_t{1} << 16);
    for (auto rest = size - seal_size; rest > 0;) {
        auto const count = static_cast<std::size_t>(std::min<std::uintmax_t>(rest, piece.size()));
        if (!in.read(piece.data(), static_cast<std::streamsize>(count))) return false;
        crc.add({piece.data(), count});
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
