#pragma once

#include <algorithm>
#include <limits>

namespace holdwater::sim {

/// Extremes of the pump and the pressure tank over an hour, a day or a year.
struct PumpMarks {
    double shortest_run_s = std::numeric_limits<double>::infinity();  ///< from switch to switch
    double longest_run_s = 0;                                         ///< any run, up to now
    double short_runs = 0;  ///< runs from switch to switch below the shortest run of the motor
    double shortest_rest_s = std::numeric_limits<double>::infinity();  ///< from switch to switch
    double start_energy_j = 0;                                         ///< of all motors
    double start_heating_index = 0;                              ///< highest of the hours (summarize.hpp)
    double lowest_m3 = std::numeric_limits<double>::infinity();  ///< water in the tank

    /// Adds those of another time.
    void add(PumpMarks const& m) {
        shortest_run_s = std::min(shortest_run_s, m.shortest_run_s);
        longest_run_s = std::max(longest_run_s, m.longest_run_s);
        short_runs += m.short_runs;
        shortest_rest_s = std::min(shortest_rest_s, m.shortest_rest_s);
        start_energy_j += m.start_energy_j;
        start_heating_index = std::max(start_heating_index, m.start_heating_index);
        lowest_m3 = std::min(lowest_m3, m.lowest_m3);
    }
};

}  // namespace holdwater::sim
