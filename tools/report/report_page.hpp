#pragma once

#include <string>
#include <string_view>

#include "tools/report/report_content.hpp"

namespace holdwater::tools {

/// What the page is built from, put into the program when it is built.
struct ReportAssets {
    std::string_view page, plot, design_table, style;
    std::string_view script, script_hash;  ///< empty when built without npm: tables stand in for the plots
    std::string_view notices;              ///< license texts of the packages in the script; empty with it
};
ReportAssets report_assets();

/// The page: one HTML file that needs nothing else. Every text is escaped by the template; numbers for the
/// plots go in as JSON that cannot end its element. Throws std::logic_error when the template is wrong.
std::string report_page(Json const& content, ReportAssets const& assets);

/// JSON for a script element: ASCII only, and no character in it means anything to HTML.
std::string json_in_html(Json const& json);

}  // namespace holdwater::tools
