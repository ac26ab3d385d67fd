# The table of units: make_unit_table writes it from the UDUNITS-2 database. Where the compiler builds for another machine (the
# browser), this machine's own compiler makes that program.
set(HOLDWATER_UNIT_TABLE ${CMAKE_BINARY_DIR}/generated/weather/units/unit_table.cpp)
file(MAKE_DIRECTORY ${CMAKE_BINARY_DIR}/generated/weather/units)
set(source ${CMAKE_CURRENT_LIST_DIR}/make_unit_table.cpp)
if(CMAKE_CROSSCOMPILING)
  find_program(HOLDWATER_OWN_COMPILER NAMES g++ clang++ REQUIRED NO_CMAKE_FIND_ROOT_PATH)
  set(make ${CMAKE_CURRENT_BINARY_DIR}/make_unit_table)
  add_custom_command(OUTPUT ${make} COMMAND ${HOLDWATER_OWN_COMPILER} -std=c++20 ${source} -o ${make} -ludunits2 -lfmt
    DEPENDS ${source} VERBATIM)
else()
  add_executable(make_unit_table ${source})
  target_link_libraries(make_unit_table PRIVATE holdwater_build fmt::fmt ${UDUNITS2_LIBRARY})
  set(make make_unit_table)
endif()
add_custom_command(OUTPUT ${HOLDWATER_UNIT_TABLE} COMMAND ${make} ${HOLDWATER_UNIT_TABLE} DEPENDS ${make} VERBATIM)
