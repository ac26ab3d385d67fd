#pragma once

#include <atomic>
#include <exception>

namespace holdwater::sim {

/// A study was asked to stop before it had a result.
struct StudyStopped : std::exception {
    char const* what() const noexcept override { return "stopped"; }
};

/// Set from outside (by a signal or another thread). A long study checks it between its parts. Null: it is
/// never asked.
using StopFlag = std::atomic<bool> const*;
inline bool asked_to_stop(StopFlag flag) { return flag != nullptr && flag->load(); }
/// Throws StudyStopped.
inline void stop_if_asked(StopFlag flag) {
    if (asked_to_stop(flag)) throw StudyStopped();
}

}  // namespace holdwater::sim
