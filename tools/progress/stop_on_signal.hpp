#pragma once

#include <atomic>

namespace holdwater::tools {

/// While it exists, the first Ctrl-C or SIGTERM sets `stop`, and the second one ends the program as usual.
class StopOnSignal {
  public:
    StopOnSignal();
    ~StopOnSignal();
    StopOnSignal(StopOnSignal const&) = delete;
    StopOnSignal& operator=(StopOnSignal const&) = delete;

    std::atomic<bool> const& stop() const;
    int exit_code() const;  ///< 128 + the signal's number, as shells count
};

}  // namespace holdwater::tools
