#include "sim/region/rule_cards.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <set>

namespace holdwater::sim {
namespace {

constexpr std::size_t least_stations = 5;  // fewer do not show what drives the battery (common practice)
constexpr std::size_t middle_share = 1;    // 95 %
constexpr double unknown_number = std::numeric_limits<double>::quiet_NaN();

std::vector<double> mean_ranks(std::vector<double> const& values) {
    std::vector<std::size_t> order(values.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](auto a, auto b) { return values[a] < values[b]; });
    std::vector<double> rank(values.size());
    for (std::size_t from = 0; from < order.size();) {
        std::size_t end = from + 1;
        while (end < order.size() && values[order[end]] == values[order[from]]) ++end;
        for (std::size_t i = from; i < end; ++i) rank[order[i]] = 0.5 * static_cast<double>(from + end - 1);
        from = end;
    }
    return rank;
}

void take_row(RuleLine& line, RegionRow const& row) {
    if (!row.served(line.share)) return;
    ++line.served;
    auto const kwh = [&](RegionRow const* r) { return r->battery_kwh[line.share]; };
    if (line.least == nullptr || kwh(&row) < kwh(line.least)) line.least = &row;
    if (line.most == nullptr || kwh(&row) > kwh(line.most)) line.most = &row;
}

RuleCombination combination_of(std::vector<RegionRow const*> const& rows) {
    RuleCombination c;
    c.combination = rows.front()->combination;
    c.array_w = c.least_demand_m3 = c.most_demand_m3 = unknown_number;
    for (std::size_t share = 0; share < winter_shares.size(); ++share) c.lines[share].share = share;
    std::vector<double> battery, latitude, elevation;
    for (auto const* row : rows) {
        if (!row->problem.empty()) continue;
        ++c.run;
        c.array_w = row->array_w;
        c.least_demand_m3 = std::fmin(c.least_demand_m3, row->daily_demand_m3);
        c.most_demand_m3 = std::fmax(c.most_demand_m3, row->daily_demand_m3);
        for (auto& line : c.lines) take_row(line, *row);
        if (!row->served(middle_share)) continue;
        battery.push_back(row->battery_kwh[middle_share]);
        latitude.push_back(std::abs(row->latitude_deg));
        elevation.push_back(row->elevation_m);
    }
    bool const enough = battery.size() >= least_stations;
    c.with_latitude = enough ? rank_correlation(battery, latitude) : unknown_number;
    c.with_elevation = enough ? rank_correlation(battery, elevation) : unknown_number;
    return c;
}

}  // namespace

double rank_correlation(std::vector<double> const& x, std::vector<double> const& y) {
    auto const a = mean_ranks(x), b = mean_ranks(y);
    double const mean = 0.5 * (static_cast<double>(x.size()) - 1);
    double both = 0, of_a = 0, of_b = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        both += (a[i] - mean) * (b[i] - mean);
        of_a += (a[i] - mean) * (a[i] - mean);
        of_b += (b[i] - mean) * (b[i] - mean);
    }
    return of_a > 0 && of_b > 0 ? both / std::sqrt(of_a * of_b) : unknown_number;
}

std::vector<RuleCard> rule_cards(std::vector<RegionRow> const& rows) {
    std::map<std::pair<bool, std::string>, std::vector<RegionRow const*>> by_state;
    for (auto const& row : rows) by_state[{row.state.empty(), row.state}].push_back(&row);
    std::vector<RuleCard> cards;
    for (auto const& [key, of_state] : by_state) {
        RuleCard& card = cards.emplace_back();
        card.state = key.second;
        std::map<std::size_t, std::vector<RegionRow const*>> by_combination;
        std::map<std::size_t, RegionRow const*> unrun;  // by station, if no combination was run
        std::set<std::size_t> stations, run;
        for (auto const* row : of_state) {
            by_combination[row->combination].push_back(row);
            stations.insert(row->station);
            if (row->problem.empty())
                run.insert(row->station);
            else
                unrun.try_emplace(row->station, row);
        }
        card.stations = stations.size();
        for (auto const& [number, row] : unrun)
            if (run.count(number) == 0) card.not_served.push_back(row);
        for (auto const& [number, of_combination] : by_combination)
            if (auto c = combination_of(of_combination); !std::isnan(c.array_w))
                card.combinations.push_back(c);
    }
    return cards;
}

}  // namespace holdwater::sim
