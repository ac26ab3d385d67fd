#include "models/battery/rainflow.hpp"

#include <cmath>

namespace holdwater::models {

std::vector<double> turning_points(std::span<double const> history) {
    std::vector<double> points;
    for (double const value : history) {
        if (!points.empty() && value == points.back()) continue;
        // A value that continues in the same direction replaces the one before it.
        if (points.size() >= 2 && (points.back() > points[points.size() - 2]) == (value > points.back()))
            points.back() = value;
        else
            points.push_back(value);
    }
    return points;
}

std::vector<CountedRange> rainflow(std::span<double const> history, double slack) {
    std::vector<CountedRange> counted;
    auto const count = [&](double from, double to, double weight) {
        counted.push_back({std::abs(to - from), weight, (from + to) / 2});
    };
    std::vector<double> open;  // points not yet dropped
    for (double const point : turning_points(history)) {
        open.push_back(point);
        while (open.size() >= 3) {
            std::size_t const n = open.size();
            double const last = std::abs(open[n - 1] - open[n - 2]),
                         before = std::abs(open[n - 2] - open[n - 3]);
            if (last < before - slack) break;
            if (n == 3) {
                count(open[0], open[1], 0.5);
                open.erase(open.begin());
            } else {
                count(open[n - 3], open[n - 2], 1);
                open.erase(open.end() - 3, open.end() - 1);
            }
        }
    }
    for (std::size_t i = 1; i < open.size(); ++i) count(open[i - 1], open[i], 0.5);
    return counted;
}

}  // namespace holdwater::models
