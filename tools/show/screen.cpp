#include "tools/show/screen.hpp"

#include <unistd.h>

#include <cstdlib>
#include <string>

namespace holdwater::tools {
namespace {

std::string environment(char const* name) {
    char const* const value = std::getenv(name);
    return value == nullptr ? "" : value;
}

// The first of the three variables that is set decides, as POSIX says.
bool utf8_locale() {
    for (char const* const name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        std::string const value = environment(name);
        if (!value.empty())
            return value.find("UTF-8") != std::string::npos || value.find("utf8") != std::string::npos;
    }
    return false;
}

}  // namespace

Screen look_at_screen(bool plain) {
    std::string const terminal = environment("TERM");
    Screen screen;
    screen.pictures =
        !plain && ::isatty(STDOUT_FILENO) == 1 && !terminal.empty() && terminal != "dumb" && utf8_locale();
    screen.color = screen.pictures && environment("NO_COLOR").empty();
    return screen;
}

}  // namespace holdwater::tools
