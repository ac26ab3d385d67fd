#pragma once

#include <string>
#include <string_view>

#include "sim/region/region_rows.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

/// The files from which the page of a region is made; they are built into the program.
struct RegionAssets {
    std::string_view page, style, script, script_hash;
};
RegionAssets region_assets();

/// The page: one HTML file that needs no other files, with a map of the stations, a table and a card of rules
/// for each state. Throws std::logic_error if the template is wrong.
std::string region_page(sim::RegionAnswer const& answer, ReportShow const& show);

}  // namespace holdwater::tools
