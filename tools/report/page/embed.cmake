# Writes OUTPUT, a source file that holds the parts of the page as texts. Usage:
#   cmake -DFOLDER=tools/report/page -DSCRIPT=report.js (or empty) -DOUTPUT=report_assets.cpp -P embed.cmake
include(${CMAKE_CURRENT_LIST_DIR}/../../read_part.cmake)

read_part(page "${FOLDER}/page.mustache")
read_part(plot "${FOLDER}/plot.mustache")
read_part(design_table "${FOLDER}/design_table.mustache")
read_part(style "${FOLDER}/page.css")
if(SCRIPT)
  read_part(script "${SCRIPT}")
  read_part(hash "${SCRIPT}.hash")
  read_part(notices "${SCRIPT}.notices")
else()
  set(script "\"\"")
  set(hash "\"\"")
  set(notices "\"\"")
endif()
file(WRITE "${OUTPUT}.new" "// Written by tools/report/page/embed.cmake.
#include \"tools/report/report_page.hpp\"

namespace holdwater::tools {
ReportAssets report_assets() { return {${page}, ${plot}, ${design_table}, ${style}, ${script}, ${hash}, ${notices}}; }
}  // namespace holdwater::tools
")
configure_file("${OUTPUT}.new" "${OUTPUT}" COPYONLY)
