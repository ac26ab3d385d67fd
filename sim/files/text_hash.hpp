#pragma once

#include <string>

namespace holdwater::sim {

/// FNV-1a, 64 bit, as 16 hexadecimal digits: tells two scenario texts apart (not a cryptographic seal).
std::string text_hash(std::string const& text);
/// The same of the bytes of a file, which is read in pieces; of an empty text if it cannot be read. A pipe or
/// device is refused (ResultFileError): whoever reads it next would get other bytes, or none.
std::string file_hash(std::string const& path);

}  // namespace holdwater::sim
