#pragma once

#include <charconv>
#ifndef __cpp_lib_to_chars
#include <cmath>
#include <cstdlib>
#include <string>
#include <system_error>
#endif

namespace holdwater::models {

/// std::from_chars of a double. A library that has none (LLVM 13's, with which the web build is made) reads
/// the same texts with strtod, to the same bits; only "inf" and "nan" are no numbers there.
inline std::from_chars_result read_double(char const* first, char const* last, double& value) {
#ifdef __cpp_lib_to_chars
    return std::from_chars(first, last, value);
#else
    bool any = false, not_zero = false;
    auto const digits = [&](char const*& at) {
        auto const from = at;
        for (; at < last && *at >= '0' && *at <= '9'; ++at) not_zero = not_zero || *at != '0';
        any = any || at > from;
        return at > from;
    };
    char const* at = first;
    if (at < last && *at == '-') ++at;
    digits(at);
    if (at < last && *at == '.') {
        ++at;
        digits(at);
    }
    if (!any) return {first, std::errc::invalid_argument};
    bool const zero = !not_zero;
    if (at < last && (*at == 'e' || *at == 'E')) {
        char const* exponent = at + 1;
        if (exponent < last && (*exponent == '-' || *exponent == '+')) ++exponent;
        if (digits(exponent)) at = exponent;
    }
    double const read = std::strtod(std::string(first, at).c_str(), nullptr);
    if (!std::isfinite(read) || (read == 0 && !zero)) return {at, std::errc::result_out_of_range};
    value = read;
    return {at, std::errc{}};
#endif
}

}  // namespace holdwater::models
