#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tools/report/report_content.hpp"

namespace holdwater::tools {

/// The files from which the page is made; they are built into the program.
struct ReportAssets {
    std::string_view page, plot, design_table, style;
    std::string_view script, script_hash;  ///< empty when built without npm: then tables replace the plots
    /// License texts of the packages in the script; empty without the script.
    std::string_view notices;
};
ReportAssets report_assets();

/// The page: one HTML file that needs no other files. The template escapes every text. Numbers for the plots
/// are JSON that cannot end its element. Throws std::logic_error if the template is wrong.
std::string report_page(Json const& content, ReportAssets const& assets);

/// A template with this content, every text of it escaped; `parts` are put in as they are. Throws
/// std::logic_error if the template is wrong.
std::string rendered(std::string_view page, Json const& content,
                     std::vector<std::pair<std::string, std::string>> const& parts);

/// JSON for a script element: ASCII only, without any character that has a meaning in HTML.
std::string json_in_html(Json const& json);

}  // namespace holdwater::tools
