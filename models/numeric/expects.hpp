#pragma once

/// Checks in the dev build what a comment requires before a call ("Pre:"). If the condition does not hold,
/// the program ends with the condition, file and line. A release build does not evaluate it. Not for user
/// input, which is always checked and refused by name (parameter_error.hpp).
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
