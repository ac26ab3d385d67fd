#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The state of the well at the beginning of an hour.
struct WellStart {
    double level_m = 0;  ///< below the wellhead
    int hour = 0;        ///< hours of the year before this one, 0 .. 8759
    /// Water pumped from the well up to each hour of the year, 8761 sums; only with an aquifer.
    std::shared_ptr<std::vector<double> const> pumped_until_m3 = nullptr;
};

/// What battery, cistern, trough and well hold at the beginning of an hour. Cistern and trough: 0 in a design
/// without them.
struct StoreLevels {
    double soc = 1;  ///< state of charge, 0 .. 1
    double cistern_m3 = 0, trough_m3 = 0;
    std::optional<WellStart> well = std::nullopt;  ///< none: no casing, or at its static level
    /// None: no temperature model, or the temperature of its place.
    std::optional<double> battery_c = std::nullopt;
    bool charge_refused = false;  ///< charging is refused because of that temperature
};

/// Levels given by the user; what is not given is as in the typical year.
struct NamedLevels {
    std::optional<double> soc = std::nullopt;  ///< 0 .. 1
    std::optional<double> cistern_m3 = std::nullopt,
                          trough_m3 =
                              std::nullopt;  ///< 0 .. capacity; 0 .. full; ignored in a design without
};

/// What is stored at the beginning of each of the 8760 hours of a year: the state at the end of the hour
/// before; for hour 0 that is the last hour of the year, because typical years follow each other. Only the
/// water level of a well at hour 0 is that of the start of the run, because the drawdown of an aquifer counts
/// from there. Pre: `year` is a whole year of `system` from hour 0.
std::vector<StoreLevels> levels_of_year(System const& system, RunResult const& year);

/// The same from one run of the design's typical year, with its backup, its outages and the weather of
/// `inputs`. A level that is given holds at every hour. No year is run if all levels of the design are given;
/// the water level of a well and the temperature of a battery cannot be given. Throws std::invalid_argument
/// naming level, value and rule.
std::vector<StoreLevels> start_levels(System const& design, HourlyInputs const& inputs,
                                      NamedLevels const& named);

/// Battery, cistern and trough at one share of what is usable, 0 .. 1: 0 is the minimum SOC and no usable
/// water, 1 is full. The well and the temperature of the battery are those of `rest`.
StoreLevels levels_at_share(System const& system, double share, StoreLevels const& rest = {});

/// The design that begins with these levels. The pressure tank is at cut-out, the fuel tank is full, the
/// dry-run protection is ready, and the two wells of a two-well battery are in balance.
System with_levels(System system, StoreLevels const& levels);

/// Level above which the cistern calls for no more water: its start level if only the float switch decides,
/// otherwise the stop level less the band in which surplus power fills. 0 without a cistern.
double cistern_full_m3(System const& system);

/// The same for the trough: the level at which its float valve opens. 0 without a trough.
double trough_full_m3(System const& system);

/// Water that is stored when everything is full [m3].
struct StoredWater {
    /// Reaches the taps without power: the pressure tank from cut-out or, by gravity, the cistern.
    double at_taps_m3 = 0;
    double behind_booster_m3 = 0;  ///< in the cistern, down to its reserve; reaches the taps by a pump
    double trough_m3 = 0;
};
StoredWater stored_water(System const& system);

}  // namespace holdwater::sim
