#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The well when an hour begins.
struct WellStart {
    double level_m = 0;  ///< below the wellhead
    int hour = 0;        ///< hours of the year before this one, 0 .. 8759
    /// What the well pump took until each hour of the year, 8761 sums; only with an aquifer.
    std::shared_ptr<std::vector<double> const> pumped_until_m3 = nullptr;
};

/// What the stores hold when an hour begins. Cistern and trough: 0 in a design without them.
struct StoreLevels {
    double soc = 1;  ///< state of charge, 0 .. 1
    double cistern_m3 = 0, trough_m3 = 0;
    std::optional<WellStart> well = std::nullopt;    ///< none: no casing, or at its static level
    std::optional<double> battery_c = std::nullopt;  ///< none: no temperature, or that of its place
    bool charge_refused = false;                     ///< because of that temperature
};

/// Levels that somebody names; what is not named stands where the typical year has it.
struct NamedLevels {
    std::optional<double> soc = std::nullopt;  ///< 0 .. 1
    std::optional<double> cistern_m3 = std::nullopt,
                          trough_m3 =
                              std::nullopt;  ///< 0 .. capacity; 0 .. full; ignored in a design without
};

/// What every hour of a year begins with, 8760 of them: hour 0 with the start of the run, every other with
/// what the hour before it ended with. Pre: `year` is a whole year of `system` from hour 0.
std::vector<StoreLevels> levels_of_year(System const& system, RunResult const& year);

/// The same from one run of the design's typical year, as it stands with its backup, its outages and the
/// weather of `inputs`; named levels hold at every hour. No year is run where all that the design has is
/// named; the water level of a well and the temperature of a battery cannot be named. Throws
/// std::invalid_argument naming level, value and rule.
std::vector<StoreLevels> start_levels(System const& design, HourlyInputs const& inputs,
                                      NamedLevels const& named);

/// Battery, cistern and trough at one share of what is usable, 0 .. 1: 0 is the minimum SOC and no usable
/// water, 1 is full. The well and the temperature of the battery are those of `rest`.
StoreLevels levels_at_share(System const& system, double share, StoreLevels const& rest = {});

/// The design beginning with these levels. Its pressure tank begins at cut-out, its fuel tank full, the
/// dry-run protection ready, and a battery of two wells with the same level in both.
System with_levels(System system, StoreLevels const& levels);

/// The level from which the cistern asks for no more filling: its start level where the float switch alone
/// decides, else as far below the stop as surplus power begins to fill it. 0 without a cistern.
double cistern_full_m3(System const& system);

/// The same of the trough: the level at which its float valve opens. 0 without a trough.
double trough_full_m3(System const& system);

}  // namespace holdwater::sim
