# Writes OUTPUT, a source file that holds the parts of the page as texts, and the hash of its script for the page's
# content security policy. Usage: cmake -DFOLDER=tools/region/page -DOUTPUT=region_assets.cpp -P embed.cmake
include(${CMAKE_CURRENT_LIST_DIR}/../../read_part.cmake)

# Base64 of bytes given as hexadecimal digits.
function(base64 variable hex)
  set(letters "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/")
  set(out "")
  string(LENGTH "${hex}" digits)
  set(at 0)
  while(at LESS digits)
    string(SUBSTRING "${hex}" ${at} 6 piece)
    string(LENGTH "${piece}" found)
    string(SUBSTRING "${piece}00000" 0 6 piece)
    math(EXPR bits "0x${piece}")
    math(EXPR count "(${found} * 4 + 5) / 6")
    foreach(place RANGE 3)
      math(EXPR value "(${bits} >> (18 - 6 * ${place})) & 63")
      string(SUBSTRING "${letters}" ${value} 1 letter)
      if(place LESS count)
        string(APPEND out "${letter}")
      else()
        string(APPEND out "=")
      endif()
    endforeach()
    math(EXPR at "${at} + 6")
  endwhile()
  set(${variable} "${out}" PARENT_SCOPE)
endfunction()

read_part(page "${FOLDER}/page.mustache")
read_part(style "${FOLDER}/page.css")
read_part(script "${FOLDER}/page.js")
file(SHA256 "${FOLDER}/page.js" hex)
base64(hash "${hex}")
file(WRITE "${OUTPUT}.new" "// Written by tools/region/page/embed.cmake.
#include \"tools/region/region_page.hpp\"

namespace holdwater::tools {
RegionAssets region_assets() { return {${page}, ${style}, ${script}, \"sha256-${hash}\"}; }
}  // namespace holdwater::tools
")
configure_file("${OUTPUT}.new" "${OUTPUT}" COPYONLY)
