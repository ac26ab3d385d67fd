#include "tools/answers/sweep_output.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <system_error>

namespace holdwater::tools {
TextOut::TextOut(std::string const& path) {
    if (!path.empty()) file_.emplace(path);
}

void TextOut::write(std::string const& text) {
    if (file_) return file_->write(text);
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size())
        throw sim::ResultFileError(
            fmt::format("the screen: cannot be written ({})", std::generic_category().message(errno)));
}

void TextOut::close() {
    if (file_) file_->close();
}

}  // namespace holdwater::tools
