#pragma once

#include <oneapi/tbb/global_control.h>

#include <cstddef>
#include <optional>

namespace holdwater::sim {

/// While it lives no more than `threads` threads work at a time; 0: as many as there are processors.
class ThreadLimit {
  public:
    explicit ThreadLimit(int threads) {
        if (threads > 0)
            limit_.emplace(oneapi::tbb::global_control::max_allowed_parallelism,
                           static_cast<std::size_t>(threads));
    }

  private:
    std::optional<oneapi::tbb::global_control> limit_;
};

}  // namespace holdwater::sim
