#include "sim/sweep/sweep_tally.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "models/numeric/expects.hpp"

namespace holdwater::sim {

void SweepTally::take(SweepBlock const& block) {
    if (values.empty()) first = block.first;
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto const& what = block.problems[i];
        values.push_back(what.empty() ? block.figures_of(i)[figure_index] : not_run);
        if (what.empty()) continue;
        if (refused++ == 0) problem = what;
        if (plan.spec().method == SweepMethod::one_at_a_time)
            for (std::size_t a = 0; a < axis_problem.size(); ++a)
                if (!block.settings[i][a].empty()) axis_problem[a] = what;
    }
}

void LaneTally::take(SweepBlock const& block) {
    for (std::size_t i = 0; i < block.size(); ++i) {
        if (!block.problems[i].empty()) continue;
        auto const feature = block.alone_for[i];
        ++(feature.empty() ? side_by_side : alone);
        if (!feature.empty()) ++alone_for[feature];
    }
}

bool SweepTally::ran(std::size_t i) const { return !std::isnan(values[i]); }

SweepTally make_tally(SweepPlan const& plan, std::vector<SweepFigure> const& figures,
                      std::string const& name) {
    std::string known;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        if (figures[i].name == name)
            return {plan, figures[i], i, 0, {}, 0, "", std::vector<std::string>(plan.axes().size())};
        known += (known.empty() ? "" : ", ") + figures[i].name;
    }
    throw std::invalid_argument("'" + name + "' is not a figure of a run; accepted: " + known);
}

void check_answer(SweepTally const& t) {
    bool const alone = t.plan.spec().method == SweepMethod::one_at_a_time;
    if (t.run() == 0 || (alone && !t.ran(0)))
        throw std::invalid_argument("no row could be run: " + t.problem);
    // With one key alone, an invalid value of a key affects only the rows of that key.
    if (!alone) return;
    std::vector<bool> any(t.plan.axes().size());
    for (std::size_t i = 1; i < t.values.size(); ++i) {
        auto const row = t.plan.row(i);
        for (std::size_t a = 0; a < row.size(); ++a)
            if (!row[a].empty() && t.ran(i)) any[a] = true;
    }
    for (std::size_t a = 0; a < any.size(); ++a)
        if (!any[a])
            throw std::invalid_argument(fmt::format("no row that varies '{}' could be run: {}",
                                                    t.plan.axes()[a].key, t.axis_problem[a]));
}

std::vector<Swing> swings_of(SweepTally const& t) {
    std::vector<Swing> swings;
    for (std::size_t a = 0; a < t.plan.axes().size(); ++a) swings.push_back({a, 0, 0});
    for (std::size_t i = 1; i < t.values.size(); ++i) {
        if (!t.ran(i)) continue;
        auto const row = t.plan.row(i);
        for (auto& s : swings) {
            if (row[s.axis].empty()) continue;
            if (t.values[i] < t.values[s.low]) s.low = i;
            if (t.values[i] > t.values[s.high]) s.high = i;
        }
    }
    auto const width = [&](Swing const& s) { return t.values[s.high] - t.values[s.low]; };
    std::stable_sort(swings.begin(), swings.end(),
                     [&](auto const& x, auto const& y) { return width(x) > width(y); });
    return swings;
}

std::pair<std::size_t, std::size_t> extremes_of(SweepTally const& t) {
    HOLDWATER_EXPECTS(t.run() > 0);
    std::size_t least = t.values.size(), most = t.values.size();
    for (std::size_t i = 0; i < t.values.size(); ++i) {
        if (!t.ran(i)) continue;
        if (least == t.values.size() || t.values[i] < t.values[least]) least = i;
        if (most == t.values.size() || t.values[i] > t.values[most]) most = i;
    }
    return {least, most};
}

RowSpread row_spread(SweepTally const& t) {
    HOLDWATER_EXPECTS(t.run() > 0);
    std::vector<double> ordered;
    for (std::size_t i = 0; i < t.values.size(); ++i)
        if (t.ran(i)) ordered.push_back(t.values[i]);
    std::sort(ordered.begin(), ordered.end());
    auto const at = [&](double share) {
        return ordered[static_cast<std::size_t>(share * static_cast<double>(ordered.size() - 1))];
    };
    return {at(0.1), at(0.5), at(0.9)};
}

SobolAnswer sobol_of(SweepTally const& t) {
    return sobol_indices(t.values, t.plan.axes().size(), t.plan.spec().seed);
}

}  // namespace holdwater::sim
