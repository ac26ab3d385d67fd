#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/design/design.hpp"

namespace holdwater::scenarios {

/// The requirements of a design: at least or at most, as the comment says. Not given: not required.
struct Requirements {
    std::optional<double> demand_met;        ///< at least [-], 0 .. 1
    std::optional<double> shortage_hours;    ///< at most [h]
    std::optional<double> longest_shortage;  ///< at most [h]
    std::optional<double> generator_run_h;   ///< at most [h] in the year
    std::optional<double> fuel_l;            ///< at most [L] in the year
    std::optional<double> grid_kwh;          ///< at most [kWh] in the year
    std::optional<double> battery_life_y;    ///< at least [years], from the run
    std::optional<double> purchase;          ///< at most
    std::optional<int> cloudy_days;    ///< at least: cloudy days without an hour short of water, without
                                       ///< backup; the battery is full when they begin, cistern and troughs
                                       ///< are as in the typical year
    double cloudy_clearness = 0.12;    ///< of those days
    double cloudy_share = 1;           ///< share of the start dates that must have no shortage, above 0 .. 1
    bool starts_within_limit = false;  ///< starts in any 24 h are within the limit of the motor
    bool motor_start = false;          ///< the start checks of `check` must pass
    bool motor_start_may_be_unknown = false;  ///< UNKNOWN is accepted, FAIL is not
};

enum class SearchLeast { cost, purchase, size };

/// One list of values to choose from. The keys of a value change together.
struct SearchAxis {
    std::string name;
    bool more_never_hurts = false;              ///< values go from least to most, and more is never worse
    std::vector<std::string> labels;            ///< of the values, as shown
    std::vector<std::vector<Override>> values;  ///< the changes of each value
    std::vector<double> prices;                 ///< of the values, added to prices.purchase; may be empty
    std::size_t line = 0;
};

struct SearchSettings {
    std::optional<SearchLeast> least;  ///< not given: cost if there are prices, otherwise size
    Requirements require;
    std::vector<SearchAxis> axes;
};

/// The tables [search], [search.require] and [[search.axis]] of a scenario; nothing if it has none.
/// Throws ScenarioError.
std::optional<SearchSettings> read_search(DesignFile const& file);

/// An axis of one key from an option such as "battery.capacity=5 kWh,10 kWh" that is already split.
SearchAxis axis_of(std::string const& key, std::vector<std::string> const& typed_values);

/// Sets one requirement from a text such as "generator_run_h=50". Throws std::invalid_argument.
void set_requirement(Requirements& require, std::string const& text);

}  // namespace holdwater::scenarios
