#pragma once

#include <string>

namespace holdwater::tools {

/// Adds to `out` the words of `text` in lines of at most `width` characters (a longer word stands alone), the
/// first line after `head`, the others indented as far.
void wrap(std::string& out, std::string const& head, std::string const& text, std::size_t width = 80);

}  // namespace holdwater::tools
