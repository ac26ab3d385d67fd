#include "tools/region/region_map.hpp"

#include <algorithm>
#include <cmath>

#include "weather/angles.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t most_classes = 6;
constexpr double least_span_deg = 2, most_height = 800, edge_deg = 0.06;  // edge: share of the span

double step_for(double span_deg, double most_lines) {
    for (double const step : {0.5, 1.0, 2.0, 5.0, 10.0, 20.0})
        if (span_deg / step <= most_lines) return step;
    return 30;
}

}  // namespace

std::vector<BatteryClass> battery_classes(std::vector<sim::RegionRow> const& rows) {
    std::vector<double> all;
    for (auto const& row : rows)
        for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
            if (row.served(share)) all.push_back(row.battery_kwh[share]);
    std::sort(all.begin(), all.end());
    auto sizes = all;
    sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
    std::vector<BatteryClass> classes;
    if (sizes.size() <= most_classes) {
        for (double const kwh : sizes) classes.push_back({kwh, kwh});
        return classes;
    }
    // A size belongs whole to one class: the class ends at the size in which its share of the answers ends.
    for (std::size_t k = 0, from = 0; k < most_classes && from < all.size(); ++k) {
        std::size_t const last = std::max(from, (k + 1) * all.size() / most_classes - 1);
        double const to = all[last];
        classes.push_back({all[from], to});
        from = static_cast<std::size_t>(std::upper_bound(all.begin(), all.end(), to) - all.begin());
    }
    return classes;
}

std::size_t class_of(std::vector<BatteryClass> const& classes, double kwh) {
    for (std::size_t k = 0; k < classes.size(); ++k)
        if (kwh >= classes[k].from_kwh && kwh <= classes[k].to_kwh) return k;
    return classes.size();
}

RegionMap::RegionMap(std::vector<sim::RegionRow> const& rows) {
    std::vector<double> latitude, longitude, shifted;
    for (auto const& row : rows) {
        if (std::isnan(row.latitude_deg)) continue;
        latitude.push_back(row.latitude_deg);
        longitude.push_back(row.longitude_deg);
        shifted.push_back(row.longitude_deg < 0 ? row.longitude_deg + 360 : row.longitude_deg);
    }
    if (latitude.empty()) latitude = {0}, longitude = {0}, shifted = {0};
    auto const [south, north] = std::minmax_element(latitude.begin(), latitude.end());
    auto const span = [](std::vector<double> const& v) {
        auto const [low, high] = std::minmax_element(v.begin(), v.end());
        return *high - *low;
    };
    past_date_line_ = span(shifted) < span(longitude);
    auto const& across = past_date_line_ ? shifted : longitude;
    auto const [west, east] = std::minmax_element(across.begin(), across.end());
    auto const widened = [](double low, double high, double& from, double& to) {
        double const half = std::max(0.5 * (high - low) * (1 + 2 * edge_deg), 0.5 * least_span_deg);
        from = 0.5 * (low + high) - half;
        to = 0.5 * (low + high) + half;
    };
    widened(*south, *north, south_, north_);
    widened(*west, *east, west_, east_);
    south_ = std::max(south_, -90.0);
    north_ = std::min(north_, 90.0);
    double const squeeze = std::max(weather::cos_deg(0.5 * (south_ + north_)), 0.2);
    y_per_degree_ = std::min((width - 2 * margin) / (east_ - west_) / squeeze,
                             (most_height - 2 * margin) / (north_ - south_));
    x_per_degree_ = y_per_degree_ * squeeze;
    // A region that is tall and narrow stands in the middle of the picture.
    double const half = 0.5 * (width - 2 * margin) / x_per_degree_, middle = 0.5 * (west_ + east_);
    west_ = middle - half;
    east_ = middle + half;
    height_ = 2 * margin + (north_ - south_) * y_per_degree_;
}

MapPoint RegionMap::point(double latitude_deg, double longitude_deg) const {
    double const across = past_date_line_ && longitude_deg < 0 ? longitude_deg + 360 : longitude_deg;
    return {margin + (across - west_) * x_per_degree_, margin + (north_ - latitude_deg) * y_per_degree_};
}

std::vector<MapLine> RegionMap::lines() const {
    std::vector<MapLine> lines;
    double const up = step_for(north_ - south_, 7), across = step_for(east_ - west_, 5);
    for (double d = std::ceil(south_ / up) * up; d <= north_; d += up)
        lines.push_back({true, margin + (north_ - d) * y_per_degree_, d});
    for (double d = std::ceil(west_ / across) * across; d <= east_; d += across)
        lines.push_back({false, margin + (d - west_) * x_per_degree_, d > 180 ? d - 360 : d});
    return lines;
}

}  // namespace holdwater::tools
