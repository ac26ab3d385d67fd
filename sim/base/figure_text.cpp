#include "sim/base/figure_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace holdwater::sim {

std::string with_thousands(std::string number) {
    std::size_t const end = std::min(number.find('.'), number.size()),
                      begin = number.starts_with('-') ? 1 : 0;
    if (number.find_first_not_of("0123456789.", begin) != std::string::npos) return number;
    for (std::size_t at = end; at > begin + 3;) number.insert(at -= 3, 1, ',');
    return number;
}

std::string figure_text(double value, int decimals) {
    if (std::isnan(value)) return "not known";
    if (std::isinf(value)) return value > 0 ? "unlimited" : "-unlimited";
    constexpr int most = 4;
    int digits = decimals;
    while (digits < most && value != 0 && std::abs(value) * std::pow(10.0, digits) < 9.95) ++digits;
    std::string text = fmt::format("{:.{}f}", value, digits);
    for (; digits > decimals && text.back() == '0'; --digits) text.pop_back();
    if (text.back() == '.') text.pop_back();
    bool const zero = text.find_first_of("123456789") == std::string::npos;
    return with_thousands(zero && text.front() == '-' ? text.substr(1) : text);
}

int digits_apart(double value, double limit, int decimals) {
    if (!std::isfinite(value) || !std::isfinite(limit) || same_figure(value, limit)) return decimals;
    for (int digits = decimals; digits < decimals + 4; ++digits)
        if (figure_text(value, digits) != figure_text(limit, digits)) return digits;
    return decimals + 4;
}

bool same_figure(double value, double limit) {
    return std::isfinite(limit) && std::abs(value - limit) <= 1e-6 * std::abs(limit);
}

}  // namespace holdwater::sim
