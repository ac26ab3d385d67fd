#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/design/design.hpp"

namespace holdwater::scenarios {

/// What a design must do. At least, or at most, as the comment says; not given: not required.
struct Requirements {
    std::optional<double> demand_met;        ///< at least [-], 0 .. 1
    std::optional<double> shortage_hours;    ///< at most [h]
    std::optional<double> longest_shortage;  ///< at most [h]
    std::optional<double> generator_run_h;   ///< at most [h] in the year
    std::optional<double> fuel_l;            ///< at most [L] in the year
    std::optional<double> grid_kwh;          ///< at most [kWh] in the year
    std::optional<double> battery_life_y;    ///< at least [years], as the run reckons
    std::optional<double> purchase;          ///< at most
    std::optional<int> cloudy_days;    ///< at least: days of dull weather without an hour short of water,
                                       ///< without backup, battery full when they begin, cistern and troughs
                                       ///< where the typical year has them
    double cloudy_clearness = 0.12;    ///< of those days
    double cloudy_share = 1;           ///< of all start dates that must hold, above 0 .. 1
    bool starts_within_limit = false;  ///< starts in any 24 h within the motor's limit
    bool motor_start = false;          ///< nameplate checks of the start pass
    bool motor_start_may_be_unknown = false;  ///< UNKNOWN passes, FAIL does not
};

enum class SearchLeast { cost, purchase, size };

/// One list of values to choose from. The keys of a value change together.
struct SearchAxis {
    std::string name;
    bool more_never_hurts = false;              ///< values go from least to most, and more is never worse
    std::vector<std::string> labels;            ///< of the values, as shown
    std::vector<std::vector<Override>> values;  ///< what each changes
    std::vector<double> prices;                 ///< of the values, on top of prices.purchase; may be empty
    std::size_t line = 0;
};

struct SearchSettings {
    std::optional<SearchLeast> least;  ///< not given: cost where there are prices, else size
    Requirements require;
    std::vector<SearchAxis> axes;
};

/// The tables [search], [search.require] and [[search.axis]] of a scenario; nothing when it has none.
/// Throws ScenarioError.
std::optional<SearchSettings> read_search(DesignFile const& file);

/// "battery.capacity=5 kWh,10 kWh" as an axis of that key alone, already split.
SearchAxis axis_of(std::string const& key, std::vector<std::string> const& typed_values);

/// "generator_run_h=50": sets one requirement as the scenario would. Throws std::invalid_argument.
void set_requirement(Requirements& require, std::string const& text);

}  // namespace holdwater::scenarios
