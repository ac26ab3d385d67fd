#include "sim/files/text_hash.hpp"

#include <fmt/format.h>

#include <cstdint>

namespace holdwater::sim {

std::string text_hash(std::string const& text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (char const c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    return fmt::format("{:016x}", hash);
}

}  // namespace holdwater::sim
