// What JavaScript calls. Texts are UTF-8 and end with a zero byte; an answer stays until the next call.
#include <emscripten.h>

#include <cstddef>
#include <string>
#include <string_view>

#include "tools/desk/desk.hpp"

// clang-format off
EM_JS(void, tell_progress, (double share), { if (Module['onProgress']) Module['onProgress'](share); });
// clang-format on

namespace {

holdwater::tools::Desk& desk() {
    static holdwater::tools::Desk one(tell_progress);
    return one;
}
std::string& answer() {
    static std::string text;
    return text;
}

}  // namespace

extern "C" {

/// See Desk::call.
EMSCRIPTEN_KEEPALIVE char const* holdwater_call(char const* request) {
    answer() = desk().call(request);
    return answer().c_str();
}

/// See Desk::put_file.
EMSCRIPTEN_KEEPALIVE char const* holdwater_put_file(char const* path, char const* bytes, std::size_t size) {
    answer() = desk().put_file(path, std::string_view(bytes, size));
    return answer().c_str();
}
}
