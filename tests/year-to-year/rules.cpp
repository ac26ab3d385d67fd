#include "tests/year-to-year/rules.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "models/numeric/statistics.hpp"
#include "weather/random.hpp"

namespace holdwater::test {

RunCells run_cells(std::vector<Cell> const& cells) {
    RunCells runs;
    std::copy(cells.end() - static_cast<std::ptrdiff_t>(runs.size()), cells.end(), runs.begin());
    return runs;
}

PlaceFit place_fit(DailyRecord const& record, YearFigures const& recorded, YearFigures made) {
    PlaceFit fit;
    auto const cv_ratio = [&](std::size_t q) {
        auto const cv = [](std::vector<double> const& values) {
            return models::sample_deviation(values) / models::mean(values);
        };
        return std::log(cv(made.of[q]) / cv(recorded.of[q]));
    };
    fit.annual_cv = cv_ratio(0);
    for (std::size_t m = 0; m < 12; ++m) fit.months_cv += cv_ratio(1 + m) / 12;
    fit.runs = run_cells(cells_of(record, recorded, std::move(made), quantities - run_lengths.size()));
    return fit;
}

double misfit(std::vector<PlaceFit> const& places) {
    auto const n = static_cast<double>(places.size());
    double sum = 0, months = 0, years = 0;
    for (std::size_t r = 0; r < run_lengths.size(); ++r) {
        double mean_error = 0;
        for (PlaceFit const& place : places) {
            Cell const& c = place.runs[r];
            mean_error += c.error() / n;
            sum += std::pow(c.error() / c.allowed, 2) / n;
            double const deviate = weather::normal_quantile(std::clamp(c.worst_place, 1e-4, 1 - 1e-4));
            sum += 0.5 * std::pow(std::max(0.0, std::abs(deviate) - 1), 2) / n;
        }
        sum += std::pow(mean_error / 0.05, 2);
    }
    for (PlaceFit const& place : places) months += place.months_cv / n, years += place.annual_cv / n;
    return sum + std::pow(months / 0.05, 2) + std::pow(years / 0.15, 2);
}

namespace {

weather::TypicalRule rule(double memory_base, double by_clearness, double spread_factor,
                          double dark_days_share) {
    weather::TypicalRule r;
    r.memory_base = memory_base;
    r.memory_by_clearness = by_clearness;
    r.spread_factor = spread_factor;
    r.dark_days_share = dark_days_share;
    return r;
}

}  // namespace

std::vector<weather::TypicalRule> rules_to_try() {
    std::vector<weather::TypicalRule> rules;
    for (double base : {0.24, 0.27, 0.30})
        for (double by_clearness : {0.8, 1.2, 1.6})
            for (double spread_factor : {0.91, 0.94, 0.97})
                for (double dark_days_share : {0.11, 0.14, 0.17})
                    rules.push_back(rule(base, by_clearness, spread_factor, dark_days_share));
    return rules;
}

std::map<std::string, weather::TypicalRule> const& rules_without() {
    static std::map<std::string, weather::TypicalRule> const rules = {
        {"all", rule(0.30, 1.6, 0.94, 0.14)},        {"monterey", rule(0.27, 1.6, 0.97, 0.17)},
        {"carrington", rule(0.27, 1.6, 0.97, 0.14)}, {"lelystad", rule(0.27, 1.6, 0.97, 0.17)},
        {"debilt", rule(0.30, 1.6, 0.97, 0.14)},     {"dublin", rule(0.27, 1.6, 0.97, 0.14)},
        {"hyderabad", rule(0.30, 1.6, 0.91, 0.14)},  {"chakwal", rule(0.30, 1.6, 0.91, 0.17)},
    };
    return rules;
}

}  // namespace holdwater::test
