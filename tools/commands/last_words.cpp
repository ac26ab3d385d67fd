#include "tools/commands/last_words.hpp"

#include <sys/mman.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "tools/commands/commands.hpp"

namespace holdwater::tools {

namespace {

// The stack a handler runs on where the thread's own cannot grow.
std::array<char, 64 * 1024> spare_stack;
std::sig_atomic_t volatile ordinary_end = 0;

// Nothing here may allocate from the heap: it runs inside a signal handler.
void say(std::string_view words) {
    [[maybe_unused]] auto const written = ::write(STDERR_FILENO, words.data(), words.size());
}

// Whether the system has no more memory to give. Libraries ask for some megabytes at once, hence the size.
bool out_of_memory() {
    constexpr std::size_t some = std::size_t{16} << 20;
    void* const place = ::mmap(nullptr, some, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (place == MAP_FAILED) return true;
    ::munmap(place, some);
    return false;
}

[[noreturn]] void end_out_of_memory() {
    say("holdwater: out of memory\n");
    ::_exit(internal_error);
}

void crashed(int signal) {
    if (out_of_memory()) end_out_of_memory();
    say("holdwater: internal error: crashed; files written before are whole\n");
    // The handler is gone (SA_RESETHAND): the signal ends the program as if nobody had caught it.
    ::raise(signal);
}

void ended_by_library() {
    if (ordinary_end != 0) return;
    if (out_of_memory()) end_out_of_memory();
    say("holdwater: internal error: a library ended the program\n");
    ::_exit(internal_error);
}

}  // namespace

void promise_last_words() {
    stack_t stack{};
    stack.ss_sp = spare_stack.data();
    stack.ss_size = spare_stack.size();
    ::sigaltstack(&stack, nullptr);
    struct sigaction action {};
    action.sa_handler = crashed;
    action.sa_flags = SA_ONSTACK | SA_RESETHAND;
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
