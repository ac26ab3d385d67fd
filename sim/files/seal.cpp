#include "sim/files/seal.hpp"

#include <fmt/format.h>

#include <boost/crc.hpp>
#include <cstddef>

namespace holdwater::sim {
namespace {

constexpr std::size_t seal_size = 24;
std::string seal_of(std::string_view bytes) {
    boost::crc_32_type crc;
    crc.process_bytes(bytes.data(), bytes.size());
    return fmt::format("\nholdwater crc {:08x}\n", crc.checksum());
}

}  // namespace

std::string sealed(std::string bytes) {
    bytes += seal_of(bytes);
    return bytes;
}

bool seal_holds(std::string_view bytes) {
    return bytes.size() > seal_size &&
           bytes.substr(bytes.size() - seal_size) == seal_of(bytes.substr(0, bytes.size() - seal_size));
}

}  // namespace holdwater::sim
