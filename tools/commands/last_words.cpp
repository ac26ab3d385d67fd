#include "tools/commands/last_words.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <time.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <new>
#include <span>
#include <string>
#include <string_view>

#include "tools/commands/commands.hpp"
#include "weather/csv.hpp"

namespace holdwater::tools {

namespace {

// The stack for the handler, if the stack of the thread cannot grow.
std::array<char, 64 * 1024> spare_stack;
std::sig_atomic_t volatile ordinary_end = 0;

// Nothing here may allocate from the heap: it runs inside a signal handler.
void say(std::string_view words) {
    [[maybe_unused]] auto const written = ::write(STDERR_FILENO, words.data(), words.size());
}

// Whether the system has no memory left. Libraries ask for some megabytes at once, hence the size.
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
    // The handler has been removed (SA_RESETHAND), so the signal now ends the program as usual.
    ::raise(signal);
}

void ended_by_library() {
    if (ordinary_end != 0) return;
    if (out_of_memory()) end_out_of_memory();
    say("holdwater: internal error: a library ended the program\n");
    ::_exit(internal_error);
}

// A pipe that nobody reads would end the program by a signal. The signal is blocked while this object exists,
// and then removed.
class NoPipeSignal {
  public:
    NoPipeSignal() {
        sigemptyset(&pipe_);
        sigaddset(&pipe_, SIGPIPE);
        sigset_t waiting;
        sigpending(&waiting);
        was_waiting_ = sigismember(&waiting, SIGPIPE) == 1;
        pthread_sigmask(SIG_BLOCK, &pipe_, &before_);
    }
    ~NoPipeSignal() {
        timespec const at_once{0, 0};
        if (!was_waiting_)
            while (sigtimedwait(&pipe_, nullptr, &at_once) < 0 && errno == EINTR) {
            }
        pthread_sigmask(SIG_SETMASK, &before_, nullptr);
    }
    NoPipeSignal(NoPipeSignal const&) = delete;
    NoPipeSignal& operator=(NoPipeSignal const&) = delete;

  private:
    sigset_t pipe_{}, before_{};
    bool was_waiting_ = false;
};

// Standard output also has line ends of CSV and, on a terminal, the colors of the charts.
enum class Stream { output, messages };

// How a change of color is written; a point stands for a digit from 0 to 7.
constexpr std::array<std::string_view, 3> colors{"\x1b[0m", "\x1b[3.m", "\x1b[9.m"};

// As far as both go.
bool agree(std::string_view text, std::string_view color) {
    auto const size = std::min(text.size(), color.size());
    return std::equal(text.begin(), text.begin() + size, color.begin(),
                      [](char c, char as) { return as == '.' ? c >= '0' && c <= '7' : c == as; });
}

// The length of the change of color with which the text begins; 0: it begins with none.
std::size_t color_length(std::string_view text) {
    for (auto const color : colors)
        if (text.size() >= color.size() && agree(text, color)) return color.size();
    return 0;
}

// The next part of a text as it is shown, as much as `out` has room for: control characters become question
// marks, except line breaks and tabs. Removes from `text` what it has shown.
std::string_view shown(Stream stream, std::string_view& text, std::span<char> out) {
    constexpr std::size_t longest = 8;
    std::size_t size = 0;
    while (!text.empty() && size + longest <= out.size()) {
        auto const c = static_cast<unsigned char>(text[0]);
        auto const next = text.size() > 1 ? static_cast<unsigned char>(text[1]) : 0U;
        std::size_t whole = 0;  // characters that are shown together as they are
        if (stream == Stream::output)
            whole = c == 0x1b ? color_length(text) : c == '\r' && next == '\n' ? 2 : 0;
        if (whole > 0) {
            size += text.copy(out.data() + size, whole);
            text.remove_prefix(whole);
            continue;
        }
        auto const control = c == '\n' || c == '\t' ? 0 : weather::control_length(text);
        out[size++] = control > 0 ? '?' : text[0];
        text.remove_prefix(std::max<std::size_t>(control, 1));
    }
    return {out.data(), size};
}

// How many characters at the end of a text may be the beginning of something that is shown together.
std::size_t unfinished(std::string_view text) {
    auto const at = text.find_last_of("\r\x1b\xc2");
    if (at == std::string_view::npos) return 0;
    auto const rest = text.substr(at);
    if (rest.size() == 1) return 1;
    for (auto const color : colors)
        if (rest.size() < color.size() && agree(rest, color)) return rest.size();
    return 0;
}

// Writes to standard output. What is unfinished waits for the rest of the text, which follows: no text of
// this program ends in it.
ssize_t write_output(void*, char const* text, std::size_t size) noexcept {
    static std::string waiting;
    static std::array<char, 1 << 16> room;
    try {
        std::string together;
        std::string_view rest(text, size);
        if (!waiting.empty()) {
            together = waiting + std::string(rest);
            rest = together;
        }
        std::string const later(rest.substr(rest.size() - unfinished(rest)));
        rest.remove_suffix(later.size());
        while (!rest.empty())
            for (auto piece = shown(Stream::output, rest, room); !piece.empty();) {
                auto const written = ::write(STDOUT_FILENO, piece.data(), piece.size());
                if (written > 0)
                    piece.remove_prefix(static_cast<std::size_t>(written));
                else if (written == 0 || errno != EINTR)
                    return 0;
            }
        waiting = later;
        return static_cast<ssize_t>(size);
    } catch (std::bad_alloc const&) {
        errno = ENOMEM;
        return 0;
    }
}

// Writes to standard error and always accepts all bytes, whatever happens to them. Nothing here allocates,
// because the message may be about memory.
ssize_t write_message(void*, char const* text, std::size_t size) noexcept {
    NoPipeSignal const no_signal;
    std::string_view rest(text, size);
    // What a progress line begins with: return to the start of the line, and clear it.
    for (std::string_view const begin : {"\r\033[K", "\r"})
        if (rest.starts_with(begin)) {
            say(begin);
            rest.remove_prefix(begin.size());
            break;
        }
    std::array<char, 512> room;
    while (!rest.empty())
        for (auto piece = shown(Stream::messages, rest, room); !piece.empty();) {
            auto const written = ::write(STDERR_FILENO, piece.data(), piece.size());
            if (written > 0)
                piece.remove_prefix(static_cast<std::size_t>(written));
            else if (written == 0 || errno != EINTR)
                return static_cast<ssize_t>(size);
        }
    return static_cast<ssize_t>(size);
}

}  // namespace

void settle_streams() {
    // Opened the wrong way around, so that reading or writing fails, as with a closed stream.
    for (int const stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
        if (::fcntl(stream, F_GETFD) < 0) {
            int const held = ::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY);
            if (held >= 0 && held != stream) ::close(held);
        }
    // In the GNU C library the streams are variables that a program may set.
    if (auto* const messages = ::fopencookie(nullptr, "w", {nullptr, write_message, nullptr, nullptr})) {
        std::setvbuf(messages, nullptr, _IONBF, 0);
        stderr = messages;
    }
    if (auto* const output = ::fopencookie(nullptr, "w", {nullptr, write_output, nullptr, nullptr})) {
        std::setvbuf(output, nullptr, ::isatty(STDOUT_FILENO) == 1 ? _IOLBF : _IOFBF, 1 << 16);
        stdout = output;
    }
}

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
    if (exit_code == internal_error) {  // the libraries may not be able to clean up
        std::fflush(nullptr);
        ::_exit(exit_code);
    }
    return exit_code;
}

}  // namespace holdwater::tools
