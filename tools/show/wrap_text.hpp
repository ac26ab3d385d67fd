#pragma once

#include <string>

namespace holdwater::tools {

/// Adds the words of `text` to `out` in lines of at most `width` characters (a longer word has its own line).
/// The first line begins with `head`; the others are indented by the same width.
void wrap(std::string& out, std::string const& head, std::string const& text, std::size_t width = 80);

}  // namespace holdwater::tools
