#include "scenarios/text/edit_distance.hpp"

#include <algorithm>

namespace holdwater::scenarios {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            std::size_t const change = diagonal + (a[i - 1] == b[j - 1] ? 0U : 1U);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, change});
        }
    }
    return row.back();
}

std::vector<std::string> near_names(std::string_view given, std::vector<std::string> names,
                                    std::size_t most) {
    std::erase_if(names, [&](std::string const& name) {
        return given.empty() || (edit_distance(given, name) > std::max<std::size_t>(given.size() / 2, 1) &&
                                 name.find(given) == std::string::npos);
    });
    std::stable_sort(names.begin(), names.end(), [&](std::string const& a, std::string const& b) {
        return edit_distance(given, a) < edit_distance(given, b);
    });
    if (names.size() > most) names.resize(most);
    return names;
}

}  // namespace holdwater::scenarios
