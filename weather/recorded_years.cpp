#include "weather/recorded_years.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "models/numeric/expects.hpp"

namespace holdwater::weather {

int RecordedLight::year_count() const {
    std::size_t count = 0;
    for (auto const& chain : chains) count += chain.years.size();
    return static_cast<int>(count);
}

int RecordedLight::verdict_years() const {
    int count = 0;
    for (auto const& chain : chains) count += chain.verdict_years();
    return count;
}

std::string words_of_years(std::vector<int> const& years) {
    HOLDWATER_EXPECTS(std::is_sorted(years.begin(), years.end()));
    std::string text;
    for (std::size_t i = 0; i < years.size();) {
        std::size_t end = i + 1;
        while (end < years.size() && years[end] == years[end - 1] + 1) ++end;
        if (!text.empty()) text += ", ";
        text += end - i == 1   ? fmt::format("{}", years[i])
                : end - i == 2 ? fmt::format("{}, {}", years[i], years[i + 1])
                               : fmt::format("{} to {}", years[i], years[end - 1]);
        i = end;
    }
    return text;
}

}  // namespace holdwater::weather
