#pragma once

#include <string>
#include <vector>

#include "sim/region/region_rows.hpp"
#include "sim/region/rule_cards.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

/// The words of a region's answer, in the reader's units; plain sentences for terminal and page.
struct RegionWords {
    sim::RegionAnswer const& answer;
    ReportShow show;

    /// "2.2 kW".
    [[nodiscard]] static std::string array(double array_w);
    /// "225 gal/day".
    [[nodiscard]] std::string demand(double daily_m3) const;
    /// "10 to 16 kWh", "10 kWh".
    [[nodiscard]] static std::string range(double least_kwh, double most_kwh);
    /// "2.2 kW and 225 gal/day", of combination 0, 1, ..
    [[nodiscard]] std::string combination(sim::RuleCombination const& c) const;
    /// What a battery of the table does, and how it is judged.
    [[nodiscard]] std::string promise() const;
    /// Which values come from the station, and which from the scenario; one sentence each.
    [[nodiscard]] std::vector<std::string> origins() const;
    /// "12.3 kWh"; "–": none of the list is enough.
    [[nodiscard]] static std::string battery(sim::RegionRow const& row, std::size_t share);
    /// "10 to 16 kWh", with the number of stations if it is not for all that could be run.
    [[nodiscard]] std::string rule(sim::RuleCombination const& c, std::size_t share) const;
    /// Which station needs least and most, and what the battery goes with; "" if all need the same.
    [[nodiscard]] std::string drivers(sim::RuleCombination const& c) const;
    /// "44.20° N, 114.60° W, 1,100 m"; "": not known.
    [[nodiscard]] std::string place(sim::RegionRow const& row) const;
};

/// "90 %".
std::string share_text(std::size_t share);

/// For first quotes only.
extern char const* const region_safety;

}  // namespace holdwater::tools
