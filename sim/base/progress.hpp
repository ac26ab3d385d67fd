#pragma once

#include <cstddef>
#include <functional>
#include <mutex>
#include <numeric>
#include <utility>
#include <vector>

#include "sim/base/stop.hpp"

namespace holdwater::sim {

/// Told how far a study is, 0 .. 1, by one thread at a time; may be empty.
using TellShare = std::function<void(double share)>;

/// For a part of a study: its 0 .. 1 are `from` .. `to` of the whole. Empty for an empty one.
inline TellShare part_of(TellShare tell, double from, double to) {
    if (!tell) return {};
    return [tell = std::move(tell), from, to](double share) { tell(from + share * (to - from)); };
}
inline void tell_share(TellShare const& tell, double share) {
    if (tell) tell(share);
}
/// Between two parts of a study: throws StudyStopped if it is asked to stop, else tells how far it is.
inline void go_on(StopFlag stop, TellShare const& tell, double share) {
    stop_if_asked(stop);
    tell_share(tell, share);
}

/// For parts of equal weight that run side by side, each of which tells its own share: tells that of all of
/// them. It must outlive them. For several threads.
class ShareOfParts {
  public:
    ShareOfParts(TellShare tell, std::size_t parts) : tell_(std::move(tell)), done_(parts) {}
    /// For one of the parts, from 0.
    [[nodiscard]] TellShare of(std::size_t part) {
        if (!tell_) return {};
        return [this, part](double share) {
            std::lock_guard const lock(mutex_);
            done_[part] = share / static_cast<double>(done_.size());
            tell_(std::accumulate(done_.begin(), done_.end(), 0.0));
        };
    }

  private:
    TellShare tell_;
    std::mutex mutex_;
    std::vector<double> done_;
};

}  // namespace holdwater::sim
