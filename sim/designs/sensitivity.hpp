#pragma once

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/verdict/years_to_run.hpp"

namespace holdwater::sim {

/// A verdict on a design, in words: of check's checks and of a year with water.
struct NamedVerdict {
    std::string name, verdict;
};

/// What one value of an input gives.
struct SensitivityEnd {
    std::string value;                   ///< as typed
    std::vector<NamedVerdict> verdicts;  ///< the same names in the same order at every value
    double shortage_hours = 0, generator_h = 0, grid_kwh = 0;  ///< of the typical year
    std::string problem;  ///< the scenario refuses this value: its words, and no verdicts
};

struct FlippedVerdict {
    std::string name, at_low, as_written, at_high;
};

/// An input tried at both ends of its range, everything else as in the base design.
struct Sensitivity {
    std::string input, provenance;
    SensitivityEnd low, written, high;
    std::vector<FlippedVerdict> flipped;  ///< verdicts that are not the same at all three
};

/// A key and the ends of its range as a person types them.
struct RangeToTry {
    std::string input, low, high, provenance;
};

/// The ranges the scenario states in [assumed_range].
std::vector<RangeToTry> stated_ranges(scenarios::Scenario const& scenario);

/// Runs the design, an option of the file by name ("": base design), at both ends of every range. Water's
/// verdicts: enough made years without a shortage, all the water in the typical year, starts within the
/// motor's limit, runs long enough, every start accepted, water through the site's cloudy period (SitePeriod)
/// without backup, and full again after it. DesignCheck takes every other range at its written value. Throws
/// ScenarioError for a key the scenario does not know.
std::vector<Sensitivity> sensitivity(scenarios::DesignFile const& file, std::string const& option,
                                     WeatherStandIn const& weather, std::vector<RangeToTry> const& ranges);

}  // namespace holdwater::sim
