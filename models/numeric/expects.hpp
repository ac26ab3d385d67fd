#pragma once

/// What a comment says must hold before a call ("Pre:"), checked in the dev build, where it ends the program
/// with the condition, file and line. In a release nothing is evaluated. Not for input: that is refused by
/// name, always (parameter_error.hpp).
#ifdef HOLDWATER_EXPECTATIONS
#include <cstdio>
#include <cstdlib>
#define HOLDWATER_EXPECTS(condition) \
    ((condition)                     \
         ? static_cast<void>(0)      \
         : (std::fprintf(stderr, "%s:%d: must hold: %s\n", __FILE__, __LINE__, #condition), std::abort()))
#else
#define HOLDWATER_EXPECTS(condition) static_cast<void>(0)
#endif
