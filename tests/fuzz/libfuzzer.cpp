// Entry points of libFuzzer; HOLDWATER_FUZZ_TARGET in the environment names the target.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/targets.hpp"

namespace {
holdwater::fuzz::Target const* target = nullptr;
}

extern "C" int LLVMFuzzerInitialize(int*, char***) {
    char const* const name = std::getenv("HOLDWATER_FUZZ_TARGET");
    for (auto const& t : holdwater::fuzz::targets())
        if (name != nullptr && t.name == name) target = &t;
    if (target != nullptr) return 0;
    std::fprintf(stderr, "HOLDWATER_FUZZ_TARGET names no target\n");
    std::exit(2);
}

extern "C" int LLVMFuzzerTestOneInput(std::uint8_t const* data, std::size_t size) {
    target->run({reinterpret_cast<char const*>(data), size});
    return 0;
}
