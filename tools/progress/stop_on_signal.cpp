#include "tools/progress/stop_on_signal.hpp"

#include <signal.h>

namespace holdwater::tools {
namespace {

// A global, because a signal handler can use nothing else.
std::atomic<bool> stop_asked = false;
std::atomic<int> stop_signal = 0;
static_assert(std::atomic<bool>::is_always_lock_free && std::atomic<int>::is_always_lock_free);

extern "C" void ask_to_stop(int signal) {
    stop_signal = signal;
    stop_asked = true;
}

}  // namespace

StopOnSignal::StopOnSignal() {
    struct sigaction action {};
    action.sa_handler = ask_to_stop;
    action.sa_flags = SA_RESTART | static_cast<int>(SA_RESETHAND);
    sigemptyset(&action.sa_mask);
    for (int const signal : {SIGINT, SIGTERM}) ::sigaction(signal, &action, nullptr);
}

StopOnSignal::~StopOnSignal() {
    for (int const signal : {SIGINT, SIGTERM}) ::signal(signal, SIG_DFL);
}

std::atomic<bool> const& StopOnSignal::stop() const { return stop_asked; }
int StopOnSignal::exit_code() const { return 128 + stop_signal; }

}  // namespace holdwater::tools
