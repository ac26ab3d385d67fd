#pragma once

#include <string>

namespace holdwater::sim {

/// FNV-1a, 64 bit, as 16 hexadecimal digits: tells two scenario texts apart (not a cryptographic seal).
std::string text_hash(std::string const& text);

}  // namespace holdwater::sim
