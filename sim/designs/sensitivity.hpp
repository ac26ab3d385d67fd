#pragma once

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/base/stop.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {

/// A verdict on a design, in words: a check, or a verdict on a year with water.
struct NamedVerdict {
    std::string name, verdict;
};

/// The verdict of one value of an input over one set of years.
struct YearsOfEnd {
    std::string source;  ///< as in DesignVerdict::Years
    YearsVerdict verdict;
};

/// The result for one value of an input.
struct SensitivityEnd {
    std::string value;                   ///< as typed
    std::vector<NamedVerdict> verdicts;  ///< the same names in the same order for every value
    std::vector<YearsOfEnd> years;       ///< with the battery as [required] judges it; the judged set first
    double shortage_hours = 0, generator_h = 0, grid_kwh = 0;  ///< of the typical year
    std::string problem;  ///< the scenario refuses this value: the message, and no verdicts
};

struct FlippedVerdict {
    std::string name, at_low, as_written, at_high;
};

/// An input that is tried at both ends of its range, with everything else as in the base design.
struct Sensitivity {
    std::string input, provenance;
    SensitivityEnd low, written, high;
    std::vector<FlippedVerdict> flipped;  ///< verdicts that are not the same for all three values
};

/// All inputs that were tried, and the years on which the verdicts are based.
struct SensitivityAnswer {
    std::vector<Sensitivity> inputs;
    SensitivityEnd base;                        ///< the base design
    std::vector<YearsOfEnd> base_at_other_age;  ///< the base design with its battery at the age not judged
    scenarios::YearsSettings settings;
    bool winters = false;
    int start_month = 1;
    std::string weather, drawn;  ///< the years in words, and what differs between them; empty without years
    std::vector<std::string> notes;
    /// It was asked to stop: only the inputs that were tried at both ends, without verdicts over many years.
    bool stopped = false;
};

/// A key and the ends of its range as typed by the user.
struct RangeToTry {
    std::string input, low, high, provenance;
};

/// The ranges that the scenario states in [assumed_range].
std::vector<RangeToTry> stated_ranges(scenarios::Scenario const& scenario);

/// Runs the design, or an option of the file by name ("": base design), at both ends of every range. The
/// verdicts on water are: enough made years without a shortage, the whole demand met in the typical year,
/// starts within the motor's limit, runs long enough, every start accepted, no shortage in the site's cloudy
/// period (SitePeriod) without backup, and everything full again after it. The checks use the stated value of
/// all other inputs with a range. Throws ScenarioError for a key that the scenario does not know.
SensitivityAnswer sensitivity(scenarios::DesignFile const& file, std::string const& option,
                              WeatherStandIn const& weather, std::vector<RangeToTry> const& ranges,
                              StopFlag stop = nullptr);

}  // namespace holdwater::sim
