#pragma once

#include <string>
#include <vector>

#include "sim/region/region_rows.hpp"

namespace holdwater::tools {

/// Batteries that share a mark on the map.
struct BatteryClass {
    double from_kwh = 0, to_kwh = 0;  ///< both belong to it
};

/// Up to 6 classes of about equally many answers, rising; one for each size if these are at most 6.
std::vector<BatteryClass> battery_classes(std::vector<sim::RegionRow> const& rows);
/// Place of the class of a battery, from 0; the number of classes for one that is in none.
std::size_t class_of(std::vector<BatteryClass> const& classes, double battery_kwh);

/// A place on the map [units of its picture].
struct MapPoint {
    double x = 0, y = 0;
};
/// A line of equal latitude or longitude.
struct MapLine {
    bool of_latitude = false;
    double at = 0;  ///< x of a meridian, y of a parallel
    double degrees = 0;
};

/// Stations on an equirectangular map, true to scale at their middle latitude. Longitudes that lie on both
/// sides of the date line are put side by side.
class RegionMap {
  public:
    static constexpr double width = 900, margin = 46;
    explicit RegionMap(std::vector<sim::RegionRow> const& rows);
    [[nodiscard]] MapPoint point(double latitude_deg, double longitude_deg) const;
    [[nodiscard]] double height() const { return height_; }
    /// Every 1, 2, 5, 10, 20 or 30 degrees, as many as fit well.
    [[nodiscard]] std::vector<MapLine> lines() const;

  private:
    double south_ = 0, north_ = 1, west_ = 0, east_ = 1, height_ = 500;
    double x_per_degree_ = 1, y_per_degree_ = 1;
    bool past_date_line_ = false;
};

}  // namespace holdwater::tools
