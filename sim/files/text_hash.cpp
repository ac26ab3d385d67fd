#include "sim/files/text_hash.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <system_error>
#include <vector>

#include "sim/files/whole_file.hpp"

namespace holdwater::sim {
namespace {

constexpr std::uint64_t hash_of_nothing = 14695981039346656037ULL;

std::uint64_t hash_on(std::uint64_t hash, std::string_view bytes) {
    for (char const c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    return hash;
}

}  // namespace

std::string text_hash(std::string const& text) {
    return fmt::format("{:016x}", hash_on(hash_of_nothing, text));
}

std::string file_hash(std::string const& path) {
    std::error_code failure;
    if (std::filesystem::is_other(path, failure))
        throw ResultFileError(path +
                              ": is a pipe or device; what is read more than once must be an ordinary file");
    std::ifstream in(path, std::ios::binary);
    std::vector<char> piece(std::size_t{1} << 16);
    auto hash = hash_of_nothing;
    while (in) {
        in.read(piece.data(), static_cast<std::streamsize>(piece.size()));
        hash = hash_on(hash, {piece.data(), static_cast<std::size_t>(in.gcount())});
    }
    return fmt::format("{:016x}", hash);
}

}  // namespace holdwater::sim
