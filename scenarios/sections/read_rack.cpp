#include "scenarios/sections/read_rack.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenarios/text/calendar_day.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

constexpr std::size_t horizon_points = 36;
constexpr double horizon_step_deg = 360.0 / horizon_points;

std::vector<TiltChange> read_tilt_changes(Section& array) {
    std::vector<TiltChange> changes;
    for (Section& s : array.tables("tilt_changes")) {
        TiltChange change;
        change.first_day = calendar_day(s, "from");
        change.tilt_deg = s.quantity("tilt", "deg", {0, 90});
        if (!changes.empty() && change.first_day <= changes.back().first_day)
            s.fail("from",
                   "is not later than the change above it; list the changes in the order of the year");
        s.finish();
        changes.push_back(change);
    }
    if (changes.size() == 1)
        array.fail("tilt_changes", "list two or more changes; a fixed rack has the key 'tilt'");
    if (changes.size() > 12) array.fail("tilt_changes", "more than twelve changes a year");
    return changes;
}

weather::TrackerAxis read_tracker(Section s) {
    weather::TrackerAxis axis;
    axis.azimuth_deg = s.quantity("axis_azimuth", "deg", {0, 360}, 180);
    axis.axis_tilt_deg = s.quantity("axis_tilt", "deg", {0, 90}, 0);
    axis.turn_limit_deg = s.quantity("turn_limit", "deg", {0, 90}, 60);
    s.finish();
    return axis;
}

// Straight lines between the given points. They are exact at every step, because points are only at steps.
weather::HorizonProfile read_horizon(Section& array) {
    struct Point {
        double azimuth_deg = 0, elevation_deg = 0;
    };
    std::vector<Point> points;
    for (Section& s : array.tables("horizon")) {
        Point const p{s.quantity("azimuth", "deg", {0, 359}), s.quantity("elevation", "deg", {0, 90})};
        if (std::abs(std::remainder(p.azimuth_deg, horizon_step_deg)) > 1e-6)
            s.fail("azimuth", fmt::format("must be a multiple of {:.0f} deg: the skyline is kept in steps of "
                                          "{:.0f} deg, with straight lines between your points",
                                          horizon_step_deg, horizon_step_deg));
        if (!points.empty() && p.azimuth_deg <= points.back().azimuth_deg)
            s.fail("azimuth", "is not above the point before it; list the points clockwise from north");
        s.finish();
        points.push_back(p);
    }
    if (points.size() == 1)
        array.fail("horizon", "one point makes no skyline; give at least two, clockwise from north");
    weather::HorizonProfile horizon;
    if (points.empty()) return horizon;
    horizon.elevation_deg.resize(horizon_points);
    for (std::size_t i = 0; i < points.size(); ++i) {
        Point const from = points[i], to = points[(i + 1) % points.size()];
        double const span_deg = to.azimuth_deg - from.azimuth_deg + (i + 1 == points.size() ? 360 : 0);
        auto const steps = std::lround(span_deg / horizon_step_deg);
        auto const first = std::lround(from.azimuth_deg / horizon_step_deg);
        for (long k = 0; k < steps; ++k)
            horizon.elevation_deg[static_cast<std::size_t>(first + k) % horizon_points] =
                from.elevation_deg +
                (to.elevation_deg - from.elevation_deg) * static_cast<double>(k) / static_cast<double>(steps);
    }
    return horizon;
}

}  // namespace

void read_rack(Section& array, Scenario& scenario) {
    if (auto tracker = array.optional_table("tracker")) {
        refuse_unused(array, {"tilt", "tilt_changes", "azimuth"},
                      "a rack that turns with the sun has no tilt and azimuth of its own; [array.tracker] "
                      "says where its axis lies");
        scenario.tracker = read_tracker(*tracker);
    } else {
        scenario.plane.azimuth_deg = array.quantity("azimuth", "deg", {0, 360});
        if (array.has("tilt_changes")) {
            refuse_unused(array, {"tilt"}, "is given beside 'tilt_changes'; one of them sets the rack");
            scenario.tilt_changes = read_tilt_changes(array);
        } else {
            scenario.plane.tilt_deg = array.quantity("tilt", "deg", {0, 90});
        }
    }
    scenario.horizon = read_horizon(array);
}

}  // namespace holdwater::scenarios
