#pragma once

#include <functional>
#include <utility>

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

}  // namespace holdwater::sim
