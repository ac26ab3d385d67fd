#include "sim/autonomy/least_size.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>

namespace holdwater::sim {
namespace {

constexpr double smallest_factor = 1.0 / 64;

std::optional<double> least_by_bisection(std::function<bool(double)> const& holds) {
    double low = 1, high = 1;
    if (holds(1)) {
        while (low > smallest_factor && holds(low / 2)) low /= 2;
        if (low <= smallest_factor) return low;
        high = low;
        low /= 2;
    } else {
        do {
            low = high;
            high *= 2;
            if (high > largest_factor) return std::nullopt;
        } while (!holds(high));
    }
    while (high / low > 1.005) {
        double const middle = std::sqrt(low * high);
        (holds(middle) ? high : low) = middle;
    }
    return high;
}

// A design of another size, and what was named of its start.
struct SizedDesign {
    System design;
    NamedLevels named;
};

// The factor is found for the start dates that decide. Then all the others are run with it; if there is a
// shortage, the date with the earliest one decides too.
std::optional<double> least_factor(CloudyPeriodQuestion const& q,
                                   std::function<SizedDesign(double)> const& sized) {
    struct Tried {
        System system;
        std::vector<StoreLevels> levels;
    };
    std::map<double, Tried> tried;
    auto const earliest_short = [&](double factor, std::vector<int> const& days) -> std::optional<int> {
        auto at = tried.find(factor);
        if (at == tried.end()) {
            auto [design, named] = sized(factor);
            auto levels = start_levels(design, q.inputs.own, named);
            at = tried
                     .emplace(factor,
                              Tried{q.with_backup ? std::move(design) : without_backup(std::move(design)),
                                    std::move(levels)})
                     .first;
        }
        auto const first_h = first_shortages_h(at->second.system, q.inputs, days, at->second.levels);
        auto const least = std::min_element(first_h.begin(), first_h.end());
        if (std::isinf(*least)) return std::nullopt;
        return days[static_cast<std::size_t>(least - first_h.begin())];
    };
    std::vector<int> deciding;
    auto const holds = [&](double factor) {
        auto const day = earliest_short(factor, deciding.empty() ? q.first_days : deciding);
        if (day && deciding.empty()) deciding.push_back(*day);
        return !day;
    };
    for (;;) {
        auto const factor = least_by_bisection(holds);
        if (!factor) return std::nullopt;
        auto const another = earliest_short(*factor, q.first_days);
        if (!another) return factor;
        deciding.push_back(*another);
    }
}

}  // namespace

std::optional<double> least_battery_factor(CloudyPeriodQuestion const& q) {
    return least_factor(q, [&](double factor) {
        return SizedDesign{with_battery_factor(q.design, factor), q.named};
    });
}

std::optional<double> least_array_factor(CloudyPeriodQuestion const& q) {
    return least_factor(q, [&](double factor) {
        return SizedDesign{with_array_factor(q.design, factor), q.named};
    });
}

std::optional<double> least_cistern_factor(CloudyPeriodQuestion const& q) {
    if (!q.design.cistern) return std::nullopt;
    double const floor_m3 = models::usable_from_m3(q.design.cistern->cistern);
    return least_factor(q, [&](double factor) {
        auto named = q.named;
        if (named.cistern_m3 && *named.cistern_m3 > floor_m3)
            named.cistern_m3 = floor_m3 + factor * (*named.cistern_m3 - floor_m3);
        return SizedDesign{with_cistern_factor(q.design, factor), named};
    });
}

}  // namespace holdwater::sim
