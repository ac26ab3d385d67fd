#include "sim/inputs/draw_segments.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdwater::sim {
namespace {

constexpr auto hours_of_year = static_cast<std::size_t>(hours_per_year);
constexpr double shortest_segment_s = 1e-9;  // shorter ones are rounding of their ends

}  // namespace

void OpenTaps::add(models::DrawEvent const& e, std::vector<double>& hourly_m3) {
    auto hour = static_cast<std::size_t>(e.start_s / seconds_per_hour);
    double from_s = e.start_s - static_cast<double>(hour) * seconds_per_hour;
    for (double left_s = e.seconds; left_s > 0; ++hour, from_s = 0) {
        double const open_s = std::min(left_s, seconds_per_hour - from_s);
        Open const open{hour % hours_of_year, from_s, from_s + open_s, e.flow_m3_s};
        hourly_m3[open.hour] += open.flow_m3_s * (open.until_s - open.from_s);
        opens_.push_back(open);
        left_s -= open_s;
    }
}

void OpenTaps::add_at_start(std::size_t hour, double open_s, double flow_m3_s) {
    if (open_s > 0) opens_.push_back({hour, 0, open_s, flow_m3_s});
}

void OpenTaps::fill(HourlyInputs& in) const {
    // Sorted by hour; within an hour they stay in the order in which they were added.
    std::vector<std::size_t> begin(hours_of_year + 1);
    for (Open const& o : opens_) ++begin[o.hour + 1];
    std::partial_sum(begin.begin(), begin.end(), begin.begin());
    std::vector<Open> sorted(opens_.size());
    auto next = begin;
    for (Open const& o : opens_) sorted[next[o.hour]++] = o;

    in.tap_flow_m3_s.assign(hours_of_year, 0);
    in.first_draw.reserve(hours_of_year + 1);
    in.draws.reserve(2 * opens_.size());
    std::vector<double> ends_s;
    for (std::size_t h = 0; h < hours_of_year; ++h) {
        auto const hour = std::span(sorted).subspan(begin[h], begin[h + 1] - begin[h]);
        in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
        ends_s.clear();
        for (Open const& o : hour) ends_s.insert(ends_s.end(), {o.from_s, o.until_s});
        std::sort(ends_s.begin(), ends_s.end());
        double from_s = 0;
        for (double const until_s : ends_s) {
            if (until_s - from_s < shortest_segment_s) continue;
            double flow_m3_s = 0;
            for (Open const& o : hour) {  // without a branch, which could not be predicted
                bool const open =
                    (o.from_s < from_s + shortest_segment_s) & (o.until_s > until_s - shortest_segment_s);
                flow_m3_s += open ? o.flow_m3_s : 0;
            }
            in.draws.push_back({until_s, flow_m3_s});
            from_s = until_s;
        }
    }
    in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
}

}  // namespace holdwater::sim
