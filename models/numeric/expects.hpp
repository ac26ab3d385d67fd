#pragma once

/// Checks in the dev build what a comment requires before a call ("Pre:"). If the condition does not hold,
/// the program ends with the condition, file and line. A release build does not evaluate it. Not for user
/// input, which is always checked and refused by name (parameter_error.hpp).
#ifdef HOLDWATER_EXPECTATIONS
#include <cstddef>  // any header of the standard library, which then says which one it is
// The dev build also checks indices and iterators, in the library itself. Without this line the loss of the
// macro would go unnoticed, because all tests pass without it.
#if defined(__GLIBCXX__) && !defined(_GLIBCXX_ASSERTIONS)
#error "a build with HOLDWATER_EXPECTATIONS needs _GLIBCXX_ASSERTIONS, the assertions of the standard library"
#endif
#include <cstdio>
#include <cstdlib>
#define HOLDWATER_EXPECTS(condition) \
    ((condition)                     \
         ? static_cast<void>(0)      \
         : (std::fprintf(stderr, "%s:%d: must hold: %s\n", __FILE__, __LINE__, #condition), std::abort()))
#else
#define HOLDWATER_EXPECTS(condition) static_cast<void>(0)
#endif
