#include "tests/year-to-year/rules.hpp"

#include <algorithm>
#include <cmath>

#include "weather/random.hpp"

namespace holdwater::test {

RunCells run_cells(std::vector<Cell> const& cells) {
    RunCells runs;
    std::copy(cells.end() - static_cast<std::ptrdiff_t>(runs.size()), cells.end(), runs.begin());
    return runs;
}

double misfit(std::vector<RunCells> const& places) {
    auto const n = static_cast<double>(places.size());
    double sum = 0;
    for (std::size_t r = 0; r < run_lengths.size(); ++r) {
        double mean_error = 0;
        for (RunCells const& place : places) {
            Cell const& c = place[r];
            mean_error += c.error() / n;
            sum += std::pow(c.error() / c.allowed, 2) / n;
            double const deviate = weather::normal_quantile(std::clamp(c.worst_place, 1e-4, 1 - 1e-4));
            sum += 0.5 * std::pow(std::max(0.0, std::abs(deviate) - 1), 2) / n;
        }
        sum += std::pow(mean_error / 0.05, 2);
    }
    return sum;
}

std::vector<weather::TypicalRule> rules_to_try() {
    std::vector<weather::TypicalRule> rules;
    for (double base : {0.05, 0.08, 0.11, 0.14, 0.17, 0.20})
        for (double slow_share : {0.015, 0.025, 0.035, 0.045})
            for (double spread_factor : {0.98, 1.01, 1.04, 1.07, 1.10}) {
                weather::TypicalRule r;
                r.memory_base = base;
                r.slow_share = slow_share;
                r.spread_factor = spread_factor;
                rules.push_back(r);
            }
    return rules;
}

namespace {

weather::TypicalRule rule(double memory_base, double slow_share, double spread_factor) {
    weather::TypicalRule r;
    r.memory_base = memory_base;
    r.slow_share = slow_share;
    r.spread_factor = spread_factor;
    return r;
}

}  // namespace

std::map<std::string, weather::TypicalRule> const& rules_without() {
    static std::map<std::string, weather::TypicalRule> const rules = {
        {"all", rule(0.17, 0.025, 1.04)},        {"monterey", rule(0.17, 0.025, 1.04)},
        {"carrington", rule(0.17, 0.025, 1.04)}, {"lelystad", rule(0.17, 0.025, 1.04)},
        {"debilt", rule(0.20, 0.015, 1.07)},     {"dublin", rule(0.17, 0.025, 1.01)},
        {"hyderabad", rule(0.14, 0.025, 1.07)},  {"chakwal", rule(0.17, 0.025, 1.04)},
    };
    return rules;
}

}  // namespace holdwater::test
