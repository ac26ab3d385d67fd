#include "sim/inputs/draw_segments.hpp"

#include <algorithm>
#include <cmath>

namespace holdwater::sim {
namespace {

constexpr auto hours_of_year = static_cast<std::size_t>(hours_per_year);
constexpr double shortest_segment_s = 1e-9;  // shorter ones are rounding of their ends

}  // namespace

OpenTaps::OpenTaps() : hours_(hours_of_year) {}

void OpenTaps::add(models::DrawEvent const& e) {
    auto hour = static_cast<std::size_t>(e.start_s / seconds_per_hour);
    double from_s = e.start_s - static_cast<double>(hour) * seconds_per_hour;
    for (double left_s = e.seconds; left_s > 0; ++hour, from_s = 0) {
        double const open_s = std::min(left_s, seconds_per_hour - from_s);
        hours_[hour % hours_of_year].push_back({from_s, from_s + open_s, e.flow_m3_s});
        left_s -= open_s;
    }
}

void OpenTaps::add_at_start(std::size_t hour, double open_s, double flow_m3_s) {
    if (open_s > 0) hours_[hour].push_back({0, open_s, flow_m3_s});
}

std::vector<double> OpenTaps::hourly_m3() const {
    std::vector<double> volumes;
    volumes.reserve(hours_of_year);
    for (auto const& hour : hours_) {
        double sum_m3 = 0;
        for (Open const& o : hour) sum_m3 += o.flow_m3_s * (o.until_s - o.from_s);
        volumes.push_back(sum_m3);
    }
    return volumes;
}

void OpenTaps::fill(HourlyInputs& in) const {
    in.tap_flow_m3_s.assign(hours_of_year, 0);
    std::vector<double> ends_s;
    for (auto const& hour : hours_) {
        in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
        ends_s.clear();
        for (Open const& o : hour) ends_s.insert(ends_s.end(), {o.from_s, o.until_s});
        std::sort(ends_s.begin(), ends_s.end());
        double from_s = 0;
        for (double const until_s : ends_s) {
            if (until_s - from_s < shortest_segment_s) continue;
            double flow_m3_s = 0;
            for (Open const& o : hour)
                if (o.from_s < from_s + shortest_segment_s && o.until_s > until_s - shortest_segment_s)
                    flow_m3_s += o.flow_m3_s;
            in.draws.push_back({until_s, flow_m3_s});
            from_s = until_s;
        }
    }
    in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
}

}  // namespace holdwater::sim
