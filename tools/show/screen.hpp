#pragma once

namespace holdwater::tools {

/// What standard output can show: nothing drawn in pipes and files, on a dumb terminal, where the locale is
/// not UTF-8, or when plain text is asked for; no color where NO_COLOR is set to anything.
struct Screen {
    bool pictures = false, color = false;
};

Screen look_at_screen(bool plain);

}  // namespace holdwater::tools
