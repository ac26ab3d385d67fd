#pragma once

namespace holdwater::tools {

/// What standard output can show: no charts in pipes and files, on a dumb terminal, if the locale is not
/// UTF-8, or if plain text was asked for; no color if NO_COLOR is set to anything.
struct Screen {
    bool pictures = false, color = false;
};

Screen look_at_screen(bool plain);

}  // namespace holdwater::tools
