#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "sim/supply/quick_hour.hpp"
#include "sim/water/water_side.hpp"

namespace holdwater::sim {

/// The hours of a plain water side whose motor always has power: what the motor draws, and the state at the
/// beginning of each hour. It does not depend on the supply, so all designs with the same water side and
/// demand share it.
struct WaterYear {
    std::vector<PumpStretch> pump;
    std::vector<std::uint32_t> first_stretch;  ///< one for each hour, and the end
    std::vector<WaterState> state;             ///< at the beginning of each hour, and at the end
    struct Hour {
        double starts = 0, run_h = 0, pump_kwh = 0, demand_m3 = 0, delivered_m3 = 0, unmet_m3 = 0,
               pumped_m3 = 0;
    };
    std::vector<Hour> hours;
    std::vector<double> starts_of_day, run_h_of_day;
    std::vector<PumpMarks> marks, marks_of_day;
    std::vector<double> starts_s;            ///< seconds since 00:00 on 1 January of the first year
    std::vector<std::uint32_t> first_start;  ///< one for each hour, and the end
    Summary summary;                         ///< the figures of water and pump
    std::vector<models::FillTable> tables;   ///< of the system from which it was made
    double pump_kwh = 0;                     ///< in all hours
    std::size_t shortest_run_at = 0;         ///< the hour with the shortest run
    double running_w = 0, standing_w = 0;    ///< highest draw of the running pump; draw of a sleeping drive

    [[nodiscard]] std::span<PumpStretch const> stretches(std::size_t hour) const {
        return of_hour(std::span(pump), hour);
    }
    /// The part for an hour of a list with one entry for each stretch.
    template <class Stretch>
    [[nodiscard]] std::span<Stretch> of_hour(std::span<Stretch> all, std::size_t hour) const {
        return all.subspan(first_stretch[hour], first_stretch[hour + 1] - first_stretch[hour]);
    }
    /// The starts in the hours from .. to - 1.
    [[nodiscard]] std::span<double const> starts(std::size_t from, std::size_t to) const {
        return std::span(starts_s).subspan(first_start[from], first_start[to] - first_start[from]);
    }
};

/// Whether a system has a plain water side: no well with a moving level, no cistern and no trough.
inline bool has_plain_water(System const& s) { return !s.well && !s.cistern && !s.trough && !s.cutoff; }

WaterYear water_year(System const& system, HourlyInputs const& inputs, Clock const& clock);

/// Whether the two have the same water year.
bool same_water(System const& a, System const& b);
bool same_demand(HourlyInputs const& a, HourlyInputs const& b);

/// Whether the state after an hour run step by step is that of the water year, except for rounding.
bool same_state(WaterState const& a, WaterState const& b);

}  // namespace holdwater::sim
