#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Refuses keys that have no effect together with the other choices; `why` gives the reason in words.
inline void refuse_unused(Section& s, std::initializer_list<std::string_view> keys, std::string const& why) {
    for (std::string_view const key : keys)
        if (s.has(key)) s.fail(key, why);
}

}  // namespace holdwater::scenarios
