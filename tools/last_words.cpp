#include "tools/last_words.hpp"

#include <unistd.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "tools/commands.hpp"

namespace holdwater::tools {

namespace {

// The stack a handler runs on where the thread's own cannot grow.
std::array<char, 64 * 1024> spare_stack;
std::sig_atomic_t volatile ordinary_end = 0;

// Nothing here may allocate: it runs inside a signal handler.
[[noreturn]] void say_and_end(std::string_view words) {
    [[maybe_unused]] auto const written = ::write(STDERR_FILENO, words.data(), words.size());
    ::_exit(internal_error);
}

void crashed(int) {
    say_and_end(
        "holdwater: internal error: crashed; under a limit on memory the likely reason is not enough "
        "memory\n");
}

void ended_by_library() {
    if (ordinary_end == 0)
        say_and_end("holdwater: internal error: a library gave up, most likely for not enough memory\n");
}

}  // namespace

void promise_last_words() {
    stack_t stack{};
    stack.ss_sp = spare_stack.data();
    stack.ss_size = spare_stack.size();
    ::sigaltstack(&stack, nullptr);
    struct sigaction action {};
    action.sa_handler = crashed;
    action.sa_flags = SA_ONSTACK;
    for (int const signal : {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT}) {
        struct sigaction present {};
        if (::sigaction(signal, nullptr, &present) == 0 && present.sa_handler == SIG_DFL)
            ::sigaction(signal, &action, nullptr);
    }
    std::atexit(ended_by_library);
}

int ends_ordinarily(int exit_code) {
    ordinary_end = 1;
    if (exit_code == internal_error) {  // libraries may be in no state to tidy up
        std::fflush(nullptr);
        ::_exit(exit_code);
    }
    return exit_code;
}

}  // namespace holdwater::tools
